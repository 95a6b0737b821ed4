"""Pictures as SVG text: the registry, the checks, and the strokes that every picture is made of.

A picture is a function with keyword-only arguments that returns one <svg> element. Looks come from
classes (`site_overrides/css/figures.css`); nothing here carries a colour, a style or a script. Each
picture says in words, with its numbers, what it shows. Both interpreters give the same text.
"""

from math import sqrt

from pvcalc.core.errors import MissingInput, NotUnderstood, Refusal, UnknownName
from pvcalc.core.formula import Limit, checked_value, from_text, nearest_words, shortened, unknown_sentence
from pvcalc.core.units import label_of

PICTURES = {}  # name -> Picture, filled as the draw_ modules are imported
FRAME_WIDTH = 360  # drawing units; on a phone one unit is about one pixel
PAGE = 352  # width of a paragraph across the whole picture
LETTER_WIDTH = 6.0  # of the usual text, on average
MOST_WORDS = 200

ID_LETTERS = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_"


def words(most=MOST_WORDS):
    """A short text that the picture carries, such as what is counted."""
    return Limit("words", most=most)


class Picture:
    """A checked drawing function.

    Attributes:
        name: the function's name.
        limits: dict of argument name to `Limit`.
        arguments: names in the order declared by `order`, for a page that asks for them.
    """

    def __init__(self, function, limits, order):
        self.function = function
        self.name = function.__name__
        self.limits = limits
        self.arguments = order

    def __call__(self, picture_id, **given):
        """The SVG text.

        Raises: Refusal naming every fault of the inputs.
        """
        check_id(picture_id)
        return self.function(picture_id=picture_id, **self.checked(given))

    def checked(self, given):
        """Inputs as plain numbers, lists and words, or a refusal that names every fault."""
        faults, kinds, inputs = [], [], {}
        for name in sorted(set(given) | set(self.limits)):
            value, kind, sentence = None, None, ""
            if name not in self.limits:
                kind, sentence = NotUnderstood, unknown_sentence(name, self.name, self.limits)
            elif given.get(name) is None:
                kind, sentence = MissingInput, _named(name) + " is missing."
            elif self.limits[name].kind == "words":
                value, kind, sentence = _checked_words(name, given[name], self.limits[name].most)
            else:
                value, kind, sentence = checked_value(name, given[name], self.limits[name], "house limits of the picture")
            if sentence:
                faults.append((name, sentence))
                kinds.append(kind)
            else:
                inputs[name] = value
        if faults:
            raise (kinds[0] if len(set(kinds)) == 1 else Refusal)(faults)
        return inputs


def _checked_words(name, value, most):
    if not isinstance(value, str):
        return None, NotUnderstood, _named(name) + " must be words."
    for letter in value:
        if ord(letter) < 32 or ord(letter) == 127:
            return None, NotUnderstood, _named(name) + " holds a line break or a control sign; type plain words."
    if not 1 <= len(value.strip()) or len(value) > most:
        return None, NotUnderstood, _named(name) + " must hold 1 to " + str(most) + " letters."
    return value.strip(), None, ""


def _named(name):
    label = label_of(name)
    return label[0].upper() + label[1:]


def check_id(picture_id):
    """Refuse an identifier that could not stand in a page: letters, digits, hyphens, first a letter."""
    good = isinstance(picture_id, str) and 1 <= len(picture_id) <= 80
    if good:
        good = picture_id[0] in ID_LETTERS[:52] and all([letter in ID_LETTERS for letter in picture_id])
    if not good:
        raise NotUnderstood([("picture_id", "A picture's identifier must be letters, digits and hyphens, the first a letter.")])


def drawn(order="", **limits):
    """Declare a picture.

    Args:
        order: its argument names in the order a page asks for them, separated by blanks.
        limits: for each argument a (low, high) pair, or one of the limits of `formula`, or `words`.
    """
    checked = {}
    for name, limit in limits.items():
        checked[name] = limit if isinstance(limit, Limit) else Limit("number", limit[0], limit[1])

    def declare(function):
        made = Picture(function, checked, order.split())
        PICTURES[made.name] = made
        return made

    return declare


def find_picture(name):
    """The picture of this name.

    Raises: UnknownName with the nearest name.
    """
    if name in PICTURES:
        return PICTURES[name]
    raise UnknownName("there is no picture called " + str(name) + nearest_words(str(name), sorted(PICTURES)))


def picture(name, inputs, picture_id):
    """The SVG text of one picture.

    Args:
        name: a key of `PICTURES`.
        inputs: dict of argument name to value; a text is read as typed by a person.
        picture_id: identifier that no other element of the page has.
    Raises: UnknownName, or a Refusal that names every fault.
    """
    made = find_picture(name)
    faults, values = [], {}
    for field in sorted(inputs):
        value = typed = inputs[field]
        limit = made.limits.get(field)
        if isinstance(typed, str) and limit and limit.kind not in ("words", "records"):
            value, reason = from_text(typed, limit)
            if reason and reason != "is blank":
                faults.append((field, _named(field) + " “" + shortened(typed) + "” " + reason + "."))
                continue
        if value is not None and value != "":
            values[field] = value
    if faults:
        unread = [field for field, _ in faults]
        try:
            made.checked(values)
        except Refusal as refusal:
            faults += [(field, sentence) for field, sentence in refusal.faults if field not in unread]
        raise Refusal(sorted(faults))
    return made(picture_id=picture_id, **values)


# --- strokes -----------------------------------------------------------------------------------------


def at(value):
    """A coordinate with at most two decimals, the same digits in every interpreter.

    The tiny addition moves exact ties off the edge, where one bit of a sine could tip them.
    """
    return _figures(_hundredths(value))


def _hundredths(value):
    rounded = int(abs(value) * 100 + 0.5 + 1e-6)
    return -rounded if value < 0 else rounded


def _figures(hundredths):
    whole, rest = abs(hundredths) // 100, abs(hundredths) % 100
    text = str(whole)
    if rest:
        text += "." + ("0" if rest < 10 else "") + str(rest)
        if text[-1] == "0":
            text = text[:-1]
    return "-" + text if hundredths < 0 else text


def escaped(text):
    """Text that cannot be taken for markup."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")


def canvas(picture_id, height, title, said, parts, scale=None, defs=""):
    """One whole picture.

    Args:
        picture_id: identifier of the element; title and description get theirs from it.
        height: in drawing units; the width is always `FRAME_WIDTH`.
        title: what kind of picture it is, a few words.
        said: what the picture says, with its numbers, for those who do not see it.
        parts: list of strokes, the first lowest.
        scale: drawing units for one millimetre, when the picture is to scale.
        defs: patterns used by the strokes.
    """
    return ('<svg xmlns="http://www.w3.org/2000/svg" class="fig" id="' + picture_id + '" viewBox="0 0 '
            + str(FRAME_WIDTH) + " " + at(height) + '" role="img" aria-labelledby="' + picture_id + "-title "
            + picture_id + '-desc"' + ("" if scale is None else ' data-units-per-mm="' + _fine(scale) + '"')
            + '><title id="' + picture_id + '-title">' + escaped(title) + '</title><desc id="' + picture_id + '-desc">'
            + escaped(said) + "</desc>" + ("<defs>" + defs + "</defs>" if defs else "") + "".join(parts) + "</svg>")


def _fine(value):
    """Six decimals, for a scale that a test divides by."""
    millionths = str(int(value * 1000000 + 0.5))
    millionths = "0" * (7 - len(millionths)) + millionths
    return millionths[:-6] + "." + millionths[-6:]


def group(look, parts):
    """Strokes that share a look."""
    return '<g class="' + look + '">' + "".join(parts) + "</g>"


def line(x1, y1, x2, y2, look):
    """A straight stroke."""
    return ('<line x1="' + at(x1) + '" y1="' + at(y1) + '" x2="' + at(x2) + '" y2="' + at(y2)
            + '" class="' + look + '"/>')


def circle(x, y, radius, look):
    """A circle."""
    return '<circle cx="' + at(x) + '" cy="' + at(y) + '" r="' + at(radius) + '" class="' + look + '"/>'


def rectangle(x, y, width, height, look, corner=0):
    """A rectangle, its corners rounded by `corner`."""
    return ('<rect x="' + at(x) + '" y="' + at(y) + '" width="' + at(width) + '" height="' + at(height)
            + ('" rx="' + at(corner) if corner else "") + '" class="' + look + '"/>')


def path(data, look, fill=""):
    """A path; `fill` names a pattern of this picture."""
    return '<path d="' + data + '" class="' + look + ('" fill="url(#' + fill + ")" if fill else "") + '"/>'


def ring(x, y, inner, outer, look, fill=""):
    """The area between two circles of one centre."""
    return path(_round(x, y, outer) + _round(x, y, inner), look + " fig-evenodd", fill)


def _round(x, y, radius):
    half = "a" + at(radius) + " " + at(radius) + " 0 1 0 "
    return "M" + at(x - radius) + " " + at(y) + half + at(2 * radius) + " 0" + half + at(-2 * radius) + " 0Z"


def label(x, y, text, look="", anchor="start"):
    """One line of text; `look` adds classes, `anchor` is start, middle or end."""
    return ('<text x="' + at(x) + '" y="' + at(y) + '" class="fig-text' + (" " + look if look else "")
            + ('" text-anchor="' + anchor if anchor != "start" else "") + '">' + escaped(text) + "</text>")


def paragraph(x, y, text, width, look="", anchor="start", step=16):
    """Text broken into lines that fit `width`. Returns (strokes, y of the next line)."""
    strokes = []
    for row in rows_of(text, int(width / LETTER_WIDTH)):
        strokes.append(label(x, y, row, look, anchor))
        y += step
    return "".join(strokes), y


def rows_of(text, most):
    """Text broken at blanks into rows of at most `most` letters; a longer word has a row of its own."""
    rows, row = [], ""
    for word in text.split(" "):
        if row and len(row) + 1 + len(word) > most:
            rows.append(row)
            row = word
        else:
            row = row + " " + word if row else word
    return rows + [row]


def joined(points, closed=False):
    """Path data of straight strokes through points."""
    return "M" + at(points[0][0]) + " " + at(points[0][1]) + _onwards("l", points) + ("Z" if closed else "")


def smooth(points, closed=False):
    """Path data of a soft curve through points (Catmull-Rom, a third of the way to the next)."""
    return "M" + at(points[0][0]) + " " + at(points[0][1]) + smooth_on(points, closed)


def smooth_on(points, closed=False):
    """The curve of `smooth` without its starting point, to go on from where a path has come to."""
    count = len(points)
    way = [points[0]]
    for i in range(count if closed else count - 1):
        here, there = points[i], points[(i + 1) % count]
        before = points[i - 1] if i > 0 or closed else here
        after = points[(i + 2) % count] if i + 2 < count or closed else there
        way += [(here[0] + (there[0] - before[0]) / 6, here[1] + (there[1] - before[1]) / 6),
                (there[0] - (after[0] - here[0]) / 6, there[1] - (after[1] - here[1]) / 6), there]
    return _onwards("c", way, 3) + ("Z" if closed else "")


def _onwards(kind, points, at_once=1):
    """Steps from the first point on, each group of `at_once` points told from where the last group ended.

    A shape drawn twice is then the same text twice, and half as long: pictures are most of what a chapter weighs.
    Every step leads to the rounded place of its point, so that no error adds up.
    """
    data = kind
    x, y = _hundredths(points[0][0]), _hundredths(points[0][1])
    for i in range(1, len(points), at_once):
        for point in points[i:i + at_once]:
            right, down = _hundredths(point[0]), _hundredths(point[1])
            for step in (right - x, down - y):
                data += (" " if step >= 0 and data[-1] != kind else "") + _figures(step)
        x, y = right, down
    return data


def span(x1, y1, x2, y2, look="fig-measure"):
    """A measuring stroke with a short tick across each end."""
    length = sqrt((x2 - x1) * (x2 - x1) + (y2 - y1) * (y2 - y1)) or 1.0
    dx, dy = -(y2 - y1) / length * 4, (x2 - x1) / length * 4
    return path(joined([(x1, y1), (x2, y2)]) + joined([(x1 - dx, y1 - dy), (x1 + dx, y1 + dy)])
                + joined([(x2 - dx, y2 - dy), (x2 + dx, y2 + dy)]), look)


def arrow(x1, y1, x2, y2, look="fig-arrow", head=7):
    """A stroke that ends in a filled head."""
    length = sqrt((x2 - x1) * (x2 - x1) + (y2 - y1) * (y2 - y1)) or 1.0
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    bx, by = x2 - ux * head, y2 - uy * head
    wing = head * 0.45
    return (path(joined([(x1, y1), (bx, by)]), look)
            + path(joined([(x2, y2), (bx - uy * wing, by + ux * wing), (bx + uy * wing, by - ux * wing)], True), look + "-head"))


def hatch(pattern_id, look, gap=6, tilt=45):
    """A pattern of slanted strokes."""
    return ('<pattern id="' + pattern_id + '" width="' + at(gap) + '" height="' + at(gap)
            + '" patternUnits="userSpaceOnUse" patternTransform="rotate(' + at(tilt) + ')">'
            + line(0, 0, 0, gap, look) + "</pattern>")


def dots(pattern_id, look, gap=6):
    """A pattern of dots."""
    return ('<pattern id="' + pattern_id + '" width="' + at(gap) + '" height="' + at(gap)
            + '" patternUnits="userSpaceOnUse">' + circle(gap / 2, gap / 2, 1.1, look) + "</pattern>")

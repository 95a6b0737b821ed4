"""An audit file as text: which separator it has, its header, and its rows as cells of text.

Nothing in a cell is ever run or computed: `=cmd` stays four letters of text. Whatever cannot be read is told
with its line; a row at fault is kept apart, never dropped.
"""

from pvcalc.core.errors import NotUnderstood
from pvcalc.core.formula import nearest_words, shortened
from pvcalc.core.units import trimmed

SEPARATORS = (",", ";", "\t")
MOST_LETTERS = 2000  # of one cell; a quotation mark left open would swallow the rest of the file
MOST_COLUMNS = 200
ONE_OF = ("age_days", "age_years")  # one of these must be there


class File:
    """An audit file that is parted into rows some at a time.

    Attributes:
        separator; header: the column names; absent: columns of the schema that the file does not have.
        bad: faults of rows that could not be parted, so far (see `fault`).
    """

    def __init__(self, text, schema):
        """Find separator and header.

        Args:
            text: the whole file, decoded; schema: the column schema (`kb/downloads/audit-columns.json`).
        Raises: NotUnderstood when the file as a whole cannot be read, with every reason.
        """
        self._lines, first = _lines(text)
        self.separator, first = _separator(self._lines, first, schema)
        cells, self._place, broken = _record(self._lines, first, self.separator)
        while cells and (not cells[-1] or not _column_name(cells[-1])):  # some programs write thousands of empty ones
            cells.pop()
        self.header = [_column_name(cell) for cell in cells]
        faults = [("", "Line " + str(first + 1) + ": " + broken)] if broken else []
        faults += [("", sentence) for sentence in _header_faults(self.header, schema)]
        if not faults and not self.lines_left():
            faults = [("", "The file holds no attempt below its header.")]
        if faults:
            raise NotUnderstood(faults)
        self.absent = [name for name in schema["columnOrder"] if name not in self.header]
        self.bad, self._seen, self._at = [], {}, self.header.index("attempt")

    def lines_left(self):
        """How many lines that are not blank were not yet parted."""
        return len([line for line in self._lines[self._place:] if line.strip(" ,;\t")])

    def done(self):
        """Whether the end was reached."""
        return self._place >= len(self._lines)

    def take(self, most):
        """The next rows as (line, cells), at most so many; those at fault go to `bad`."""
        rows, lines, separator, width = [], self._lines, self.separator, len(self.header)
        while not self.done() and len(rows) < most:
            line = self._place + 1
            cells, self._place, broken = _record(lines, self._place, separator)
            if not "".join(cells[width:]).strip(" "):
                cells = cells[:width]
            if not broken and not "".join(cells).strip(" "):
                continue
            if broken or len(cells) != width:
                self.bad.append(fault(line, "", "", broken or _width_words(len(cells), width, separator)))
            elif not self._twin(line, cells[self._at]):
                rows.append((line, cells))
        return rows

    def _twin(self, line, name):
        """Whether an earlier row has the same `attempt`."""
        name = trimmed(name) if len(name) <= MOST_LETTERS else ""
        if name and name in self._seen:
            self.bad.append(fault(line, "attempt", name, "line " + str(self._seen[name]) + " has the same; each attempt needs its own."))
            return True
        self._seen[name] = line
        return False


def fault(line, column, value, sentence):
    """One fault of one row: where it is, what stands there, and what is wrong or allowed, as the end of a sentence."""
    return {"line": line, "column": column, "value": value, "sentence": sentence}


def fault_words(found):
    """A fault as a whole sentence."""
    where = "Line " + str(found["line"])
    if found["column"]:
        where += ", " + found["column"] + (" “" + shortened(found["value"]) + "”" if found["value"] else "")
    return where + ": " + found["sentence"]


def _lines(text):
    """Lines of the file, and the place of the first that is not blank."""
    if text[:1] == "\ufeff":
        text = text[1:]
    if "\0" in text:
        raise NotUnderstood([("", "The file holds zero bytes: it is not a text file. Save the table as “CSV UTF-8”.")])
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    lines = text.split("\n")
    for place, line in enumerate(lines):
        if line.strip(" ,;\t"):
            return lines, place
    raise NotUnderstood([("", "The file is empty.")])


def _separator(lines, first, schema):
    """(separator, place of the header): the one that parts the header into the most known names."""
    line = lines[first]
    if line[:4].lower() == "sep=" and first + 1 < len(lines) and line[4:5] in SEPARATORS:
        return line[4:5], first + 1
    best, most = "", 0
    for separator in SEPARATORS:
        names = line.split(separator)
        known = len([name for name in names[:MOST_COLUMNS] if _column_name(name.strip('"')) in schema["properties"]])
        if known > most:
            best, most = separator, known
    if not best:
        raise NotUnderstood([("", "The first line names none of the columns of an audit file; it starts “"
                              + shortened(line[:100]) + "”. The header must hold at least: "
                              + ", ".join(schema["required"]) + ", and " + " or ".join(ONE_OF) + ".")])
    return best, first


def _column_name(cell):
    return trimmed(cell[:100]).lower().replace(" ", "_")


def _header_faults(header, schema):
    """Sentences for everything wrong with the header."""
    known = schema["columnOrder"]
    if len(header) > MOST_COLUMNS:
        return ["The header has " + str(len(header)) + " columns; the schema knows " + str(len(known)) + "."]
    sentences, seen = [], []
    for place, name in enumerate(header):
        if not name:
            sentences.append("Column " + str(place + 1) + " has no name.")
        elif name in seen:
            sentences.append("The column " + shortened(name) + " stands twice in the header.")
        elif name not in schema["properties"]:
            sentences.append("“" + shortened(name) + "” is no column of the schema" + nearest_words(name, known)
                             + ". Mend its name, or take it out: a column with names or numbers of patients does not belong here.")
        seen.append(name)
    for name in schema["required"]:
        if name not in header:
            sentences.append("The column " + name + " is missing.")
    if not [name for name in ONE_OF if name in header]:
        sentences.append("An age is missing: one of the columns " + " or ".join(ONE_OF) + " is needed.")
    return sentences


def _width_words(found, wanted, separator):
    """What to say of a row with too few or too many cells."""
    sentence = "the row has " + str(found) + (" cell" if found == 1 else " cells") + " and the header " + str(wanted) + "."
    if found > wanted and separator == ",":
        sentence += " A decimal comma parts a number where commas part cells: write decimal points, or part cells by semicolons."
    return sentence


def _record(lines, place, separator):
    """(cells, place of the next record, what is wrong) of the record that begins at `place`."""
    if '"' not in lines[place]:
        return lines[place].split(separator), place + 1, ""
    begin = place
    cells, cell, inside, closed, broken = [], [], False, False, ""
    while True:
        for letter in lines[place]:
            if inside:
                if letter == '"':
                    inside, closed = False, True
                else:
                    cell.append(letter)
            elif letter == separator:
                cells.append("".join(cell))
                cell, closed = [], False
            elif letter == '"' and closed:  # a doubled mark stands for one
                cell.append(letter)
                inside, closed = True, False
            elif letter == '"' and not cell:
                inside = True
            else:
                if closed:
                    broken = "text stands behind a closing quotation mark."
                cell.append(letter)
        place += 1
        if not inside:
            cells.append("".join(cell))
            return cells, place, broken
        if place >= len(lines) or len(cell) > MOST_LETTERS:
            return [], begin + 1, "a quotation mark is opened and not closed again."
        cell.append("\n")

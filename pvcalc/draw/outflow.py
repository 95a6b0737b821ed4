"""The outflow of the right ventricle in straight lateral view: one shape, drawn from a centre line.

The front of the chest is on the left, the head above. Positions along the outflow are given by a
distance from the valve in drawing units, positive towards the lung artery, so that leaflets, jets and
balloons lie on the same line in every picture.
"""

from math import sqrt

from pvcalc.draw.svg import joined, path, smooth

# Centre line from the body of the ventricle to a branch of the artery: x, y, half width to the front,
# half width to the back, wall. The wall is thick muscle below the valve and thin artery above it; the
# body reaches further back, to the tricuspid valve, than to the front.
STATIONS = [
    (46, 184, 22, 30, 7), (50, 172, 34, 52, 8), (54, 154, 36, 66, 9), (60, 134, 32, 52, 10), (66, 115, 23, 25, 11),
    (71, 98, 16, 16, 11), (77, 82, 15, 15, 6), (84, 67, 22, 22, 2), (94, 52, 23, 23, 2), (109, 39, 20, 20, 2),
    (130, 31, 15, 15, 2), (158, 29, 12, 12, 2),
]
INFUNDIBULUM, VALVE, SINUS, TRUNK = 5, 6, 7, 8
RIDGES = [(-106, -20), (-108, -4), (-106, 14), (-92, 34), (-88, -26), (-84, 8)]  # trabeculae of the body
STEPS_BETWEEN = 8


class Outflow:
    """One outflow, placed in a picture.

    Attributes:
        stations: list of (x, y, front half width, back half width, wall) in picture coordinates.
    """

    def __init__(self, left, top, size=1.0, half_widths=()):
        """Place the shape with its frame of 160 by 200 at (left, top); `half_widths` is a list of (station, value)."""
        changed = dict(half_widths)
        self.size = size
        self.stations = []
        for place, (x, y, front, back, wall) in enumerate(STATIONS):
            front, back = changed.get(place, front), changed.get(place, back)
            self.stations.append((left + x * size, top + y * size, front * size, back * size, wall * size))
        self.line = _sampled([(station[0], station[1]) for station in self.stations])
        self.zero = self.line[VALVE * STEPS_BETWEEN][2]

    def point(self, distance, aside=0.0):
        """The point at `distance` from the valve along the centre line, `aside` of it (positive: back of the chest)."""
        goal = self.zero + distance * self.size
        line = self.line
        i = 0
        while i < len(line) - 2 and line[i + 1][2] < goal:
            i += 1
        (x1, y1, d1), (x2, y2, d2) = line[i], line[i + 1]
        part = (goal - d1) / (d2 - d1)
        ux, uy = (x2 - x1) / (d2 - d1), (y2 - y1) / (d2 - d1)
        aside = aside * self.size
        return x1 + (x2 - x1) * part - uy * aside, y1 + (y2 - y1) * part + ux * aside

    def edge(self, side, extra):
        """One border through all stations, `extra` times the wall outside the lumen; side -1 front, 1 back."""
        points = []
        for i, (x, y, to_front, to_back, wall) in enumerate(self.stations):
            before = self.stations[max(i - 1, 0)]
            after = self.stations[min(i + 1, len(self.stations) - 1)]
            dx, dy = after[0] - before[0], after[1] - before[1]
            length = sqrt(dx * dx + dy * dy)
            reach = side * ((to_front if side < 0 else to_back) + extra * wall)
            points.append((x - dy / length * reach, y + dx / length * reach))
        return points

    def hinge(self, side):
        """Where a leaflet is fixed to the wall."""
        return self.edge(side, 0)[VALVE]

    def drawn(self, lumen="fig-lumen", ridged=True):
        """Wall and lumen; `ridged` with the trabeculae of a body of the usual width."""
        ridges = "" if not ridged else "".join([path(smooth([self.point(along, aside), self.point(along + 7, aside + 5), self.point(along + 16, aside + 4)]),
                               "fig-ridge") for along, aside in RIDGES])
        return path(self._outline(1), "fig-muscle") + path(self._outline(0), lumen) + ridges

    def _outline(self, extra):
        """Down the back border, round the apex and up the front; open where the artery runs on."""
        front, back = self.edge(-1, extra), self.edge(1, extra)
        back.reverse()
        apex = self.stations[0]
        return smooth(back + [(apex[0] - 2 * self.size, apex[1] + 6 * self.size + extra * apex[4])] + front)

    def around(self, extra, look):
        """What lies around the muscle, to `extra` times the thickness of the wall; thin at the artery, which has a thin one."""
        return path(self._outline(extra) + "Z", look)

    def tricuspid(self):
        """The way in at the back of the body: a gap in the wall, and the two leaflets that hang into the ventricle beside it."""
        gap = [self.point(-58, 56), self.point(-58, 80), self.point(-94, 82), self.point(-94, 54)]
        strokes = [path(joined(gap, True), "fig-lumen-open")]
        for hinge, middle, tip in (((-58, 66), (-63, 54), (-68, 43)), ((-94, 60), (-97, 51), (-95, 42))):
            strokes.append(path(smooth([self.point(*hinge), self.point(*middle), self.point(*tip)]), "fig-tricuspid"))
        return "".join(strokes)

    def wire(self, end=96, look="fig-wire"):
        """A wire that comes through the tricuspid valve at the back, turns in the body and follows the centre line."""
        points = [self.point(-70, 92), self.point(-88, 34), self.point(-84, 10)]
        distance = -68
        while distance <= end:
            points.append(self.point(distance))
            distance += 8
        return path(smooth(points), look)

    def leaflets(self, tip, gap, look="fig-leaflet", bow=0.0):
        """Two leaflets in section, from the hinges to tips `tip` above the valve and `gap` apart; `bow` bulges them."""
        strokes = []
        for side in (-1, 1):
            half = self.stations[VALVE][2] / self.size
            middle = self.point(tip * 0.55 + bow, side * (half + gap / 2) * 0.58)
            strokes.append(path(smooth([self.hinge(side), middle, self.point(tip, side * gap / 2)]), look))
        return "".join(strokes)

    def balloon(self, middle, half_length, radius, waist_at=None, waist_depth=0.0, waist_half=9.0, look="fig-balloon"):
        """A balloon whose middle lies `middle` from the valve; `waist_at` is where the valve pinches it."""
        shoulder = radius * 0.9
        front, back = [], []
        reach = half_length + shoulder
        for step in range(41):
            along = -reach + 2 * reach * step / 40
            width = balloon_half_width(along, half_length, shoulder, radius)
            if waist_at is not None:
                width -= pinch(middle + along - waist_at, waist_half) * waist_depth
            width = max(width, 0.8)
            front.append(self.point(middle + along, -width))
            back.append(self.point(middle + along, width))
        back.reverse()
        marks = []
        for end in (-half_length, half_length):
            marks.append(path(joined([self.point(middle + end, -2.6), self.point(middle + end, 2.6)]), "fig-marker"))
        return path(joined(front + back, True), look) + "".join(marks)


def balloon_half_width(along, half_length, shoulder, radius):
    """Full between the ends of `half_length`, then down to nothing over `shoulder`."""
    over = abs(along) - half_length
    if over <= 0:
        return radius
    left = 1 - over / shoulder
    return radius * left * (2 - left) if left > 0 else 0.0


def pinch(offset, half):
    """1 in the middle of the waist, falling softly to 0 at `half` from it."""
    share = offset / half
    return (1 - share * share) * (1 - share * share) if abs(share) < 1 else 0.0


def _sampled(points):
    """The soft curve of `draw.smooth` through points, as short straight pieces with the distance covered."""
    line = [(points[0][0], points[0][1], 0.0)]
    for i in range(len(points) - 1):
        here, there = points[i], points[i + 1]
        before = points[max(i - 1, 0)]
        after = points[min(i + 2, len(points) - 1)]
        for step in range(1, STEPS_BETWEEN + 1):
            t = step / STEPS_BETWEEN
            x = _hermite(t, here[0], there[0], (there[0] - before[0]) / 2, (after[0] - here[0]) / 2)
            y = _hermite(t, here[1], there[1], (there[1] - before[1]) / 2, (after[1] - here[1]) / 2)
            last = line[-1]
            dx, dy = x - last[0], y - last[1]
            line.append((x, y, last[2] + sqrt(dx * dx + dy * dy)))
    return line


def _hermite(t, start, end, slope_start, slope_end):
    u = 1 - t
    return (start * (1 + 2 * t) * u * u + end * (3 - 2 * t) * t * t
            + slope_start * t * u * u - slope_end * t * t * u)

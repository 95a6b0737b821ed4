"""The way of the catheter through the right heart, and the way it must not take."""

from pvcalc.draw.svg import PAGE, canvas, drawn, label, line, paragraph, path, smooth

ATRIUM = [(70, 118), (98, 100), (128, 112), (140, 142), (132, 178), (104, 196), (76, 182), (62, 150)]
VENTRICLE = [(146, 134), (168, 124), (184, 108), (190, 84), (222, 80), (228, 104), (240, 132), (262, 168),
             (280, 206), (262, 222), (218, 216), (176, 206), (148, 190)]


VESSELS = [  # middle line, look of its width
    ([(94, 28), (94, 70), (96, 118)], "fig-tube-narrow"),
    ([(104, 252), (103, 220), (102, 184)], "fig-tube-narrow"),
    ([(206, 70), (196, 44), (150, 46), (118, 56), (66, 60)], "fig-tube-narrow"),
    ([(208, 70), (228, 38), (268, 38), (300, 62), (314, 98)], "fig-tube-narrow"),
    ([(207, 92), (208, 72), (212, 50)], "fig-tube-wide"),
]


def _heart():
    """Right atrium, ventricle and lung artery from the front; the patient's right is on the left of the page.

    All borders are laid first and all lumens over them, so that the chambers open into each other.
    """
    borders = [path(smooth(points), "fig-tube-edge " + look) for points, look in VESSELS]
    lumens = [path(smooth(points), "fig-tube " + look) for points, look in VESSELS]
    return "".join(borders + [path(smooth(ATRIUM, True), "fig-lumen"), path(smooth(VENTRICLE, True), "fig-muscle-line")]
                   + lumens + [
        path(smooth(ATRIUM, True), "fig-lumen-open"), path(smooth(VENTRICLE, True), "fig-lumen-open"),
        path(smooth([(118, 163), (172, 163)]), "fig-tube fig-tube-orifice"),
        path(smooth([(188, 86), (198, 78), (205, 82)]), "fig-leaflet"),
        path(smooth([(227, 86), (217, 77), (210, 82)]), "fig-leaflet"),
        path(smooth([(142, 137), (158, 142), (166, 152)]), "fig-leaflet"),
        path(smooth([(144, 189), (158, 184), (166, 175)]), "fig-leaflet"),
    ])


def _tricuspid(left, top):
    """The tricuspid valve large, in section: atrium left, ventricle right, chords to their muscles."""
    def moved(points):
        return [(left + x, top + y) for x, y in points]
    upper, lower = (136, 22), (128, 108)
    strokes = [path(smooth(moved([(52, 4), (50, 18), (46, 30), (52, 34)])), "fig-leaflet"),
               path(smooth(moved([(52, 122), (50, 108), (46, 98), (52, 94)])), "fig-leaflet"),
               path(smooth(moved([(52, 32), (70, 34), (86, 46)])), "fig-leaflet"),
               path(smooth(moved([(52, 96), (70, 94), (84, 84)])), "fig-leaflet")]
    for start in ((86, 46), (76, 38), (66, 34)):
        strokes.append(path(smooth(moved([start, upper])), "fig-chord"))
    for start in ((84, 84), (74, 91), (64, 95)):
        strokes.append(path(smooth(moved([start, lower])), "fig-chord"))
    for x, y, lean in ((upper[0], upper[1], -6), (lower[0], lower[1], 6)):
        strokes.append(path(smooth(moved([(x + 26, y - 8 + lean), (x, y), (x + 26, y + 8 + lean)])), "fig-muscle"))
    return "".join(strokes)


@drawn()
def catheter_course(*, picture_id):
    """A catheter from the lower caval vein through the main orifice of the tricuspid valve to a branch of the
    lung artery; below, the right way through the tricuspid valve and the wrong way between its chords."""
    course = [(105, 252), (104, 216), (112, 182), (140, 164), (176, 164), (202, 150), (208, 116), (208, 78),
              (222, 50), (262, 44), (296, 66), (308, 90)]
    parts = [_heart(), path(smooth(course), "fig-catheter")]
    parts.append(path("M312 92a6 6 0 1 0 0.1 0Z", "fig-tip"))
    for x, y, text, anchor in ((56, 140, "right", "end"), (56, 154, "atrium", "end"), (290, 176, "right", "start"),
                               (290, 190, "ventricle", "start"), (240, 100, "valve", "start"), (318, 62, "left", "start"),
                               (318, 76, "branch", "start"), (60, 58, "right", "end"), (60, 72, "branch", "end"), (112, 248, "lower caval vein", "start")):
        parts.append(label(x, y, text, "fig-small fig-halo", anchor))
    parts.append(line(0, 264, 360, 264, "fig-frame"))
    parts.append(line(180, 264, 180, 432, "fig-frame"))
    parts += [label(4, 282, "Right: main orifice", "fig-good-text"), label(188, 282, "Wrong: between chords", "fig-bad-text")]
    parts += [_tricuspid(0, 292), _tricuspid(184, 292)]
    parts.append(path(smooth([(4, 372), (40, 362), (90, 356), (130, 354), (172, 332)]), "fig-catheter"))
    parts.append(path(smooth([(188, 372), (222, 352), (256, 342), (276, 326), (290, 322), (316, 336), (344, 350), (358, 342)]),
                      "fig-catheter-bad"))
    parts.append(path("M268 316l18 18M286 316l-18 18", "fig-cross"))
    parts.append(label(4, 426, "atrium", "fig-small"))
    parts.append(label(176, 426, "ventricle", "fig-small", "end"))
    text = ("Float an inflated balloon tip across: it takes the main orifice. Test the free path: the inflated tip "
            "must move between atrium and ventricle without catching. A valve balloon opened between chords tears them.")
    written, bottom = paragraph(4, 450, text, PAGE, "fig-small")
    parts.append(written)
    return canvas(picture_id, bottom - 8, "Course of the catheter to a branch of the lung artery",
                  "Right heart from the front. The catheter runs from the lower caval vein through the right atrium, the main "
                  "orifice of the tricuspid valve, the right ventricle and the pulmonary valve into the left branch of the "
                  "lung artery. Below left, the right way: between the leaflets of the tricuspid valve. Below right, the "
                  "wrong way, crossed out: behind a leaflet, between its chords. " + text, parts)

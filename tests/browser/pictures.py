"""Reads a screenshot: just enough of PNG (8 bits, RGB or RGBA, not interlaced) to ask where the ink is."""

import struct
import zlib


def pixels(png: bytes) -> list[bytes]:
    """Rows of a PNG as bytes, undone of their filters, with the number of bytes a pixel in front.

    Raises: ValueError for a kind of PNG that Chromium does not write.
    """
    at, data, header = 8, b"", None
    while at < len(png):
        length, kind = struct.unpack(">I4s", png[at:at + 8])
        body = png[at + 8:at + 8 + length]
        if kind == b"IHDR":
            header = struct.unpack(">IIBBBBB", body)
        data += body if kind == b"IDAT" else b""
        at += length + 12
    width, height, depth, colour, _, _, interlaced = header
    if depth != 8 or colour not in (2, 6) or interlaced:
        raise ValueError("not a screenshot as Chromium writes it")
    step = 3 if colour == 2 else 4
    return _rows(zlib.decompress(data), width, height, step), step


def _rows(raw, width, height, step):
    stride, before, rows = width * step, bytearray(width * step), []
    for number in range(height):
        kind, row = raw[number * (stride + 1)], bytearray(raw[number * (stride + 1) + 1:(number + 1) * (stride + 1)])
        for place in range(stride):
            left = row[place - step] if place >= step else 0
            above, corner = before[place], before[place - step] if place >= step else 0
            row[place] = (row[place] + _guess(kind, left, above, corner)) & 255
        rows.append(bytes(row))
        before = row
    return rows


def _guess(kind, left, above, corner):
    if kind == 0:
        return 0
    if kind == 1:
        return left
    if kind == 2:
        return above
    if kind == 3:
        return (left + above) // 2
    near = left + above - corner
    return min((left, above, corner), key=lambda value: (abs(near - value), (left, above, corner).index(value)))


def dark_share(png: bytes, *, top: float, bottom: float, left: float, right: float) -> float:
    """Share of the columns of a window (fractions of the picture) that hold ink darker than mid-grey."""
    rows, step = pixels(png)
    height, width = len(rows), len(rows[0]) // step
    window = rows[int(top * height):max(int(bottom * height), int(top * height) + 1)]
    columns = range(int(left * width), int(right * width))
    inked = sum(any(row[column * step] < 128 for row in window) for column in columns)
    return inked / len(columns)

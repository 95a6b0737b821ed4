"""Two ledgers compared for people: where, what, before, after and why, at most one screen of it."""

from pvcalc.handbook.checks import ledger

ROWS = 20  # one screen of a terminal
WIDTH = 44  # letters of a cell
LEAD = 12  # letters shown before the place at which two long values part
NONE = "—"
HEADS = ("where", "what", "before", "after", "why")


def rows(before: list[str], now: list[str]) -> list[tuple[str, str, str, str, str]]:
    """(where, what, before, after, why) of each number that moved; the same move on several pages is one row.

    Args:
        before, now: ledger lines.
    A line that went and the next one that came with the same page, kind and name are one number; why names the inputs that moved.
    """
    gone, come = ledger.moved(before, now)
    waiting, found = {}, {}
    for line in come:
        waiting.setdefault(tuple(_parts(line)[:3]), []).append(_parts(line))
    for line in gone:
        page, kind, name, given, value = _parts(line)
        after = _partner(waiting.get((page, kind, name), []), given)
        told = (NONE, "gone") if after is None else (after[4], _why(kind, given, after[3]))
        found.setdefault((f"{kind} {name}", value, *told), []).append(page)
    for left in waiting.values():
        for page, kind, name, given, value in left:
            found.setdefault((f"{kind} {name}", NONE, value, "new"), []).append(page)
    return [(_pages(pages), *row) for row, pages in found.items()]


def text(before: list[str], now: list[str]) -> str:
    """The rows as a table of at most one screen, with the count of the rest."""
    found = rows(before, now)
    if not found:
        return f"Nothing moved: ledger {ledger.digest(now)}.\n"
    shown = [HEADS, *[tuple(map(_cut, _from_where_they_part(row))) for row in found[:ROWS]]]
    wide = [max(len(row[place]) for row in shown) for place in range(len(HEADS))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, wide)).rstrip() for row in shown]
    if len(found) > ROWS:
        lines.append(f"… and {len(found) - ROWS} more rows")
    return "\n".join([*lines, f"ledger {ledger.digest(before)} -> {ledger.digest(now)}"]) + "\n"


def _parts(line):
    """page, kind, name, inputs and value; a typed line's name is its place, its inputs are its marks."""
    head, _, value = line.rpartition(" | ")
    page, kind, name, *given = head.split(" | ")
    return [page, kind, name, " | ".join(given), value]


def _partner(candidates, given):
    """The candidate with the same inputs, else the first; it is taken out."""
    if not candidates:
        return None
    best = next((one for one in candidates if one[3] == given), candidates[0])
    candidates.remove(best)
    return best


def _why(kind, given, after):
    if given == after:
        return {"setting": "the setting was changed", "typed": "typed anew", "formula": "the formula or its data"}.get(kind, "its data")
    old, new = dict(_pairs(given)), dict(_pairs(after))
    moved = [f"{key} {old.get(key, NONE)} → {new.get(key, NONE)}" for key in sorted(old | new) if old.get(key) != new.get(key)]
    return "; ".join(moved) or "its marks or words"


def _pairs(given):
    return [word.split("=", 1) for word in given.split(" ") if "=" in word]


def _pages(pages):
    known = list(dict.fromkeys(pages))
    return known[0] if len(known) == 1 else f"{known[0]} and {len(known) - 1} more"


def _from_where_they_part(row):
    """The row with two long values begun shortly before the letter at which they differ."""
    where, what, before, after, why = row
    same = next((place for place, pair in enumerate(zip(before, after)) if pair[0] != pair[1]), 0)
    start = before.rfind(" ", 0, max(0, same - LEAD)) + 1
    if max(len(before), len(after)) <= WIDTH or not start:
        return row
    return where, what, "…" + before[start:], "…" + after[start:], why


def _cut(cell):
    return cell if len(cell) <= WIDTH else cell[:WIDTH - 1] + "…"

"""The page of sources: each work, what of it was seen, which parts of its citation are recalled."""

from html import escape

from pvcalc.handbook.authoring import inline
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import filters, table


@generated("sources")
def sources_page(project, page):
    """Every source, what of it was seen, and which parts of its citation are recalled."""
    rows, attributes = [], []
    for key, source in sorted(project.data.sources.items(), key=lambda item: item[1].short_name.lower()):
        recalled = f"recalled: {', '.join(source.memory)}" if source.memory else ""
        rows.append([escape(inline.full_citation(source)), f"<code>{key}</code>", inline.mark(source.seen),
                     escape(source.extent), escape(" ".join(part for part in (recalled, source.note or "") if part))])
        attributes.append({"id": key, "data-seen": source.seen})
    seen = sorted({source.seen for source in project.data.sources.values()})
    return ("<p>Each work is cited as a work; nobody should trust the address of a copy. "
            "“Seen” says how much of it somebody on the team has read.</p>"
            + filters("source-rows", [("seen", "Seen", seen)])
            + f'<div id="source-rows">{table(["Work", "Key", "Seen", "What was seen", "Notes"], rows, "", attributes)}</div>')

"""The cited works for a reader's own list: as CSL-JSON and as BibTeX.

What was not shown is left out; what is recalled is said in the note, so that no list hides it.
"""

import json
import re

from pvcalc.handbook.data.schemas import UNSEEN, Source

CSL_TYPES = {"textbook": "book", "label": "document", "software": "software", "data": "dataset", "low": "webpage"}
BIB_TYPES = {"article-journal": "article", "book": "book", "report": "techreport"}
# What BibTeX takes for its own.
BIB_LETTERS = {"\\": r"\textbackslash{}", "&": r"\&", "%": r"\%", "$": r"\$", "#": r"\#", "_": r"\_", "{": r"\{", "}": r"\}",
               "~": r"\textasciitilde{}", "^": r"\textasciicircum{}"}
VOLUME = re.compile(r"(?P<volume>[^()]*?)\s*\((?P<issue>[^)]+)\)")
PERSON = re.compile(r"(?P<family>.+?) (?P<given>[A-Z][A-Za-z-]{0,4})(?P<suffix> (?:Jr|Sr|[23]rd|2nd))?")


def files(project) -> list[tuple[str, str]]:
    """(path below the site, text) of both lists."""
    works = project.data.sources
    return [("downloads/sources.json", json.dumps([csl(key, work) for key, work in works.items()], ensure_ascii=False, indent=1)),
            ("downloads/sources.bib", "\n".join(bibtex(key, work) for key, work in works.items()))]


def csl(key: str, work: Source) -> dict:
    """One work as an item of CSL-JSON."""
    item = {"id": key, "type": csl_type(work), "title": work.title, "note": note_of(work)}
    names = [csl_name(name) for name in authors_of(work)]
    volume, issue = volume_of(work)
    more = {"author": names, "container-title": _shown(work.journal) if item["type"] == "article-journal" else "",
            "publisher": _shown(work.journal) if item["type"] != "article-journal" else "",
            "issued": {"date-parts": [[work.year]]} if work.year != UNSEEN else None,
            "volume": volume, "issue": issue, "page": work.pages, "DOI": work.doi, "PMID": work.pmid, "PMCID": work.pmcid,
            "ISBN": work.isbn, "number": work.number}
    return item | {field: value for field, value in more.items() if value}


def csl_type(work: Source) -> str:
    """Type of a work: by its grade, or a journal's article, or a report."""
    if work.grade in CSL_TYPES:
        return CSL_TYPES[work.grade]
    return "article-journal" if work.doi or work.pmid or work.pmcid or work.volume else "report"


def authors_of(work: Source) -> list[str]:
    """Authors, or the one body; without "et al.", which `note_of` tells."""
    if UNSEEN in work.authors:
        return []
    names = [name.strip() for name in work.authors.replace("(eds)", "").replace("(ed)", "").split(",")]
    persons = [name for name in names if name and name.rstrip(".") != "et al"]
    # A body may have a comma in its name: it is one name, unless every part reads as a person's.
    return persons if all(PERSON.fullmatch(name) for name in persons) else [", ".join(persons)]


def csl_name(name: str) -> dict:
    """A person's parts, or the name of a body."""
    person = PERSON.fullmatch(name)
    if person is None:
        return {"literal": name}
    made = {"family": person["family"], "given": person["given"]}
    return made | {"suffix": person["suffix"].strip()} if person["suffix"] else made


def volume_of(work: Source) -> tuple[str, str]:
    """Volume and issue of `89(4)`; a bare volume has no issue."""
    parts = VOLUME.fullmatch(work.volume)
    return (parts["volume"], parts["issue"]) if parts else (work.volume, "")


def note_of(work: Source) -> str:
    """What the team saw of it, and which fields are recalled."""
    parts = [f"Seen: {work.extent}."]
    if work.read_how == "second":
        parts.append("Read second-hand.")
    if work.memory:
        parts.append(f"Recalled, not seen: {', '.join(work.memory)}.")
    if "et al" in work.authors:
        parts.append("Further authors are not listed.")
    return " ".join(parts)


def bibtex(key: str, work: Source) -> str:
    """One work as an entry of BibTeX, in Unicode."""
    kind = csl_type(work)
    volume, issue = volume_of(work)
    names = [_bib_name(name) for name in authors_of(work)] + (["others"] if "et al" in work.authors else [])
    home = {"article-journal": "journal", "report": "institution", "book": "publisher"}.get(kind, "howpublished")
    fields = {"title": "{" + _letters(work.title) + "}", "author": " and ".join(names), home: _letters(_shown(work.journal)),
              "year": str(work.year) if work.year != UNSEEN else "", "volume": _letters(volume), "number": _letters(issue or work.number or ""),
              "pages": _letters(work.pages).replace("-", "--"), "doi": work.doi or "", "isbn": work.isbn or "",
              "pmid": work.pmid or "", "pmcid": work.pmcid or "", "note": _letters(note_of(work))}
    told = "".join(f"  {name} = {{{value}}},\n" for name, value in fields.items() if value)
    return f"@{BIB_TYPES.get(kind, 'misc')}{{{key},\n{told}}}\n"


def _bib_name(name):
    made = csl_name(name)
    if "literal" in made:
        return "{" + _letters(name) + "}"
    suffix = f", {made['suffix']}" if "suffix" in made else ""
    return _letters(f"{made['family']}{suffix}, {made['given']}")


def _letters(text):
    return "".join(BIB_LETTERS.get(letter, letter) for letter in str(text))


def _shown(words):
    return "" if words == UNSEEN else words

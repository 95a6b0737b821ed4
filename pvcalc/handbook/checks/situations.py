"""Low pressure after the balloon: invented situations, what their numbers read, and what the drill must answer and withhold.

The file `kb/_data/_situations/low_pressure.yml` is written from the documents; lint holds it to fields, words and grounds that
exist, the tests hold the drill to it, and a reference page shows each with this build's own answer.
"""

from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, TypeAdapter, ValidationError

from pvcalc.decision.evaluate import decide
from pvcalc.formulas.low_pressure import ra_level_after_balloon, ra_level_without_before, rv_level_after_balloon
from pvcalc.handbook.checks import expected
from pvcalc.handbook.data.findings import Finding, unknown
from pvcalc.handbook.data.schemas import Entry, Number, Words
from pvcalc.handbook.data.yaml_lines import read_document

PLACE = Path("kb/_data/_situations/low_pressure.yml")
TABLE = "hypotension_after_deflation"
# What a situation sees unless it says otherwise.
ORDINARY = {"pulse": "present", "balloon_down": "yes", "rhythm": "usual", "contrast_outside": "no", "fluid": "no", "other_sign": "none",
            "ventricle_on_echo": "neither", "step_on_pullback": "not_measured"}
Drug = Literal["beta_blocker", "inotrope", "volume", "oxygen", "larger_balloon"]


class Before(Entry):
    """mmHg before the balloon, body weight in kg; what nobody read is left out."""

    rv: Number | None = None
    ra: Number | None = None
    weight: Number


class Low(Entry):
    """mmHg of the low moment, before any volume."""

    systemic: Number
    rv: Number
    ra: Number


class Reads(Entry):
    """The words that the numbers must give."""

    rv: Literal["HIGH", "BETWEEN", "LOW"]
    ra: Literal["HIGH", "ORDINARY", "LOW"]
    weak: bool = False


class Situation(Entry):
    """One invented moment; `harms` must not be given in it, `unobstructed` says that there is no muscle to relax."""

    title: Words
    before: Before
    now: Low
    sees: dict[str, Words]
    reads: Reads
    answer: Words
    harms: Annotated[list[Drug], Field(min_length=1)]
    gives: Literal["adrenaline"] | None = None
    unobstructed: bool = False
    ground: Words
    by: Words


def load(root: Path) -> tuple[dict[str, Situation], list[Finding]]:
    """Every situation by id, and the faults of the file with their lines; a project without the file has none."""
    if not (Path(root) / PLACE).is_file():
        return {}, []
    document, found = read_document(Path(root), Path(root) / PLACE)
    kept = {}
    for key, raw in (document.value if document else {}).items():
        try:
            kept[key] = TypeAdapter(Situation).validate_python(raw)
        except ValidationError as fault:
            for error in fault.errors(include_url=False):
                steps = ".".join(str(step) for step in error["loc"])
                found.append(document.finding((key, *error["loc"]), f"{key}: `{steps}`: {error['msg']}"))
    return kept, found


def findings(project) -> list[Finding]:
    """Faults of the file: fields, inputs and words of the table, answers and grounds that do not exist."""
    kept, found = load(project.root)
    if not kept or TABLE not in project.tables:
        return found
    document = read_document(project.root, project.root / PLACE)[0]
    table, facts = project.tables[TABLE], expected.known_facts(project)
    answers = {row["then"]["answer"] for row in table["rows"]}
    for key, situation in kept.items():
        for name, word in situation.sees.items():
            known = table["choices"].get(name)
            if known is None:
                found.append(document.finding((key, "sees", name), f"{key}: {unknown('input of the drill', name, table['choices'])}"))
            elif word not in known:
                found.append(document.finding((key, "sees", name), f"{key}: {unknown(f'choice of `{name}`', word, known)}"))
        if situation.answer not in answers:
            found.append(document.finding((key, "answer"), f"{key}: {unknown('answer of the drill', situation.answer, answers)}"))
        if situation.unobstructed and "beta_blocker" not in situation.harms:
            found.append(document.finding((key, "harms"), f"{key}: an unobstructed ventricle is harmed by a beta-blocker; say so"))
        fault = expected.ground_fault(project, facts, situation.ground)
        if fault:
            found.append(document.finding((key, "ground"), f"{key}: {fault}"))
    return found


def read(situation, value) -> Reads:
    """What the numbers of a situation read.

    Args:
        situation: one Situation; value: a function from the key of a setting to its number.
    """
    before, now = situation.before, situation.now
    ventricle = "BETWEEN"  # without a number before nothing is called high or low
    if before.rv is not None:
        ventricle = dict(rv_level_after_balloon(
            rv_now_mmhg=now.rv, rv_before_mmhg=before.rv, systemic_now_mmhg=now.systemic, high_from_ratio=value("rv_high_from_ratio"),
            high_over_systemic_ratio=value("rv_high_over_systemic_ratio"), over_systemic_mmhg=value("rv_over_systemic_mmhg"),
            low_to_ratio=value("rv_low_to_ratio")))["rv_level"]
    if before.ra is None:
        weak = dict(ra_level_without_before(ra_now_mmhg=now.ra, high_from_mmhg=value("ra_high_from_mmhg"),
                                            low_below_mmhg=value("ra_low_below_unknown_mmhg")))
        return Reads(rv=ventricle, ra=weak["ra_level"], weak=True)
    lines = {name: value(f"ra_{name}") for name in ("rise_mmhg", "small_rise_mmhg", "small_below_kg", "high_from_mmhg", "fall_mmhg",
                                                    "low_to_mmhg")}
    atrium = dict(ra_level_after_balloon(ra_now_mmhg=now.ra, ra_before_mmhg=before.ra, weight_kg=before.weight, **lines))["ra_level"]
    return Reads(rv=ventricle, ra=atrium)


def answered(table, situation, reads) -> dict:
    """What the drill answers when the numbers read so: the dict of `decide`."""
    return decide(table, {**ORDINARY, **situation.sees, "rv_level": reads.rv.lower(), "ra_level": reads.ra.lower()})


def given_harm(situation, then) -> list[str]:
    """What of `harms` a row does not withhold."""
    return [drug for drug in situation.harms if then.get(drug) != ("not_full" if drug == "oxygen" else "no")]

"""What one entry of each data file may say. Rules between fields are in `rules.py`."""

import re
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints

Seen = Literal["read", "second", "memory", "practice", "derived"]


def _as_text(value):
    """Volumes and page numbers are often bare numbers in the file; they are texts here."""
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


Words = Annotated[str, StringConstraints(strict=True, strip_whitespace=True, min_length=1)]
Text = Annotated[Words, BeforeValidator(_as_text)]
Number = Annotated[float, Field(strict=True, allow_inf_nan=False)]
Whole = Annotated[int, Field(strict=True, ge=0)]


def _printed_already(year):
    """A work may carry the year to come, for journals print ahead; a later one is a slip."""
    latest = date.today().year + 1
    if year > latest:
        raise ValueError(f"should be at most {latest}, the year to come")
    return year


Year = Annotated[int, Field(strict=True, ge=1600), AfterValidator(_printed_already)]
Fact = Annotated[str, StringConstraints(strict=True, pattern=r"^[A-Z]-\S+$")]


class Entry(BaseModel):
    """An entry refuses fields it does not know."""

    model_config = ConfigDict(extra="forbid", frozen=True)


UNSEEN = "not shown"  # what the part that was opened did not show


GRADES = ("guideline", "primary", "review", "textbook", "label", "data", "software", "low")
CITED_FIELDS = ("authors", "title", "journal", "year", "volume", "pages")
IDENTIFIERS = ("doi", "pmid", "pmcid", "isbn", "number")


class Source(Entry):
    """A work that is cited. It names the work, never the address of a copy.

    `seen` says whether anybody opened it: read, memory (the whole entry is recalled) or practice.
    `extent` says what was opened. `memory` lists the fields of the citation that are recalled; an identifier never is.
    `second_hand` is a work read on a page that quotes it, or in a conversion of it.
    `grade` is its worth as this handbook uses it; `number` its issuer's own number of a document without identifier;
    `found_by` how a reader finds a work that has neither an identifier nor journal, volume and page.
    """

    authors: Words
    title: Words
    journal: Words = "not shown"
    year: Year | Literal["not shown"]
    volume: Text = ""
    pages: Text = ""
    doi: Annotated[str, StringConstraints(strict=True, pattern=r"^10\.\d{4,9}/\S+$")] | None = None
    pmid: Annotated[Text, StringConstraints(pattern=r"^\d{5,8}$")] | None = None
    pmcid: Annotated[str, StringConstraints(strict=True, pattern=r"^PMC\d{5,9}$")] | None = None
    isbn: Annotated[str, StringConstraints(strict=True, pattern=r"^97[89]-?[\d-]{10,13}$")] | None = None
    number: Words | None = None
    grade: Literal[GRADES]
    seen: Literal["read", "memory", "practice"]
    extent: Words
    second_hand: Annotated[bool, Field(strict=True)] = False
    memory: list[Literal[CITED_FIELDS]] = []
    found_by: Words | None = None
    note: Words | None = None

    @property
    def identified(self) -> bool:
        """True for an identifier, or for journal, volume and page: what a library finds the work by."""
        return any(getattr(self, field) for field in IDENTIFIERS) or bool(self.journal != UNSEEN and self.volume and self.pages)

    @property
    def read_how(self) -> str:
        """`seen`, or second where it was read in words that are not its own."""
        return "second" if self.seen == "read" and self.second_hand else self.seen

    @property
    def short_name(self) -> str:
        """First author's family name, or the first words of the title, or the journal, and the year where it was shown."""
        authors = self.authors.strip()
        first = authors.split(",")[0].strip() if UNSEEN not in authors else ""
        name = " ".join(word for word in first.split(" ") if not re.fullmatch(r"[A-Z]{1,3}", word))
        if not name:
            shown = [words for words in (self.title, self.journal) if words != UNSEEN]
            name = " ".join(shown[0].split(" ")[:5]) if shown else "a work without a title"
        return name if self.year == UNSEEN else f"{name} {self.year}"


PRINTED = r"^\d+(\.\d+)?(/[1-9]\d*)?((, | or | to )\d+(\.\d+)?(/[1-9]\d*)?)*$"
Printed = Annotated[str, StringConstraints(strict=True, pattern=PRINTED)]


def printed_numbers(text) -> list[float]:
    """Every number of a printed figure: `20 to 50` -> [20, 50]; a share, `2/3`, is one."""
    return [int(over) / int(under) if under else float(over) for over, under in re.findall(r"(\d+(?:\.\d+)?)(?:/(\d+))?", text)]


class Setting(Entry):
    """Something the department decides.

    `value` is a number, or a list of numbers, or records (a small table), or one of `choices`.
    The key carries the unit; the columns of records carry theirs.
    `not_above` names a setting, or two whose product (`rate_mg * time_minutes`), that the value may not pass.
    `printed` is what the source prints in that unit, as it stands there: "4", "20 to 50"; of records one text a record.
    """

    title: Words
    topic: Words
    kind: Literal["number", "list", "records", "choice"] = "number"
    value: Any
    low: Number | None = None
    high: Number | None = None
    limits: dict[str, Annotated[list[Number], Field(min_length=2, max_length=2)]] = {}
    choices: list[Words] = []
    not_above: Words | None = None
    why: Words
    source: Words
    seen: Seen
    printed: Printed | list[Printed] | None = None
    fact: Fact | None = None
    confirm: Words | None = None
    note: Words | None = None
    decided_on: date
    review_by: date


    @property
    def departs(self) -> bool:
        """True when the value is not what the source named prints: it is then the department's own."""
        if self.printed is None:
            return False
        if isinstance(self.printed, str):
            pairs = [(self.value, self.printed)]
        else:
            numbers = [[value for value in record.values() if not isinstance(value, str)] for record in self.value]
            pairs = [(value, text) for values, text in zip(numbers, self.printed, strict=True) for value in values]
        return any(all(abs(value - number) > 1e-9 * max(1, abs(number)) for number in printed_numbers(text)) for value, text in pairs)

    @property
    def provenance(self) -> str:
        """How far the value was seen: `seen`, or practice where it departs from what was read."""
        return "practice" if self.departs else self.seen


class Series(Entry):
    """A published result: counts, or a statistic where no counts are printed."""

    title: Words
    kind: Literal["proportion", "statistic"]
    events: Whole | None = None
    cases: Annotated[int, Field(strict=True, ge=1)] | None = None
    value: Number | None = None
    unit: Words | None = None
    spread: Words | None = None
    population: Words
    era: Words
    follow_up: Words
    definition: Words
    source: Words
    seen: Seen
    fact: Fact
    printed_percent: Annotated[str, StringConstraints(strict=True, pattern=r"^\d{1,3}(\.\d+)?$")] | None = None
    differs: Words | None = None
    note: Words | None = None


class Control(Entry):
    """One thing that stands between a hazard and the patient."""

    kind: Literal["design", "testing", "content", "working practice"]
    says: Words


TestName = Annotated[str, StringConstraints(strict=True, pattern=r"^tests/(\w+/)*test_\w+\.py::test_\w+$")]


class Hazard(Entry):
    """A way this handbook could mislead, what prevents it, which tests try that, and what is left."""

    title: Words
    cause: Words
    harm: Words
    severity: Annotated[int, Field(strict=True, ge=1, le=5)]
    fact: Fact
    controls: list[Control]
    tests: list[TestName]
    uncontrolled: Words
    residual: Words
    owner: Words
    note: Words | None = None


class Survivor(Entry):
    """A changed line that no test noticed, and why none could or none does."""

    line: Words
    changed: Words
    argument: Words


class Mutation(Entry):
    """What happened when a module was changed one place at a time.

    `changes` and `killed` count the formulas and rules; the `example_` fields count lines that transcribe what
    others printed, where a change that agrees with a coarse print cannot be noticed. `within_a_pixel` counts those that
    no test notices and that move no stroke of a picture by more than one pixel of a phone; they are in neither count.
    """

    changes: Whole
    killed: Whole
    example_changes: Whole
    example_killed: Whole
    within_a_pixel: Whole = 0
    measured_on: date
    survivors: list[Survivor]


# A role in small letters, never a name: “consultant in charge”.
Role = Annotated[str, StringConstraints(strict=True, pattern=r"^[a-z]+(?:[ -][a-z]+)*$", min_length=4, max_length=60)]


class SignOff(Entry):
    """Which role read a chapter and answers for it; `rests_on` holds a digest of each part it was signed with."""

    role: Role
    signed_on: date
    review_by: date
    rests_on: dict[str, Annotated[str, StringConstraints(strict=True, pattern=r"^[0-9a-f]{12}$")]]
    note: Words | None = None


Held = Annotated[str, StringConstraints(strict=True, pattern=r"^(chapter|table|setting|series|formula|example) \S+$")]


class Reading(Entry):
    """The last time somebody else opened a work and held it against what the handbook says by it.

    `against` lists what was held, as `series restenosis` or `chapter result`. `verdict`: the text carries it; the handbook
    was mended after it; or the text was not found. `note` says what stays open. Its key is the work's.
    """

    against: Annotated[list[Held], Field(min_length=1)]
    verdict: Literal["carries", "mended", "text not found"]
    read_on: date
    by: Role
    note: Words | None = None


class DoseChoice(Entry):
    """Dose, caps and ceiling of one row for those it names; every value is the key of a setting."""

    who: list[Literal["preterm", "newborn", "infant", "child", "adult"]] = []
    below: Words | None = None
    dose: Words | None = None
    high: Words | None = None
    then: Words | None = None
    most: Words | None = None
    total: Words | None = None
    total_most: Words | None = None
    ceiling: Words | None = None
    beware: Words | None = None


class DoseStrength(Entry):
    """The one strength for those it names, or the amount for each kilogram in one syringe, and the ampoule it is made from."""

    who: list[Literal["preterm", "newborn", "infant", "child", "adult"]] = []
    below: Words | None = None
    strength: Words | None = None
    recipe: Words | None = None
    from_: Annotated[Words | None, Field(alias="from")] = None


class Dose(Entry):
    """A row of the dose sheet: who gets what, in which strength, and the one caution that kills."""

    label: Words
    when: Words
    group: Words
    drills: list[Words]
    kind: Literal["bolus", "ceiling", "volume", "shock", "gas", "pump", "protamine"]
    unit: Literal["mg", "micrograms", "ml", "units", "j", "mmol", "ppm"]
    state: Literal["PLANNED", "READY"] | None = None
    rule: Literal["arrest"] | None = None
    needs: Literal["gap", "gap_shut", "open_duct", "closing_duct"] | None = None
    choices: Annotated[list[DoseChoice], Field(min_length=1)]
    strengths: list[DoseStrength] = []
    fluid: Words | None = None
    upper: Annotated[bool, Field(strict=True)] = False
    beware: Words


SCHEMAS = {"sources": Source, "settings": Setting, "series": Series, "hazards": Hazard, "signoff": SignOff,
           "mutation": Mutation, "doses": Dose, "readings": Reading}

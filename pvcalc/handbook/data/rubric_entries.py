"""The rubric a stranger can apply in ten minutes, with the answers this build gives itself."""

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from pydantic import TypeAdapter

from pvcalc.handbook.data.schemas import Entry, TestName, Words
from pvcalc.handbook.data.yaml_lines import read_document

RUBRIC = Path("kb/_data/rubric.yml")


class Question(Entry):
    """One question: what passes, what the answer is, and who judged it."""

    question: Words
    gate: bool
    passes: Words
    verdict: Literal["pass", "miss"]
    judged: Literal["script", "eye"]
    test: TestName | None = None
    note: Words | None = None


@dataclass(frozen=True)
class Score:
    """Points out of all, and the gates that were missed."""

    points: int
    of: int
    gates_missed: list[str]

    @property
    def words(self) -> str:
        """What the total means."""
        if self.gates_missed:
            return "do not use: a gate was missed"
        return "good" if self.points >= 18 else "mend and score again" if self.points >= 15 else "not ready"


def questions(root: Path) -> list[Question]:
    """All questions in their order.

    Raises: ValueError naming the file when an answer is malformed.
    """
    document, findings = read_document(root, root / RUBRIC)
    if findings or document is None:
        raise ValueError("; ".join(map(str, findings)) or f"{RUBRIC} is missing")
    return TypeAdapter(list[Question]).validate_python(document.value)


def score(asked: list[Question]) -> Score:
    """One point for each question that passes."""
    return Score(sum(one.verdict == "pass" for one in asked), len(asked),
                 [one.question for one in asked if one.gate and one.verdict == "miss"])

"""The model's answers to the lessons' findings, worked out beforehand: the page Evidence need not wait for them.

`kept_answers.json` is written by `python benchmarks/evidence.py`. An answer is kept under all that it depends on, so
that a lesson that was changed since finds none, and is worked out anew.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from sim import PARAMETERS_VERSION
from sim.teach.evidence import PEOPLE, Answer, Modelled
from sim.teach.lesson_record import Lesson
from sim.teach.parts import Evidence
from sim.teach.verdicts import SEED

FILE = "kept_answers.json"
# Far beyond what any platform's arithmetic moves, far below what is shown [mmHg].
DECIMALS = 6


def kept_answer(evidence: Evidence, lesson: Lesson) -> Answer | None:
    """The answer that was kept; None where there is none, as for a finding on which the model has no figure."""
    found = _kept().get(key(evidence, lesson)) if evidence.model else None
    if found is None:
        return None
    return Answer(Modelled(**found["sbp"]), Modelled(**found["dbp"]), found["people"], "")


def key(evidence: Evidence, lesson: Lesson) -> str:
    """What an answer depends on, as a short text: both sides, the people and their seed, the model's parameters."""
    sides = [side.key() for side in lesson.sides(evidence)]
    return hashlib.sha256(repr((PARAMETERS_VERSION, SEED, PEOPLE, sides)).encode()).hexdigest()[:16]


def write(answers: dict[str, Answer], folder: Path) -> None:
    """Keep answers by their keys, a line each; those without a figure are left out."""
    lines = [f'"{name}": {json.dumps(_rounded(asdict(a)))}' for name, a in sorted(answers.items()) if a.sbp and a.dbp]
    (folder / FILE).write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")


def _rounded(found: dict[str, Any]) -> dict[str, Any]:
    pressures = {name: {k: round(v, DECIMALS) for k, v in found[name].items()} for name in ("sbp", "dbp")}
    return {"people": found["people"], **pressures}


@cache
def _kept() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(resources.files("sim.teach").joinpath(FILE).read_text(encoding="utf-8"))
    return found

"""Work out the model's answer to every finding of the lessons, and keep it: `python benchmarks/evidence.py`.

After a change of the model or of a lesson's findings. The page Evidence and the lessons show what is kept.
"""
# ruff: noqa: E402, T201 - the source tree first, and it prints

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from sim.teach.evidence import answer
from sim.teach.kept_answers import FILE, key, write
from sim.teach.lesson import load_all
from sim.teach.verdicts import SEED


def main() -> None:
    """Write the file."""
    lessons, _ = load_all()
    entries = [(each, lesson) for lesson in lessons for each in lesson.evidence if each.model]
    answers = {key(each, lesson): answer(each, lesson, np.random.default_rng(SEED)) for each, lesson in entries}
    write(answers, ROOT / "sim" / "teach")
    print(f"{len(answers)} answers in sim/teach/{FILE}")


if __name__ == "__main__":
    main()

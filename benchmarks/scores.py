"""All algorithms of the program scored on the same recordings: `python benchmarks/scores.py`.

People distributed as ISO 81060-2 asks, three readings each: once at rest, once with an arm that moves. Beside the
algorithms stand two that cheat, which a score has to find: one says the same for everybody, one looks only at where the
recording begins and ends.

    python benchmarks/scores.py                      255 people, about a minute
    python benchmarks/scores.py --subjects 2000      any other number
    python benchmarks/scores.py --write              2,000 people, into docs/studies.md (some minutes)
"""
# ruff: noqa: E402, T201 - the source tree first, and it prints

from __future__ import annotations

import argparse
import re
import sys
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from sim.estimate.named import NAMED, flattered
from sim.figures.numbers import signed
from sim.results import Estimator, Reading, Recording
from sim.study.agreement import Agreement
from sim.study.plan import Study
from sim.study.report import report
from sim.study.run import run
from sim.technique import Technique

FILE = ROOT / "docs" / "studies.md"
MARKS = "<!-- scores: python benchmarks/scores.py --write -->", "<!-- end of scores -->"
SUBJECTS, WRITTEN_SUBJECTS, SEED = 255, 2_000, 1
# How high the movement is in the second table [mmHg].
MOVEMENT_MMHG = 2.0
# What the cheats say: the middle of the survey's adults [mmHg], and how far from a recording's ends, had the cuff felt
# for the pulse.
SAME = (125.0, 72.0)
FROM_ENDS = (-41.8, 33.0)


def same_for_everybody(recording: Recording) -> Reading:
    """One number for all recordings, (n,) [mmHg]."""
    return _read(*(np.full(len(recording), mmhg) for mmhg in SAME))


def from_the_ends(recording: Recording) -> Reading:
    """From the first and the last sample of n recordings, and from no pulse, (n,) [mmHg]."""
    last = np.maximum(recording.samples - 1, 0)
    first, last = recording.pressure_mmhg[:, 0], recording.pressure_mmhg[np.arange(len(recording)), last]
    return _read(first + FROM_ENDS[0], np.minimum(last + FROM_ENDS[1], first + FROM_ENDS[0] - 5))


CHEATS: dict[str, Estimator] = {"cheat: the same for everybody": same_for_everybody, "cheat: the ends": from_the_ends}


def _read(sbp: np.ndarray, dbp: np.ndarray) -> Reading:
    return Reading(sbp, dbp, (sbp + dbp) / 2, np.full(len(sbp), 70.0), np.full(len(sbp), ""))


def main() -> int:
    """Print the tables, or put them into the document; returns the exit status."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--subjects", type=int, default=SUBJECTS, help=f"how many people (default {SUBJECTS})")
    parser.add_argument("--write", action="store_true", help=f"{WRITTEN_SUBJECTS:,} people, into docs/studies.md")
    options = parser.parse_args()
    text = scores(WRITTEN_SUBJECTS if options.write else options.subjects)
    if not options.write:
        print(text)
        return 0
    start, end = MARKS
    before = FILE.read_text(encoding="utf-8")
    after = re.sub(f"{re.escape(start)}.*?{re.escape(end)}", lambda _: f"{start}\n{text}\n{end}", before, flags=re.S)
    FILE.write_text(after, encoding="utf-8")
    return 0


def scores(subjects: int) -> str:
    """Both tables in Markdown, each with who was measured and how."""
    parts = [
        f"{subjects:,} people, three readings each, at rest:\n\n{table(subjects, 0.0)}",
        f"The same people while jolts of {MOVEMENT_MMHG:g} mmHg shake the cuff:\n\n{table(subjects, MOVEMENT_MMHG)}",
        flattered(*NAMED),
    ]
    return "\n\n".join(parts)


def table(subjects: int, movement_mmhg: float) -> str:
    """Bias ± SD of all readings [mmHg], shares of them, and whether both criteria are met, each on one line."""
    heads = ("algorithm", "systolic", "diastolic", "no number", "more than 15 mmHg off", "both criteria")
    study = Study(
        subjects,
        NAMED | CHEATS,
        people="standard",
        technique=Technique(movement_mmhg=movement_mmhg),
        seed=SEED,
    )
    found = report(run(study, workers=1).sums(), study.origin)
    rows = [" | ".join(heads), "|".join("---" for _ in heads), *(" | ".join(_row(a)) for a in found.agreements)]
    return "\n".join(f"| {row} |" if "---" not in row else f"|{row}|" for row in rows)


def _row(a: Agreement) -> tuple[str, ...]:
    errors = (f"{signed(s.agreement.bias.value)} ± {s.agreement.sd.value:.1f}" for s in a.scores)
    name = f"`{a.estimator}`" if a.estimator in NAMED else a.estimator
    read = 1 - a.counts.failed_share.value
    far = 1 - min(s.within[15].value for s in a.scores) / read if read else np.nan
    return name, *errors, f"{100 * (1 - read):.1f} %", f"{100 * far:.1f} %", "met" if a.passed else "not met"


if __name__ == "__main__":
    raise SystemExit(main())

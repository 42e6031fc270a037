"""What docs/studies.md says of devices is what scores find: the example's bias, and the table of profiles."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from sim.cuff.profile import from_text, names, profile
from sim.estimate.named import NAMED, resolved
from sim.study.cohort import cohort
from sim.study.plan import Study
from sim.study.repeated_readings import measured
from sim.study.report import report
from sim.study.run import run
from sim.texts import decimal

TEXT = (Path(__file__).parents[2] / "docs" / "studies.md").read_text(encoding="utf-8")
# Another machine's libraries may round the last digit to the other side.
ROUNDING = 0.1


def row(first: str) -> list[str]:
    """The cells of the row that begins so, without the first."""
    found = re.search(rf"^\| {re.escape(first)} \|(.*)\|$", TEXT, re.MULTILINE)
    assert found is not None, first
    return [cell.strip() for cell in found[1].split("|")]


def numbers(cell: str) -> list[float]:
    return [decimal(number) for number in re.findall(r"[+−]?\d+\.\d", cell)]


def test_the_bias_of_the_example_is_what_a_score_finds() -> None:
    device = re.search(r"^```toml\n(.*?)^```", TEXT, re.DOTALL | re.MULTILINE)
    assert device is not None
    study = Study(255, ["corrected-ratio"], people="standard", instrument=from_text(device[1], "my_device.toml"))
    found = report(run(study, workers=1).sums(), study.origin).agreements[0]
    systolic, diastolic, refused = row("`--device my_device.toml`")
    for score, cell in zip(found.scores, (systolic, diastolic), strict=True):
        assert [score.agreement.bias.value, score.agreement.sd.value] == pytest.approx(numbers(cell), abs=ROUNDING)
        assert score.agreement.bias.low > 3
    assert refused == f"{found.counts.failed} of {found.counts.readings}"


@pytest.mark.parametrize("name", names())
def test_the_table_of_profiles_is_what_the_algorithms_read(name: str) -> None:
    """120 adults, one reading each, seed 1, as `benchmarks/readme.py` writes it."""
    rng = np.random.default_rng(1)
    people = cohort(120, rng)
    table = measured(people, {n: resolved(n) for n in NAMED}, rng, readings=1, instrument=profile(name))
    for estimator, cell in zip(NAMED, row(f"`{name}`"), strict=True):
        own = table.take(table["estimator"] == estimator)
        errors = [own.error(pressure, "at_measurement")[own.ok] for pressure in ("sbp", "dbp")]
        found = [value for error in errors for value in (error.mean(), error.std(ddof=1))]
        assert found == pytest.approx(numbers(cell), abs=ROUNDING)
        assert cell.endswith(f"; {round(100 * (1 - own.ok.mean()))} %")

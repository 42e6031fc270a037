"""How often the intervals hold the true value, and the table of docs/studies.md that says so."""

import re
from pathlib import Path

import numpy as np
import pytest

from sim.fields import FieldError
from sim.study.coverage import DESIGNS, SEED, coverage, table, true_values
from sim.study.intervals import share

DOCUMENT = Path(__file__).parents[2] / "docs" / "studies.md"
TRIALS = 80


@pytest.fixture(scope="module")
def found():
    return coverage(DESIGNS[0], np.random.default_rng([SEED, 99]), TRIALS)


def rows_of(text):
    rows = [[cell.strip(" *") for cell in line.strip("|").split("|")] for line in text.splitlines() if line[:1] == "|"]
    return rows[0], {row[0]: row[1:] for row in rows[2:]}


def test_intervals_hold_the_true_value_as_often_as_they_say(found):
    """85 people, 3 readings each, normal errors; 4 standard errors of so few trials."""
    wrong = {name: value for name, value in found.found.items() if value < 0.95 - 4 * np.sqrt(0.95 * 0.05 / TRIALS)}
    assert not wrong


def test_the_document_has_what_the_program_finds(found):
    """Every interval and design; the shares agree with other draws, as far as those know them."""
    made = re.search(r"<!-- made: coverage -->\n(.*?)<!-- end -->", DOCUMENT.read_text("utf-8"), re.DOTALL)
    header, rows = rows_of(made[1] if made else "")
    assert header[1:] == [design.words for design in DESIGNS]
    assert list(rows) == list(found.found)
    for name, value in found.found.items():
        said = float(rows[name][0]) / 100
        assert value == pytest.approx(said, abs=4 * np.sqrt(0.95 * 0.05 / TRIALS)), name


def test_a_table_marks_what_is_far_from_95_percent(found):
    far = type(found)(found.design, 2000, {"one": 0.95, "two": 0.90}, {"one": 0.005, "two": 0.007})
    assert table([far]).splitlines()[2:] == ["| one | 95.0 |", "| two | **90.0** |"]


def test_readings_taken_as_independent_would_be_too_sure():
    """A share of 30 %, in some people of nearly all readings and in others of nearly none (beta law)."""
    rng, people, held = np.random.default_rng(5), np.repeat(np.arange(85), 3), np.zeros(2)
    for _ in range(200):
        lost = rng.random(255) < rng.beta(0.3, 0.7, 85)[people]
        for k, whose in enumerate((people, np.arange(255))):
            interval = share(lost, whose)
            held[k] += interval.low <= 0.3 <= interval.high
    by_person, as_if = held / 200
    assert by_person > 0.9 > as_if


def test_true_values_are_those_of_the_law():
    """Bias 1; SDs of 1.5 (arm), 4 and 4 mmHg; 5 % lost, which are outside 5 mmHg."""
    truth = true_values(DESIGNS[0])
    sd = np.sqrt(1.5**2 + 4**2 + 4**2)
    assert truth["bias"] == pytest.approx(1, abs=0.03)
    assert truth["SD of a single reading"] == pytest.approx(sd, rel=0.004)
    assert truth["upper limit of agreement"] == pytest.approx(1 + 1.96 * sd, rel=0.006)
    assert truth["two algorithms: SD, ratio"] == pytest.approx(1.25, rel=0.004)


def test_one_trial_is_none():
    with pytest.raises(FieldError, match="trials = 1: must be 2 or more"):
        coverage(DESIGNS[0], np.random.default_rng(1), trials=1)

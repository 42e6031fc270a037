"""The table of all algorithms in docs/studies.md, which `benchmarks/scores.py` makes."""

import re
import runpy
from pathlib import Path

import pytest

from sim.estimate.named import NAMED, flattered

ROOT = Path(__file__).parents[2]
SCORES = runpy.run_path(str(ROOT / "benchmarks" / "scores.py"))
CHEATS = tuple(SCORES["CHEATS"])


def rows(text):
    """Cells of each row by the algorithm's name, one dictionary for each table."""
    found = []
    for table in re.findall(r"(?:^\|.*\n?)+", text, re.MULTILINE):
        cells = [[cell.strip().strip("`") for cell in line.strip("|").split("|")] for line in table.splitlines()[2:]]
        found.append({name: rest for name, *rest in cells})
    return found


@pytest.fixture(scope="module")
def written():
    start, end = SCORES["MARKS"]
    return (ROOT / "docs" / "studies.md").read_text(encoding="utf-8").partition(start)[2].partition(end)[0]


def test_the_document_has_every_algorithm_and_the_cheats_at_rest_and_moving(written):
    at_rest, moving = rows(written)
    assert list(at_rest) == list(moving) == [*NAMED, *CHEATS]
    assert flattered("neural-network") in written
    for name, (*_, criteria) in at_rest.items():
        assert (criteria == "met") == (name not in {"slope", *CHEATS})


def test_a_few_people_already_find_the_cheats_out():
    """The same columns as in the document, of 40 people: cheats err by the spread of people."""
    (found,) = rows(SCORES["table"](40, 0.0))
    assert list(found) == [*NAMED, *CHEATS]
    for name in CHEATS:
        assert found[name][-1] == "not met"
        assert float(found[name][0].split(" ± ")[1]) > 20
    assert float(found["fixed-ratio"][0].split(" ± ")[1]) < 8

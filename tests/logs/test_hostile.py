"""Logs that somebody made to do harm: notes that are formulas, values that no program expects."""

import csv
import io
import json

import pytest

from sim.logs.read import read_log
from sim.logs.write_csv import write_csv
from sim.logs.write_fhir import write_fhir
from tests.logs.files import week

NOTES = ("=1+1", "+1", "-1", "@A1", "'=1", "a;=1", "a\n=1", 'b"=1', '=HYPERLINK("http://x.example";1)', "after coffee")


def bundle(**changes):
    """A log in FHIR whose first panel is changed."""
    document = write_fhir(read_log(week(days=1).encode()))
    document["entry"][0]["resource"].update(changes)
    return document


def noted(note):
    return json.dumps(bundle(note=[{"text": note}])).encode()


@pytest.mark.parametrize("note", NOTES)
def test_a_note_is_no_formula_in_the_table_and_is_read_back(note):
    log = read_log(noted(note))
    assert log.entries[0].note == note
    table = write_csv(log)
    assert [(e.sbp, e.dbp, e.note) for e in read_log(table.encode()).entries] == [
        (e.sbp, e.dbp, e.note) for e in log.entries
    ]
    for separator in ",;\t":
        rows = csv.reader(io.StringIO(table, newline=""), delimiter=separator)
        assert not [cell for row in rows for cell in row if cell.startswith(("=", "+", "-", "@"))]


def test_numbers_stand_as_they_are():
    row = next(csv.DictReader(io.StringIO(write_csv(read_log(noted("=1"))))))
    assert float(row["sbp"]) > 100
    assert row["note"] == "'=1"


@pytest.mark.parametrize("note", ["half a character \ud800", "nothing \x00", "\x1b[31mred", "bell \x07\x9b"])
def test_a_note_holds_only_what_pages_and_files_can_hold(note):
    log = read_log(noted(note))
    assert "\N{REPLACEMENT CHARACTER}" in log.entries[0].note
    again = read_log(write_csv(log).encode())
    assert again.entries[0].note == log.entries[0].note
    json.dumps(write_fhir(log), ensure_ascii=False).encode()


@pytest.mark.parametrize("value", ["1" + "0" * 400, '"=1"', "true", "{}", "[]", "null"])
def test_a_value_that_is_no_number_is_one_row_that_cannot_be_read(value):
    text = json.dumps(bundle()).replace('"value": ', f'"value": {value}, "was": ', 1)
    log = read_log(text.encode())
    (fault,) = log.faults
    assert str(fault).startswith("entry 1: systolic blood pressure '")
    assert str(fault).endswith("must be a number")

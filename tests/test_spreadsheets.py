"""Text in a table stays text in a spreadsheet, and is read back as it was."""

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.spreadsheets import as_cell, from_cell

FORMULA = ("=", "+", "-", "@", "\t", "\r")
# Much of what makes formulas, and little else.
texts = st.text(st.sampled_from("=+-@'\t\r\n;,\" a1＝"), max_size=12) | st.text(max_size=12)


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("=1+1", "'=1+1"),
        ("+1", "'+1"),
        ("-2 after coffee", "'-2 after coffee"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\tx", "'\tx"),
        ("\rx", "'\rx"),
        ("  =1", "'  =1"),
        ("＝1+1", "'＝1+1"),
        ("'=1", "''=1"),
        ("tired;=1+1", "tired;'=1+1"),
        ('tired;"=1+1"', 'tired;\'"=1+1"'),
        ("two lines\n=1+1", "two lines\n'=1+1"),
        ("a+b, 3-4", "a+b, 3-4"),
        ("'quoted'", "'quoted'"),
        ("müde", "müde"),
        ("", ""),
    ],
)
def test_what_would_be_a_formula_becomes_text_and_all_else_stays(text, cell):
    assert (as_cell(text), from_cell(cell)) == (cell, text)


@given(texts)
def test_every_text_is_read_back_as_it_was(text):
    assert from_cell(as_cell(text)) == text


@settings(max_examples=300)
@given(texts)
def test_no_cell_is_a_formula_whatever_the_spreadsheet_takes_for_a_separator(text):
    assert not as_cell(text).startswith(FORMULA)
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\n").writerow(["2024-05-06", as_cell(text)])
    for separator in ",;\t":
        for row in csv.reader(io.StringIO(out.getvalue(), newline=""), delimiter=separator):
            assert not [cell for cell in row if cell.lstrip(" ").startswith(("=", "+", "-", "@"))], row

"""`cuffbias measure`: what goes in, and what is refused."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.cli import main
from sim.commands.options import option
from tests.commands.outcomes import CHOICES, NUMBERS, refused


@pytest.mark.parametrize(("field", "limit"), NUMBERS)
def test_a_number_beyond_its_range_is_answered_with_option_value_and_range(run, field, limit):
    for value in (limit.low - 1, limit.high + 1):
        words = (f"{option(field)} {value:g}: must be", f"from {limit.low:g} to {limit.high:g}", limit.unit)
        assert refused(run("measure", option(field), value), *words)


@pytest.mark.parametrize("text", ["", "ten", "nan", "inf", "-inf", "1e999", "12cm"])
def test_what_is_no_number_within_the_range_is_refused(run, text):
    assert refused(run("measure", f"--slack-cm={text}"), "--slack-cm", "from 0 to 8 cm")


@pytest.mark.parametrize(("field", "choice"), CHOICES)
def test_an_unknown_choice_is_answered_with_the_choices(run, field, choice):
    assert refused(run("measure", option(field), "sideways"), option(field), "'sideways'", *choice.options)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["measure", "--sbp", 120, "--dbp", 115], ["--dbp 115", "at least 10 mmHg below", "120"]),
        (["measure", "--bladder", "huge"], ["--bladder 'huge'", "'large adult'", "12x23"]),
        (["measure", "--bladder", "3x90"], ["--bladder '3x90'", "5 to 30", "8 to 60 cm"]),
        (["measure", "--repeat", 0], ["--repeat 0", "from 1 to 1000"]),
        (["measure", "--repeat", "2.5"], ["--repeat '2.5'", "whole number from 1 to 1000"]),
        (["measure", "--seed", -1], ["--seed -1", "from 0 to"]),
        (["measure", "--sbp"], ["--sbp", "expected one argument"]),
        (["measure", "--sleeve", 3], ["--sleeve: no such option", "--sleeve-mm or --sleeve-rolled-up"]),
        (["measure", "--json=yes"], ["--json"]),
        (["measure", "surprise"], ["surprise: not expected"]),
        (["measure", "--figure", "picture.bmp"], ["--figure picture.bmp", ".png, .svg or .pdf"]),
        (["measure", "--figure", "/no/such/folder/a.png"], ["--figure /no/such/folder/a.png", "cannot be written"]),
        (["mesure"], ["mesure", "measure"]),
        (["app", "--port", 80], ["--port 80", "from 1024 to 65535"]),
        (["lessons", "--json"], ["--json: no such option"]),
    ],
)
def test_a_wrong_line_gets_one_line_that_names_what_was_wrong(run, arguments, words):
    assert refused(run(*arguments), *words)


junk = st.one_of(st.text(max_size=6), st.floats().map(str), st.integers().map(str), st.just("12x23"))
words_on_the_line = st.one_of(
    st.sampled_from([option(name) for name, _ in NUMBERS + CHOICES] + ["--bladder", "--seed", "--ideal", "--json"]),
    junk,
)


@settings(max_examples=150, deadline=None)
@given(st.lists(words_on_the_line, max_size=5))
def test_no_line_ends_in_a_traceback(arguments):
    assert main(["measure", "--ideal", *arguments]) in (0, 2) if "-h" not in arguments else True

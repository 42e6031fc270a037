"""The command line, used as people use it."""

import json
import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import constants

from sim import PARAMETERS_VERSION, Instrument, Subject, Technique, __version__, measure
from sim.cli import main
from sim.commands import app
from sim.commands.options import RECORDS, alone, option
from sim.fields import Choice, Limit

ROOT = Path(__file__).resolve().parent.parent
NUMBERS = [(name, limit) for record in RECORDS for name, limit in record.LIMITS.items() if isinstance(limit, Limit)]
CHOICES = [(name, limit) for record in RECORDS for name, limit in record.LIMITS.items() if isinstance(limit, Choice)]


@pytest.fixture
def run(capsys):
    """Runs a command; returns exit status, stdout, stderr."""

    def _run(*arguments):
        status: object
        try:
            status = main([str(a) for a in arguments])
        except SystemExit as stopped:  # argparse leaves this way after --help and --version
            status = stopped.code
        return status, *capsys.readouterr()

    return _run


@pytest.fixture
def document(run):
    """Runs `measure --json`; returns the object."""

    def _document(*arguments):
        status, out, err = run("measure", "--json", *arguments)
        assert (status, err) == (0, "")
        return json.loads(out)

    return _document


def refused(outcome, *words):
    """Status 2, nothing on stdout, one line on stderr with all of `words`."""
    status, out, err = outcome
    assert (status, out) == (2, "")
    assert err.count("\n") == 1
    for word in words:
        assert str(word) in err
    return True


# What goes in


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


# What comes out


def test_json_has_what_it_promises(document):
    found = document("--arm", 33, "--cuff-below-heart", 10, "--talking", "--repeat", 3, "--seed", 7)
    assert (found["version"], found["parameters_version"]) == (__version__, PARAMETERS_VERSION)
    assert found["seed"] == 7
    assert set(found["truth"]) == {"resting", "at_measurement", "at_cuff"}
    assert found["truth"]["resting"]["sbp"] == 120
    assert len(found["readings"]) == 3
    for reading in found["readings"]:
        assert {"sbp", "dbp", "map", "pulse_rate", "reason", "at_measurement", "at_cuff"} <= set(reading)
        assert reading["reason"] is None
    for stage in ("at_measurement", "at_cuff"):
        for name in ("sbp", "dbp", "map"):
            own = [reading[stage][name] for reading in found["readings"]]
            assert found["truth"][stage][name] == pytest.approx(np.mean(own), abs=1e-9)
    for name in ("sbp", "dbp"):
        assert found["mean"][name] == pytest.approx(np.mean([r[name] for r in found["readings"]]), abs=1e-9)
        assert found["bias"][name] == pytest.approx(found["mean"][name] - found["truth"]["resting"][name], abs=1e-9)
        assert sum(part[name] for part in found["breakdown"]) == pytest.approx(found["bias"][name], abs=1e-9)
    kinds = {part["kind"] for part in found["breakdown"]}
    assert kinds == {"response", "measuring error", "algorithm", "chance"}


def test_the_arms_height_weighs_what_a_column_of_blood_weighs(document):
    # Density of blood 1060 kg/m3 (textbook value); g and the mmHg from scipy.constants.
    expected = 1060 * constants.g * 0.10 / constants.mmHg
    found = document("--cuff-below-heart", 10, "--ideal")["truth"]
    for name in ("sbp", "dbp", "map"):
        assert found["at_cuff"][name] - found["at_measurement"][name] == pytest.approx(expected, rel=1e-9)


def test_options_reach_the_same_engine_as_python(document):
    found = document("--sbp", 150, "--dbp", 95, "--arm", 36, "--bladder", "12x23", "--sleeve-mm", 2, "--repeat", 2)
    result = measure(
        Subject(sbp=150, dbp=95, arm_circumference_cm=36),
        Technique(sleeve_mm=2),
        Instrument(bladder="12x23"),
        rng=np.random.default_rng(1),
        n=2,
    )
    assert [r["sbp"] for r in found["readings"]] == list(result.reading.sbp)
    assert [r["dbp"] for r in found["readings"]] == list(result.reading.dbp)


def test_the_same_seed_gives_the_same_numbers_and_another_others(document):
    assert document("--seed", 5) == document("--seed", 5)
    assert document("--seed", 5)["mean"] != document("--seed", 6)["mean"]


def test_ideal_leaves_nothing_to_chance(document):
    first, second = (document("--ideal", "--talking", "--sleeve-mm", 3, "--repeat", 2, "--seed", s) for s in (1, 2))
    assert first["mean"] == second["mean"]
    assert first["readings"][0] == first["readings"][1]


def test_talking_alone_means_conversation(document):
    assert document("--talking")["inputs"]["technique"]["talking"] == "conversation"
    assert document("--talking") == document("--talking", "conversation")


def test_no_reading_is_null_and_says_why(document, run):
    cut_off = ("--start-mmhg", 100, "--sbp", 150)
    found = document(*cut_off)
    assert found["readings"][0]["reason"]
    assert found["readings"][0]["sbp"] is None
    assert (found["mean"]["sbp"], found["bias"]["sbp"], found["breakdown"]) == (None, None, None)
    assert found["breakdown_reason"]
    _, out, _ = run("measure", *cut_off)
    assert found["readings"][0]["reason"].split()[0] in out
    assert "nan" not in out.lower()


def test_without_a_bladder_the_arm_gets_its_size_from_the_table(document, run):
    # Pickering TG, et al. Hypertension 2005;45:142, DOI 10.1161/01.HYP.0000150859.47929.8e: 16 x 36 cm for 35-44 cm.
    found = document("--arm", 40)
    assert found["bladder"] == {
        "name": "large adult",
        "width_cm": 16,
        "length_cm": 36,
        "recommended": "large adult",
        "fits": True,
    }
    assert found["warnings"] == []
    assert "large adult, 16 x 36 cm" in run("measure", "--arm", 40)[1]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--arm", 40, "--bladder", "adult"], "too small a cuff reads high"),
        (["--arm", 24, "--bladder", "adult"], "too large a cuff reads low"),
        (["--arm", 30, "--bladder", "10x40"], "one of its two sides is too small, the other too large"),
        (["--arm", 29, "--bladder", "13x26"], "within the published shares"),
        (["--arm", 20], "for arms of 22 to 52 cm; an arm of 20 cm takes the nearest size"),
    ],
)
def test_a_bladder_that_is_not_the_tables_choice_is_remarked_on(run, arguments, words):
    status, out, _ = run("measure", "--ideal", *arguments)
    assert status == 0
    assert words in " ".join(out.split())


def test_the_text_says_what_the_json_says(run, document):
    arguments = ("--cuff-below-heart", 10, "--talking", "--repeat", 2)
    found, (_, out, _) = document(*arguments), run("measure", *arguments)
    assert f"{found['mean']['sbp']:.0f}/{found['mean']['dbp']:.0f}" in out
    for part in found["breakdown"]:
        assert part["cause"] in out or part["kind"] in out
    assert "+7.8/+7.8" not in found["warnings"]
    assert "no medical device" in out
    assert "emergency services" in out
    assert max(map(len, out.splitlines())) <= 80


def test_many_readings_do_not_fill_the_screen(run):
    _, out, _ = run("measure", "--repeat", 40)
    assert "and 28 more, which --json lists" in out
    assert "mean of 40" in out


@pytest.mark.parametrize(("suffix", "magic"), [("png", b"\x89PNG"), ("svg", b"<?xml"), ("pdf", b"%PDF")])
def test_a_figure_is_written_in_the_format_of_its_name(run, tmp_path, suffix, magic):
    file = tmp_path / f"measurement.{suffix}"
    status, out, err = run("measure", "--figure", file, "--talking")
    assert (status, err) == (0, "")
    assert "THE TRUTH" in out
    assert file.read_bytes().startswith(magic)


def test_the_example_in_the_readme_is_what_the_command_prints(run):
    block = re.search(
        r"```text\n\$ cuffbias (.*?)\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL
    )
    assert block is not None
    _, out, _ = run(*shlex.split(block[1]))
    number = r"[+-]?\d+(?:\.\d+)?"
    assert re.sub(number, "N", out).split() == re.sub(number, "N", block[2]).split()
    # Another machine's libraries may round the last digit to the other side.
    shown, printed = ([float(n) for n in re.findall(number, text)] for text in (block[2], out))
    assert printed == pytest.approx(shown, abs=1)


# The commands themselves


def test_help_teaches_every_option_with_its_range(run):
    status, out, _ = run("measure", "--help")
    assert status == 0
    words = " ".join(out.split())
    for name, limit in NUMBERS:
        assert option(name) in words
        assert f"{limit.low:g} to {limit.high:g} {limit.unit}".strip() in words
    for name, choice in CHOICES:
        assert option(name) in words
        for label in choice.options.values():
            assert label in words


def test_no_two_fields_share_an_option_or_a_place():
    fields = [name for record in RECORDS for name in record.LIMITS]
    assert len(set(fields)) == len(fields)
    assert len({option(name) for name in fields}) == len(fields)


@pytest.mark.parametrize("field", [name for name, _ in CHOICES if alone(name)])
def test_an_option_alone_means_a_mistake(document, field):
    inputs = document("--ideal", option(field))["inputs"]
    (record,) = [record for record in RECORDS if field in record.LIMITS]
    given = inputs[record.__name__.lower()][field]
    assert given == alone(field)
    assert given != record.LIMITS[field].default


def test_without_a_command_the_help_is_shown(run):
    status, out, err = run()
    assert (status, err) == (0, "")
    assert "cuffbias measure --cuff-below-heart 10" in out


def test_version_names_program_and_parameters(run):
    assert run("--version")[1].strip() == f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}"


def test_lessons_are_listed_with_their_questions(run):
    status, out, err = run("lessons")
    assert (status, err) == (0, "")
    assert "01-arm-height" in out
    assert "?" in out


def test_a_faulty_lesson_is_named_and_the_others_are_listed(run, monkeypatch, tmp_path):
    from sim.teach import lesson

    for file in (ROOT / "lessons").glob("*.md"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    (tmp_path / "99-broken.md").write_text("+++\ntitle = 3\n+++\n", encoding="utf-8")
    monkeypatch.setattr(lesson, "place", lambda: tmp_path)
    status, out, err = run("lessons")
    assert status == 1
    assert "01-arm-height" in out
    assert "99-broken.md" in err


def test_the_app_is_served_to_this_computer_only_with_the_settings_of_the_source_tree():
    line = app.server_arguments(8765)
    assert line[0] == "run"
    assert Path(line[1]).is_file()
    for flag in (
        "--server.address=127.0.0.1",
        "--browser.gatherUsageStats=false",
        "--server.enableXsrfProtection=true",
        "--server.port=8765",
        "--server.showEmailPrompt=false",
    ):
        assert flag in line


def test_python_m_sim_is_the_same_command():
    line = [sys.executable, "-m", "sim", "measure", "--slack-cm", "12"]
    done = subprocess.run(line, capture_output=True, text=True, cwd=ROOT, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "cuffbias: --slack-cm 12: must be from 0 to 8 cm\n"


def test_a_terminal_without_our_characters_gets_an_answer_all_the_same():
    line = [sys.executable, "-m", "sim", "measure", "--talking", "--sleeve-mm", "2", "--json"]
    surroundings = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = subprocess.run(line, capture_output=True, text=True, cwd=ROOT, env=surroundings, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout)["readings"]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_output_that_cannot_be_written_is_said_in_one_line():
    with open("/dev/full", "w") as full:
        line = [sys.executable, "-m", "sim", "lessons"]
        done = subprocess.run(line, stdout=full, stderr=subprocess.PIPE, text=True, cwd=ROOT, check=False)
    assert done.returncode == 1
    assert done.stderr == "cuffbias: No space left on device\n"

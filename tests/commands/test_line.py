"""The command line itself: help, versions, lessons, the app, terminals."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from sim import PARAMETERS_VERSION, __version__
from sim.commands import app
from sim.commands.options import alone, option
from sim.setup import FIELDS, RECORDS, group_of
from tests.commands.outcomes import CHOICES, NUMBERS

ROOT = Path(__file__).resolve().parents[2]


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
    assert len(FIELDS) == sum(len(record.LIMITS) for record in RECORDS.values())
    assert len({option(name) for name in FIELDS}) == len(FIELDS)


@pytest.mark.parametrize("field", [name for name, _ in CHOICES if alone(name)])
def test_an_option_alone_means_a_mistake(document, field):
    inputs = document("--ideal", option(field))["inputs"]
    given = inputs[group_of(field)][field]
    assert given == alone(field)
    assert given != FIELDS[field].default


def test_without_a_command_the_help_is_shown(run):
    status, out, err = run()
    assert (status, err) == (0, "")
    assert "cuffbias measure --cuff-below-heart-cm 10" in out


def test_version_names_program_and_parameters(run):
    assert run("--version")[1].strip() == f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}"


def test_lessons_are_listed_with_their_questions(run):
    status, out, err = run("lessons")
    assert (status, err) == (0, "")
    assert "01-arm-height" in out
    assert "?" in out


def test_a_faulty_lesson_is_named_and_the_others_are_listed(run, monkeypatch, tmp_path):
    from sim.teach import lesson

    for file in (ROOT / "lessons").glob("01-*.md"):
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


@pytest.mark.skipif(not Path("/proc").exists(), reason="needs a place where nobody can make a folder")
def test_without_a_home_a_picture_is_drawn_and_nothing_else_is_said(tmp_path):
    line = [sys.executable, "-m", "sim", "measure", "--figure", str(tmp_path / "a.png")]
    surroundings = {"PATH": os.environ["PATH"], "HOME": "/proc/nowhere"}
    done = subprocess.run(line, capture_output=True, text=True, cwd=ROOT, env=surroundings, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert (tmp_path / "a.png").stat().st_size > 10_000


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_output_that_cannot_be_written_is_said_in_one_line():
    with open("/dev/full", "w") as full:
        line = [sys.executable, "-m", "sim", "measure"]
        done = subprocess.run(line, stdout=full, stderr=subprocess.PIPE, text=True, cwd=ROOT, check=False)
    assert done.returncode == 1
    assert done.stderr == "cuffbias: No space left on device\n"

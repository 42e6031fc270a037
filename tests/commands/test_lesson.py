"""`cuffbias lesson new` and `lesson check`, and `--lessons` of the other commands."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from sim.teach.lesson import OWN_FOLDER
from tests.commands.outcomes import refused
from tests.teach.files import OFF_THE_LINES


@pytest.fixture
def folder(run, tmp_path: Path, monkeypatch) -> Path:
    """A folder with the lesson that `lesson new` writes."""
    monkeypatch.chdir(tmp_path)
    assert run("lesson", "new", "our-cuffs", "--lessons", "ours")[0] == 0
    return tmp_path / "ours"


def test_new_writes_a_file_that_passes_the_check(run, folder: Path):
    status, out, err = run("lesson", "check", "ours/our-cuffs.md")
    assert (status, err) == (0, "")
    assert out == "ours/our-cuffs.md: nothing is wrong\n"


def test_new_leaves_a_file_alone_that_is_there(run, folder: Path):
    (folder / "our-cuffs.md").write_text("mine", encoding="utf-8")
    assert refused(run("lesson", "new", "our-cuffs.md", "--lessons", "ours"), "is there already")
    assert (folder / "our-cuffs.md").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("name", ["Our Cuffs", "../cuffs", "", "a" * 61, "our_cuffs", "ours/cuffs"])
def test_new_takes_only_names_that_work_everywhere(run, folder: Path, name):
    assert refused(run("lesson", "new", name), "NAME", "small letters, digits and hyphens")


def test_new_takes_no_name_of_a_built_in_lesson(run, folder: Path):
    assert refused(run("lesson", "new", "01-arm-height"), "01-arm-height", "built-in", "our-01-arm-height")


def test_check_tells_all_and_fails(run, folder: Path):
    file = folder / "our-cuffs.md"
    text = file.read_text(encoding="utf-8").replace('title = "Our low table"', "title = “Our low table”")
    file.write_text(text.replace("minutes = 5", "minutes = 500"), encoding="utf-8")
    (folder / "good.md").write_bytes(text.replace("“", '"').replace("”", '"').encode())
    status, out, err = run("lesson", "check", "ours")
    assert (status, err) == (1, "")
    title = text[: text.index("title = ")].count("\n") + 1
    assert f"our-cuffs.md: line {title}: expected straight quotes" in out
    assert f"our-cuffs.md: line {title + 3}: minutes: expected a whole number from 1 to 60; found 500" in out
    assert "good.md: nothing is wrong" in out


def test_check_without_a_file_is_refused(run, tmp_path: Path):
    assert refused(run("lesson", "check", tmp_path / "none.md"), "FILE", "a lesson file")
    assert refused(run("lesson", "check", tmp_path), "FILE", "a folder with lesson files")
    assert refused(run("lesson", "check", "a\0b"), "FILE")
    assert refused(run("lesson"), "COMMAND")


def test_new_needs_a_folder_that_can_be_made(run, folder: Path):
    (folder / "a-file").write_text("", encoding="utf-8")
    for place in ("ours/a-file", "a\0b"):
        assert refused(run("lesson", "new", "x", "--lessons", place), "--lessons", "must be a folder")
    assert refused(run("lesson", "new", "x", "--lessons", "no/such"), "x.md: cannot be written: No such file")


def test_the_other_commands_take_the_folder(run, folder: Path, monkeypatch):
    built_in = folder.parent / "built-in"  # one lesson, as the words of all take long
    built_in.mkdir()
    (built_in / "01-good.md").write_text(OFF_THE_LINES, encoding="utf-8")
    monkeypatch.setattr("sim.teach.lesson.place", lambda: built_in)
    status, out, err = run("lessons", "--lessons", "ours")
    assert (status, err) == (0, "")
    assert out.index("01-good") < out.index("our-cuffs  Our low table (5 min)")
    assert run("handout", "our-cuffs", "--lessons", "ours", "--out", "page.pdf")[0] == 0
    assert Path("page.pdf").read_bytes().startswith(b"%PDF")
    assert refused(run("handout", "our-cuffs"), "no such lesson")
    for command in (["lessons"], ["validate"], ["handout", "1"], ["app"]):
        assert refused(run(*command, "--lessons", "none"), "--lessons none: must be a folder")


def test_validate_marks_own_evidence(run, folder: Path, monkeypatch):
    monkeypatch.setattr("sim.teach.lesson.place", lambda: folder.parent)  # no built-in lessons, which take long
    monkeypatch.setattr("sim.teach.mechanisms.MECHANISMS", ())
    text = (folder / "our-cuffs.md").read_text(encoding="utf-8")
    evidence = (
        '[[evidence]]\nlabel = "Our trial"\nsbp = { value = 8, low = 6, high = 10 }\npopulation = "people"\n'
        'source = "Invented A, et al. Journal 2000"\ndoi = "10.1000/182"\nsure = "seen"\n'
        "[evidence.technique]\ncuff_below_heart_cm = 10\n"
    )
    evidence += "\n"
    (folder / "our-cuffs.md").write_text(text.replace("[takeaway]", evidence + "[takeaway]"), encoding="utf-8")
    status, out, _ = run("validate", "--people", "2", "--lessons", "ours")
    assert status == 0
    assert "our-cuffs (from this clinic): Our trial" in out
    (found,) = json.loads(run("validate", "--people", "2", "--lessons", "ours", "--json")[1])["findings"]
    assert found["local"] is True


def test_the_app_is_told_of_the_folder_and_says_what_is_left_out(run, folder: Path, monkeypatch):
    monkeypatch.setattr("streamlit.web.cli.main", lambda **_: None)
    monkeypatch.setenv(OWN_FOLDER, "")  # put back afterwards
    (folder / "broken.md").write_text("no lesson", encoding="utf-8")
    status, _, err = run("app", "--no-browser", "--lessons", "ours")
    assert status == 0
    assert os.environ[OWN_FOLDER] == str(folder.resolve())
    assert err == f"cuffbias: broken.md is left out; cuffbias lesson check {folder.resolve()} says why\n"

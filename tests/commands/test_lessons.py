"""`cuffbias lessons`: where the words of a lesson part from what the app shows."""

from __future__ import annotations

from pathlib import Path

from tests.teach.files import OFF_THE_LINES as GOOD


def test_the_command_tells_them_and_fails(run, tmp_path: Path, monkeypatch):
    monkeypatch.setattr("sim.teach.lesson.place", lambda: tmp_path)
    (tmp_path / "07-height.md").write_text(GOOD, encoding="utf-8")
    assert run("lessons")[0] == 0
    (tmp_path / "07-height.md").write_text(GOOD.replace("about = -8", "about = 8"), encoding="utf-8")
    status, _, err = run("lessons")
    assert status == 1
    assert "07-height.md: case, shows: the words say systolic lower by about +8" in err
    table = run("lessons", "--claims")[1]
    assert "| 07-height | case, shows | systolic lower by about +8 than the resting pressure |" in table
    assert "| NO |" in table

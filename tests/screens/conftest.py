"""Lessons of a test's own, and the view of studies with a runner of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from sim.screens import cache
from sim.screens.algorithms.study import page as study_page
from sim.study.background.runner import Runner
from tests.screens.opening import open_page


@pytest.fixture
def lesson_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty folder that the app takes its lessons from."""
    monkeypatch.setattr("sim.teach.lesson.place", lambda: tmp_path)
    cache.lessons.clear()
    yield tmp_path
    cache.lessons.clear()


@pytest.fixture
def open_study(monkeypatch: pytest.MonkeyPatch) -> Callable[..., AppTest]:
    """Opens the view with these parameters and this runner, by default a new one."""

    def opened(runner: Runner | None = None, **parameters: str) -> AppTest:
        used = runner or Runner(workers=1)
        monkeypatch.setattr(study_page, "runner", lambda: used)
        return open_page("algorithms", view="many", **parameters)

    return opened

"""Lessons of a test's own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from sim.screens import cache


@pytest.fixture
def lesson_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty folder that the app takes its lessons from."""
    monkeypatch.setattr("sim.teach.lesson.place", lambda: tmp_path)
    cache.lessons.clear()
    yield tmp_path
    cache.lessons.clear()

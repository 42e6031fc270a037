"""One recording: where it comes from, its beats and envelope, and the algorithms side by side."""

from __future__ import annotations


def show() -> None:
    """Ask for a recording, then show it."""

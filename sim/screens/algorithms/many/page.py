"""A study: planned, run, read, downloaded."""

from __future__ import annotations


def show() -> None:
    """Ask for a plan, then carry it out."""

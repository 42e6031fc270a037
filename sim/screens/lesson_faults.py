"""Faulty lesson files, told to whoever writes them."""

from __future__ import annotations

from sim.screens.words import plain
from sim.teach.lesson import LessonFault


def fault_text(file: str, faults: tuple[LessonFault, ...]) -> str:
    """What is wrong with one lesson file, for whoever writes it, as Markdown."""
    wrong = [fault for fault in faults if fault.file == file]
    lines = [f"- {plain(str(fault).removeprefix(file + ': '))}" for fault in wrong]
    return "\n".join([f"**The lesson file {plain(file)} cannot be shown.** What is wrong with it:", "", *lines])

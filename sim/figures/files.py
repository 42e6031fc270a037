"""Figures as files."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.figure import Figure

FILE_TYPES = (".png", ".svg", ".pdf")
DOTS_PER_INCH = 160
# No date inside: the same figure is the same file.
_NO_DATE = {".svg": {"Date": None}, ".pdf": {"CreationDate": None}}


def save(figure: Figure, file: Path) -> None:
    """Write `figure` in the format that the file's suffix, one of FILE_TYPES, names. Raises OSError."""
    suffix = file.suffix.lower()
    figure.savefig(file, format=suffix[1:], dpi=DOTS_PER_INCH, metadata=_NO_DATE.get(suffix))

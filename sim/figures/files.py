"""Figures as files."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from sim.files.whole import written_whole

if TYPE_CHECKING:
    from matplotlib.figure import Figure

FILE_TYPES = (".png", ".svg", ".pdf")
DOTS_PER_INCH = 160


def save(figure: Figure, file: Path, description: str = "") -> None:
    """Write `figure` in the format that the file's suffix, one of FILE_TYPES, names. Raises OSError.

    `description` goes into the file, for those who cannot see the picture. No date does: the same figure is the
    same picture.
    """
    suffix = file.suffix.lower()
    metadata: dict[str, dict[str, str | None]] = {
        ".png": {"Description": description},
        ".svg": {"Description": description, "Date": None},
        ".pdf": {"Subject": description, "CreationDate": None},
    }
    with written_whole(file) as part:
        figure.savefig(part, format=suffix[1:], dpi=DOTS_PER_INCH, metadata=metadata[suffix])

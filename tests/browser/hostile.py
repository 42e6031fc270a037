"""Text that would run or fetch something if a page took it for more than text; and the files that hold it."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from tests.teach.files import OFF_THE_LINES

# Nothing is at this address (RFC 5737): a request to it is only seen.
OUTSIDE = "http://203.0.113.5/p.png"
MARKUP = (
    "<img src=x onerror='window.ran=1'><script>window.ran=1</script><svg onload='window.ran=1'></svg>"
    f"[go](javascript:window.ran=1) <style>@import url({OUTSIDE});</style> :red[r] `c` "
)
# What a lesson is not let have at all.
PICTURE = f"![p]({OUTSIDE})"
_WORDS = (
    *("Height", "Does it matter?", "It does.", "Below the heart", "0 is level.", "What happens?", "Nothing"),
    *("It rises", "Which?", "This", "That", "So it is.", "And here?", "Too low", "The arm is raised.", "Rest it."),
    *("Rest the arm.", "small", "regular", "A trial", "people", "Invented A, et al. Journal 2000"),
)


def lesson() -> str:
    """A lesson with markup behind each of its texts."""
    text = OFF_THE_LINES
    for words in _WORDS:
        text = text.replace(f'"{words}"', f'"{words} {MARKUP}"')
    for words in ("Weight.", "Rest it.", "Much."):
        text = text.replace(f"\n{words}\n", f"\n{words} {MARKUP}\n")
    return text


def log(rows: int = 8) -> bytes:
    """A log whose notes and headings are markup, and a row that is nothing else."""
    words = (MARKUP + PICTURE).replace('"', '""')
    lines = [f'date,time,sbp,dbp,note,"{words}"']
    lines += [f'2024-05-{day + 1:02d},07:10,{130 + day},80,"{words}",' for day in range(rows)]
    return "\n".join([*lines, f'"{words}",07:10,130,80,,', f'2024-05-20,"{words}",130,80,,']).encode()


def record() -> dict[str, bytes]:
    """A WFDB record of two signals: markup in descriptions and comments. Its samples are 0."""
    words = MARKUP + PICTURE
    signals = [f"r.dat 16 50(0)/mmHg 16 0 0 0 0 {k} {words}\n" for k in range(2)]
    return {"r.hea": "".join(["r 2 100 400\n", *signals, f"# {words}\n"]).encode(), "r.dat": bytes(400 * 2 * 2)}


def table() -> bytes:
    """A recording whose other column is markup: 40 s of falling pressure."""
    pressure = np.linspace(180, 40, 4000)
    rows = (f"{k / 100},{value:.2f},0" for k, value in enumerate(pressure))
    return "\n".join([f"time_s,pressure_mmhg,{MARKUP.replace(';', '')}", *rows]).encode()


def folder_of_lessons(folder: Path) -> Path:
    """A folder with the lesson, and one that asks for a picture."""
    folder.mkdir()
    (folder / "our-cuffs.md").write_text(lesson(), encoding="utf-8")
    (folder / "our-picture.md").write_text(OFF_THE_LINES.replace("\nMuch.\n", f"\nMuch. {PICTURE}\n"), encoding="utf-8")
    return folder

"""A short document that a learner prints or sends: a heading, parts of lines, and what is said about safety."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from importlib import resources
from textwrap import fill

from sim.say import language
from sim.teach.safety import NO_DEVICE

STYLE = resources.files("sim.teach").joinpath("document.css").read_text("utf-8")
_WIDTH = 78


@dataclass(frozen=True)
class Part:
    """One part.

    lines: to be read one after the other;  boxes: whether each line has a box to tick
    """

    heading: str
    lines: tuple[str, ...]
    boxes: bool = False


@dataclass(frozen=True)
class Document:
    """The whole; safety: sentences at its end, of which the one about medical devices is always there."""

    title: str
    head: tuple[str, ...]
    parts: tuple[Part, ...]
    safety: tuple[str, ...] = (NO_DEVICE,)


def to_text(document: Document) -> str:
    """The document as plain text."""
    rows = [document.title, "=" * len(document.title), "", *document.head]
    for part in document.parts:
        rows += ["", part.heading, "-" * len(part.heading)]
        rows += [fill(line, _WIDTH, initial_indent=_mark(part), subsequent_indent="    ") for line in part.lines]
    rows += ["", *(fill(line, _WIDTH) for line in document.safety)]
    return "\n".join(rows) + "\n"


def to_html(document: Document) -> str:
    """The document as one HTML file for A4 or Letter, with nothing outside it and no buttons."""
    return f"""<!DOCTYPE html>
<html lang="{language()}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{escape(document.title)}</title>
<style>
{STYLE}</style>
</head>
<body>
{body(document, 1)}
</body>
</html>
"""


def body(document: Document, level: int) -> str:
    """What stands in the document, as HTML.

    level: of its heading, 1 where it stands alone
    """
    rows = [f"<h{level}>{escape(document.title)}</h{level}>", *(f"<p>{escape(line)}</p>" for line in document.head)]
    for part in document.parts:
        kind = ' class="boxes"' if part.boxes else ""
        items = "\n".join(f"<li>{escape(line)}</li>" for line in part.lines)
        rows += [f"<h{level + 1}>{escape(part.heading)}</h{level + 1}>", f"<ul{kind}>\n{items}\n</ul>"]
    safety = "\n".join(f"<p>{escape(line)}</p>" for line in document.safety)
    return "\n".join([*rows, f'<div class="safety">\n{safety}\n</div>'])


def _mark(part: Part) -> str:
    return "[ ] " if part.boxes else "  - "

"""A study's report as a page of its own and as paper."""

from __future__ import annotations

import base64
import html
import io
import textwrap
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.image import imread

from sim.figures.agreement import (
    DOTS_PER_INCH,
    Picture,
    criterion_picture,
    dependence_picture,
    limits_picture,
)
from sim.figures.colours import GRID, QUIET, TEXT
from sim.figures.stress_map import stress_picture
from sim.figures.tables import lines
from sim.files.whole import write_text, written_whole
from sim.study.origin import NOT_CLINICAL, OPTIMISTIC
from sim.study.tables import Table, comparison_table, contract_table, rules_table, tables

if TYPE_CHECKING:
    from sim.study.report import Report

TITLE = "An algorithm against arms whose true pressure is known"
_STYLE = f"""
body {{ font: 16px/1.5 system-ui, sans-serif; color: {TEXT}; max-width: 60rem; margin: 2rem auto; padding: 0 1rem; }}
table {{ border-collapse: collapse; margin: 0.5rem 0; display: block; overflow-x: auto; }}
th, td {{ text-align: left; padding: 0.25rem 1.25rem 0.25rem 0; border-bottom: 1px solid {GRID}; vertical-align: top; }}
caption, h2, h3 {{ text-align: left; }} .quiet {{ color: {QUIET}; }} img {{ max-width: 100%; height: auto; }}
.caution {{ border-left: 4px solid {TEXT}; padding-left: 1rem; }}
.whole {{ white-space: nowrap; }} th[scope=row] {{ min-width: 9rem; }}
@page {{ size: A4; margin: 15mm; }}
@media print {{
  body {{ font-size: 9.5pt; line-height: 1.35; max-width: none; margin: 0; padding: 0; }}
  section, figure, .caution {{ break-inside: avoid; }}
  h2, h3, thead {{ break-after: avoid; }}
  table {{ display: table; }}
  th, td {{ padding: 0.1rem 1rem 0.1rem 0; }}
  figure {{ margin: 0.5rem 0; }}
}}
"""
# A4; lines of text that fit above the foot of the page (found by looking), and their length.
_PAPER_IN, _LINES, _WIDTH = (8.27, 11.69), 84, 100
# A cell so short, a figure with its interval, is not broken into two lines.
_WHOLE = 26


class Pages:
    """The report of a study, to be written as a page and on paper; its pictures are drawn once for both."""

    def __init__(self, report: Report) -> None:
        self._origin = str(report.origin)
        self._parts = tuple(parts(report))

    def write_html(self, file: Path) -> None:
        """One self-contained HTML file. Raises OSError."""
        write_text(file, self.html())

    def html(self) -> str:
        """A page that needs nothing from elsewhere."""
        body = [
            f"<h1>{html.escape(TITLE)}</h1>",
            f'<p class="caution"><strong>{html.escape(NOT_CLINICAL)}</strong></p>',
            f"<p>{html.escape(OPTIMISTIC)}</p>",
            f'<p class="quiet">{html.escape(self._origin)}</p>',
        ]
        for part in self._parts:
            if isinstance(part, str):
                body.append(f"<h2>{html.escape(part)}</h2>")
            else:
                body.append(_table(part) if isinstance(part, Table) else _image(part))
        return (
            f'<!doctype html>\n<html lang="en">\n<head><meta charset="utf-8"><title>{html.escape(TITLE)}</title>'
            '<meta name="viewport" content="width=device-width, initial-scale=1">'
            f"<style>{_STYLE}</style></head>\n<body>\n" + "\n".join(body) + "\n</body>\n</html>\n"
        )

    def write_pdf(self, file: Path) -> None:
        """Sheets of A4. Raises OSError."""
        text = [TITLE.upper(), ""]
        for paragraph in (NOT_CLINICAL, OPTIMISTIC, self._origin):
            text += [*textwrap.wrap(paragraph, _WIDTH), ""]
        pictures: list[tuple[str, Picture]] = []
        heading = ""
        with (
            written_whole(file) as whole,
            PdfPages(whole, metadata={"Title": TITLE, "CreationDate": None, "ModDate": None}) as pages,
        ):
            for part in self._parts:
                if isinstance(part, str):
                    heading = part.upper()  # stands on the page of what follows
                    continue
                if isinstance(part, Picture):
                    _text_pages(pages, text, self._origin)
                    text = []
                    pictures.append((heading, part))
                else:
                    _picture_pages(pages, pictures, self._origin)
                    pictures = []
                    text = _with_block(text, [*([heading, ""] if heading else []), *lines(part, _WIDTH), ""])
                heading = ""
            _text_pages(pages, text, self._origin)
            _picture_pages(pages, pictures, self._origin)


def parts(report: Report) -> Iterator[str | Table | Picture]:
    """Headings, tables and pictures, in order; no picture of errors, and no empty table, where there are none."""
    read = tuple(a for a in report.agreements if a.counts.failed < a.counts.readings)
    if report.contract:
        yield contract_table(report.contract, report.agreements[0].estimator)
    if report.rules:
        yield rules_table(report.rules)
    scored = tuple(a for a in read if a.counts.complete)
    if scored:
        yield criterion_picture(scored)
    for agreement, scatter in zip(report.agreements, report.scatters, strict=True):
        yield agreement.estimator
        yield from (table for table in tables(agreement) if table.rows)
        if agreement in read:
            yield limits_picture(agreement, scatter)
            yield dependence_picture(agreement)
    if report.comparisons:
        yield "Comparisons"
        yield from (comparison_table(comparison) for comparison in report.comparisons)
    if report.maps:
        yield "Stress"
        yield from (stress_picture(found) for found in report.maps)


def _table(table: Table) -> str:
    header = "".join(f'<th scope="col">{html.escape(cell)}</th>' for cell in table.header)
    rows = "".join(
        f'<tr><th scope="row">{html.escape(first)}</th>{"".join(map(_cell, rest))}</tr>' for first, *rest in table.rows
    )
    note = f'<p class="quiet">{html.escape(table.note)}</p>' if table.note else ""
    return (
        f"<section><h3>{html.escape(table.title)}</h3><table><thead><tr>{header}</tr></thead><tbody>{rows}</tbody>"
        f"</table>{note}</section>"
    )


def _cell(text: str) -> str:
    whole = ' class="whole"' * (0 < len(text) <= _WHOLE)
    return f"<td{whole}>{html.escape(text)}</td>"


def _image(picture: Picture) -> str:
    words = html.escape(picture.words)
    source = base64.b64encode(picture.png).decode("ascii")
    image = f'<img alt="{words}" src="data:image/png;base64,{source}">'
    return f"<figure>{image}<figcaption>{words}</figcaption></figure>"


def _with_block(text: list[str], block: list[str]) -> list[str]:
    """The lines with a block after them that is not torn: on the next page where this one has no room for all of it."""
    short = len(text) % _LINES + len(block) > _LINES
    return [*text, *([""] * (-len(text) % _LINES if short else 0)), *block]


def _text_pages(pages: PdfPages, text: list[str], origin: str) -> None:
    for first in range(0, len(text), _LINES):
        page = "\n".join(text[first : first + _LINES])
        if page.strip():
            paper = _paper(origin)
            paper.text(0.08, 0.95, page, va="top", family="monospace", fontsize=7.6, color=TEXT, linespacing=1.13)
            pages.savefig(paper)  # type: ignore[no-untyped-call]


def _picture_pages(pages: PdfPages, pictures: list[tuple[str, Picture]], origin: str) -> None:
    """Pictures with their words and, where a part begins, its heading, two on a page."""
    for first in range(0, len(pictures), 2):
        paper = _paper(origin)
        for place, (heading, picture) in enumerate(pictures[first : first + 2]):
            shown = _PAPER_IN[0] / picture.width_in * picture.height_in / _PAPER_IN[1]
            top = 0.96 - 0.47 * place
            paper.text(0.08, top + 0.01, heading, family="monospace", fontsize=7.6, color=TEXT)
            part = paper.add_axes((0.06, top - shown * 0.88, 0.88, shown * 0.88))
            part.imshow(imread(io.BytesIO(picture.png)), aspect="equal")
            part.set_axis_off()
            words = "\n".join(textwrap.wrap(picture.words, 115))
            paper.text(0.08, top - shown * 0.88 - 0.01, words, va="top", fontsize=7.6, color=TEXT)
        pages.savefig(paper, dpi=DOTS_PER_INCH)  # type: ignore[no-untyped-call]


def _paper(origin: str) -> Figure:
    paper = Figure(figsize=_PAPER_IN)
    paper.text(0.08, 0.03, f"{origin}. No clinical investigation.", fontsize=6.5, color=QUIET)
    return paper

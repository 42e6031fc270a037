"""A study's verdicts and tables on the page."""

from __future__ import annotations

from html import escape

import streamlit as st

from sim.study import in_words
from sim.study.agreement import Agreement
from sim.study.standard import SUBJECTS
from sim.study.tables import Table

# Columns that a phone has room for.
NARROW = 3


def panel(a: Agreement) -> str:
    """One algorithm's verdict as a card."""
    cells = "".join(
        f"<div><p class='tag'>{name}</p><p class='big'>{escape(said)}</p></div>"
        for name, said in in_words.odds(a).items()
    )
    reasons = "".join(f"<li>{escape(text)}</li>" for text in in_words.broken(a))
    likely = (
        f"<p class='quiet'>Probability that another study of {SUBJECTS} such people passes both criteria:</p>"
        f"<div class='odds'>{cells}</div>"
        if a.counts.complete
        else ""
    )
    return (
        f"<section class='verdict'><h3>{escape(a.estimator)}</h3><p class='standing'>{escape(in_words.standing(a))}</p>"
        f"<ul>{reasons}</ul>{likely}"
        + "".join(
            f"<p>{escape(text)}</p>"
            for text in (in_words.tolerable_in_short(a), in_words.failures(a), in_words.few(a))
            if text
        )
        + "</section>"
    )


def show(*tables: Table) -> None:
    """Tables below each other."""
    for table in tables:
        st.html(written(table))


def written(table: Table) -> str:
    """A table as HTML; cells are shown as text, whatever they hold. On phones wide ones become lists of their rows."""
    # Nothing stands above the names of the rows in some tables: such a cell heads no column.
    head = "".join(f'<th scope="col">{escape(cell)}</th>' if cell else "<td></td>" for cell in table.header)
    rows = "".join(_row(table, first, rest) for first, *rest in table.rows)
    header = f"<thead><tr>{head}</tr></thead>" if any(table.header) else ""
    note = f'<p class="quiet">{escape(table.note)}</p>' if table.note else ""
    wide = ' class="wide"' if len(table.header) > NARROW else ""
    return (
        f'<section class="study-table"><h3>{escape(table.title)}</h3><table{wide}>{header}<tbody>{rows}</tbody></table>'
        f"{note}</section>"
    )


def _row(table: Table, first: str, rest: list[str]) -> str:
    # Rows that belong to the one above stand a little in.
    inward = ' class="inward"' if first.startswith(" ") else ""
    cells = "".join(
        f'<td data-of="{escape(name)}">{escape(cell)}</td>' for name, cell in zip(table.header[1:], rest, strict=True)
    )
    return f'<tr><th scope="row"{inward}>{escape(first.strip())}</th>{cells}</tr>'

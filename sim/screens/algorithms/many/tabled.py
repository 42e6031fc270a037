"""A study's tables on the page."""

from __future__ import annotations

from html import escape

import streamlit as st

from sim.study.tables import Table


def show(*tables: Table) -> None:
    """Tables below each other."""
    for table in tables:
        st.html(written(table))


def written(table: Table) -> str:
    """A table as HTML that scrolls by itself where it is too wide; cells are shown as text, whatever they hold."""
    head = "".join(f'<th scope="col">{escape(cell)}</th>' for cell in table.header)
    rows = "".join(
        f'<tr><th scope="row"{_inward(first)}>{escape(first.strip())}</th>'
        + "".join(f"<td>{escape(cell)}</td>" for cell in rest)
        + "</tr>"
        for first, *rest in table.rows
    )
    header = f"<thead><tr>{head}</tr></thead>" if any(table.header) else ""
    note = f'<p class="quiet">{escape(table.note)}</p>' if table.note else ""
    return (
        f'<section class="study-table"><h5>{escape(table.title)}</h5><div tabindex="0"><table>{header}'
        f"<tbody>{rows}</tbody></table></div>{note}</section>"
    )


def _inward(name: str) -> str:
    """Rows that belong to the one above stand a little in."""
    return ' class="inward"' if name.startswith(" ") else ""

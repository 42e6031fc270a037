"""Tables as lines of text, for terminals and paper."""

from __future__ import annotations

import textwrap

from sim.study.tables import Table

GAP = 2
INDENT = 2


def lines(table: Table, width: int = 78) -> list[str]:
    """Title, header, rows and note; cells that do not fit are wrapped within their column."""
    rows = [table.header, *table.rows]
    columns = [[row[k] for row in rows] for k in range(len(table.header))]
    widths = _widths(columns, width)
    shown = [table.title.upper() if len(table.title) < 40 else table.title]
    for row in rows:
        if any(row):
            shown += _row(row, widths)
    return shown + textwrap.wrap(table.note, width)


def _widths(columns: list[list[str]], width: int) -> list[int]:
    """Widths of the columns: as needed, the widest made narrower until all fit, but no word broken."""
    widths = [max(map(len, column)) for column in columns]
    # Rows below the first line of a wrapped name stand a little in.
    least = [max(len(word) + INDENT for cell in column for word in cell.split() or [""]) for column in columns]
    while sum(widths) + GAP * (len(widths) - 1) > width:
        spare = [now - floor for now, floor in zip(widths, least, strict=True)]
        if max(spare) <= 0:
            break
        widest = max((w, k) for k, w in enumerate(widths) if spare[k] > 0)[1]
        widths[widest] -= 1
    return widths


def _row(row: tuple[str, ...], widths: list[int]) -> list[str]:
    cells = [_wrapped(cell, width, k == 0) for k, (cell, width) in enumerate(zip(row, widths, strict=True))]
    height = max(len(cell) for cell in cells)
    made = []
    for line in range(height):
        parts = [(cell[line] if line < len(cell) else "").ljust(w) for cell, w in zip(cells, widths, strict=True)]
        made.append((" " * GAP).join(parts).rstrip())
    return made


def _wrapped(cell: str, width: int, first: bool) -> list[str]:
    indent = " " * (len(cell) - len(cell.lstrip()))
    wrapped = textwrap.wrap(cell, max(width, 1), subsequent_indent=indent + " " * INDENT if first else "")
    return wrapped or [""]

"""Results as people look at them: a few lines of text, a small HTML table in a notebook, a pandas table."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

import numpy as np

# Rows that are shown; of more, the rest is counted.
SHOWN_ROWS = 5

Columns = Mapping[str, np.ndarray]


def text(name: str, columns: Columns) -> str:
    """A name, the number of rows, and the first rows of the columns, each column as wide as it needs.

    >>> print(text("Pressures", {"sbp": np.array([120.04, 131.5]), "dbp": np.array([80.0, np.nan])}))
    Pressures, 2 rows
        sbp   dbp
      120.0  80.0
      131.5     -
    """
    shown, more = _shown(columns)
    wide = [max(len(cell) for cell in column) for column in shown]
    lines = [
        "  " + "  ".join(cell.rjust(w) for cell, w in zip(row, wide, strict=True)) for row in zip(*shown, strict=True)
    ]
    return "\n".join([f"{name}, {_rows(columns)}", *lines, *([f"  and {more} more"] if more else [])])


def html(name: str, columns: Columns) -> str:
    """The same as a table in HTML."""
    shown, more = _shown(columns)
    head, *rows = zip(*shown, strict=True)
    body = "".join(f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>" for row in rows)
    header = "".join(f"<th>{escape(cell)}</th>" for cell in head)
    rest = f"<p>and {more} more</p>" if more else ""
    caption = f"<caption>{escape(name)}, {_rows(columns)}</caption>"
    return f"<table>{caption}<thead><tr>{header}</tr></thead><tbody>{body}</tbody></table>{rest}"


def frame(columns: Columns) -> Any:
    """A pandas.DataFrame with one row for each reading. Raises ImportError where pandas is not installed."""
    try:
        import pandas
    except ImportError:
        raise ImportError("to_frame() needs pandas: python -m pip install pandas") from None
    return pandas.DataFrame({name: np.array(values) for name, values in columns.items()})


def _rows(columns: Columns) -> str:
    n = _length(columns)
    return f"{n} row" + "s" * (n != 1)


def _length(columns: Columns) -> int:
    return len(next(iter(columns.values()), ()))


def _shown(columns: Columns) -> tuple[list[list[str]], int]:
    """For each column its name and its first values as text; and how many rows are left."""
    more = max(0, _length(columns) - SHOWN_ROWS)
    return [[name, *map(_cell, values[:SHOWN_ROWS])] for name, values in columns.items()], more


def _cell(value: Any) -> str:
    if isinstance(value, (float, np.floating)):
        return f"{value:.1f}" if np.isfinite(value) else "-"
    return str(value)

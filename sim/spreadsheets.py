"""Text in the cells of a table that a spreadsheet opens: shown there as text, never worked out as a formula.

A spreadsheet takes a cell that begins with = + - or @ for a formula, which may open other files or addresses. An
apostrophe before it makes it text (common practice). The text may come apart at a semicolon, a tab or a line break
where the spreadsheet expects another separator than a comma, so what stands behind these is held to the same.
"""

from __future__ import annotations

import re

# Where a cell begins, or would begin.
_BEGINNING = r"(?:\A|(?<=[;\t\r\n]))"
# What is taken for a formula, also in the wide letters of Chinese and Japanese, with anything before it that
# spreadsheets pass over. The apostrophe is among that, so that what was made text twice is read back twice.
_FORMULA = r"(?=['\"\s]*[=+\-@\t\r＝＋－＠])"
_UNMARKED = re.compile(_BEGINNING + _FORMULA)
_MARKED = re.compile(_BEGINNING + "'" + _FORMULA)


def as_cell(text: str) -> str:
    """The text as a cell that is no formula; `from_cell` gives back the same text. Not for numbers.

    >>> as_cell("=1+1"), as_cell("before coffee")
    ("'=1+1", 'before coffee')
    """
    return _UNMARKED.sub("'", text)


def from_cell(cell: str) -> str:
    """The text that stands in a cell, without the apostrophes that only say that it is text.

    >>> from_cell("'=1+1")
    '=1+1'
    """
    return _MARKED.sub("", cell)

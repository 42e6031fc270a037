"""What stands in one cell of a table: a number, or a whole reading such as 143/90 or 143/90/72."""

from __future__ import annotations

import re

from sim.logs.log import RowError
from sim.say import mark, say
from sim.texts import decimal

_PAIR = re.compile(r"([0-9.,]+)\s*[/|]\s*([0-9.,]+)(?:\s*[/|]\s*([0-9.,]+))?")
_NUMBER = re.compile(r"[0-9]{1,6}([.,][0-9]{1,6})?")
_NAMES = (mark("systolic"), mark("diastolic"), mark("pulse"))


def number(name: str, text: str) -> float | None:
    """A number, None where the cell is empty; raises RowError."""
    if not text:
        return None
    if not _NUMBER.fullmatch(text):
        raise RowError(say("{name} {given!r}: must be a number", name=say(name), given=text[:30]))
    return decimal(text.replace(",", "."))


def reading(text: str, name: str = "reading") -> dict[str, float | None]:
    """Systolic and diastolic pressure [mmHg] of a cell, and the pulse where it stands behind them; raises RowError.

    >>> reading("143/90/72")
    {'sbp': 143.0, 'dbp': 90.0, 'pulse': 72.0}
    """
    found = _PAIR.fullmatch(text)
    if not found:
        two = say("two readings in one cell; give each a column of its own")
        one = say("must be such as 143/90, or 143/90/72 with the pulse")
        raise RowError(f"{say(name)} {text[:30]!r}: {two if len(_PAIR.findall(text)) > 1 else one}")
    values = [number(what, part or "") for what, part in zip(_NAMES, found.groups(), strict=True)]
    return dict(zip(("sbp", "dbp", "pulse"), values, strict=True))


def readable(text: str) -> dict[str, float | None]:
    """The pressures that can be read in a cell that as a whole cannot, [mmHg]."""
    found: dict[str, float | None] = {}
    parts = text.replace("|", "/").split("/")
    for name, part in zip(("sbp", "dbp"), (*parts, "", ""), strict=False):
        try:
            found[name] = number(name, part.strip())
        except RowError:
            found[name] = None
    return found

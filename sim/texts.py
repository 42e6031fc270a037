"""Numbers and JSON out of text that anybody may have written: what Python would take besides is refused.

`int` and `float` also take underscores, digits of other scripts, "inf" and "nan", and fail in their own way on
thousands of digits; `json` fails in its own way on deep nesting. Here everything that cannot be used is a ValueError.
"""

from __future__ import annotations

import json
import math
import re
from typing import Any

_WHOLE = re.compile(r"[+-]?[0-9]{1,19}")
_DECIMAL = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_LONGEST = 400
# What no page and no file of text holds: control characters but tab and line breaks, and halves of characters.
_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")
MINUS = "\N{MINUS SIGN}"
# A hyphen that begins a number: not one inside a word, a date, a range or an identifier.
_NEGATIVE = re.compile(r"(?<![\w.)\]-])-(?=\.?[0-9])")


def real_minus(text: str) -> str:
    """Text for people: a real minus sign before negative numbers. What machines read keeps the hyphen.

    >>> real_minus("-5.7/-0.4 (-8 to 3), 2024-05-31, e35-e66")
    '−5.7/−0.4 (−8 to 3), 2024-05-31, e35-e66'
    """
    return _NEGATIVE.sub(MINUS, text)


def whole(text: str) -> int:
    """The whole number that a text says, in the digits 0 to 9, with either minus sign; ValueError where it says none.

    >>> whole(" -12 ")
    -12
    """
    found = _WHOLE.fullmatch(text.strip().replace(MINUS, "-"))
    if not found:
        raise ValueError("no whole number")
    return int(found[0])


def decimal(text: str) -> float:
    """The finite number that a text says, with a decimal point and either minus sign; ValueError where it says none.

    >>> decimal("1.5e2")
    150.0
    """
    text = text.strip().replace(MINUS, "-")
    if len(text) > _LONGEST or not _DECIMAL.fullmatch(text) or not math.isfinite(value := float(text)):
        raise ValueError("no number")
    return value


def printable(text: str) -> str:
    """A text that every page and file can hold: what they cannot stands as the sign for an unknown character.

    >>> printable("caf\\x00e")
    'caf\ufffde'
    """
    return _UNPRINTABLE.sub("\ufffd", text)


def one_line(text: str, longest: int = 80) -> str:
    """A text of anybody's that fits into a message: on one line, cut off where long.

    >>> one_line("two\\nlines"), one_line("a long one", 8)
    ('two?lines', 'a lon...')
    """
    shown = "".join(letter if letter.isprintable() else "?" for letter in text[: longest + 1])
    return shown if len(shown) <= longest else shown[: longest - 3] + "..."


def from_json(text: str | bytes) -> Any:
    """What a text says in JSON; ValueError where it is none, or nested deeper than anything that is meant."""
    try:
        return json.loads(text)
    except RecursionError:
        raise ValueError("nested too deeply") from None

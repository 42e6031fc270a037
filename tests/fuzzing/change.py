"""Small changes to valid input that leave most of its structure standing, so that a reader comes far into it."""

from __future__ import annotations

import copy
import re
from collections.abc import Callable
from typing import Any

import numpy as np

# Numbers as files carry them, and as nobody expects them.
NUMBERS = (
    *("0", "-0", "-1", "1", "2", "0.5", "-0.5", "1e3", "1E-3", "1e308", "1e309", "-1e308", "1e-320", "nan", "NaN"),
    *("inf", "-inf", "255", "256", "65535", "65536", "2147483648", "9223372036854775808", "99999999999999999999"),
    *("1,5", "1.234,5", "1_000", "0x10", "٣", "¹", "12O", "+7", "--7", "7.", ".7", ".", "1/2", "120/80", "-20"),
    *("400", "401", "NULL", "None", "true", "00012"),
)
WORDS = (
    "",
    " ",
    "\t",
    '"',
    "'",
    '""',
    "=1+1",
    "@x",
    "\x00",
    "\x1b[31m",
    "\ufeff",
    "\u202e",
    "é",
    "漢",
    "🫀",
    "\ud7ff",
    "<b>x</b>",
    "../x",
    "/dev/null",
    "mmHg",
    "kPa",
    "s",
    "a" * 300,
    "{",
    "}",
    "[",
    "]",
    ":",
    ";",
    ",",
    "#",
    "//",
    "%s",
    "{0}",
    "\\",
    "\r",
    "\n\n",
)
_TOKEN = re.compile(r"[+-]?\d+(?:[.,]\d+)?(?:[eE][+-]?\d+)?|\w+|[^\w\s]|\s+")
_NUMBER = re.compile(r"[+-]?\d")
# Values of every kind that JSON and TOML have.
VALUES: tuple[Any, ...] = (
    None, True, False, 0, -1, 1, 1.5, 1e308, -1e-320, 2**63, 10**30, float("nan"), float("inf"), "", "x", "120",
    "é" * 50, [], [None], [[]], {}, {"": 1}, "2024-02-30", "2024-05-06T07:10:00+99:00", "\x00", [1, "a", {}], "=1+1",
)  # fmt: skip


def times(rng: np.random.Generator) -> int:
    """How many changes are made together: most often one, so that much is left that is valid."""
    return int(rng.choice((1, 1, 1, 2, 3, 5)))


def one_of(things: Any, rng: np.random.Generator) -> Any:
    """One of these, each as probable."""
    return things[int(rng.integers(len(things)))]


def text_changed(text: str, rng: np.random.Generator) -> str:
    """A text with a few tokens or lines changed."""
    for _ in range(times(rng)):
        text = one_of(_TEXT, rng)(text, rng)
    return text


def _token(text: str, rng: np.random.Generator) -> str:
    tokens = _TOKEN.findall(text)
    if not tokens:
        return str(one_of(WORDS, rng))
    place = int(rng.integers(len(tokens)))
    like = NUMBERS if _NUMBER.match(tokens[place]) and rng.random() < 0.8 else WORDS
    tokens[place] = one_of(tokens, rng) if rng.random() < 0.25 else one_of(like, rng)
    return "".join(tokens)


def _line(text: str, rng: np.random.Generator) -> str:
    """A line gone, twice there, or somewhere else."""
    lines = text.split("\n")
    line = lines.pop(int(rng.integers(len(lines))))
    for _ in range(int(rng.integers(3))):
        lines.insert(int(rng.integers(len(lines) + 1)), line)
    return "\n".join(lines)


def _within_line(text: str, rng: np.random.Generator) -> str:
    """The tokens of a line, one gone or one twice there."""
    lines = text.split("\n")
    place = int(rng.integers(len(lines)))
    tokens = _TOKEN.findall(lines[place]) or [""]
    at = int(rng.integers(len(tokens)))
    tokens[at : at + 1] = [] if rng.random() < 0.5 else [tokens[at]] * 2
    lines[place] = "".join(tokens)
    return "\n".join(lines)


def _letter(text: str, rng: np.random.Generator) -> str:
    """One letter for another everywhere, as another dialect would have it."""
    pairs = (",", ";"), (",", "\t"), (".", ","), ("\n", "\r\n"), ("\n", "\r"), ("-", "/"), ("/", "-"), (" ", "\u00a0")
    old, new = one_of((*pairs, ('"', ""), ("-", "−"), ("e", "E")), rng)
    return text.replace(old, new)


def _cut(text: str, rng: np.random.Generator) -> str:
    return text[: int(rng.integers(len(text) + 1))]


_TEXT: tuple[Callable[[str, np.random.Generator], str], ...] = (_token,) * 6 + (
    _line,
    _line,
    _within_line,
    _letter,
    _cut,
)


def value_changed(document: Any, rng: np.random.Generator) -> Any:
    """A document of tables and lists with a few places changed."""
    document = copy.deepcopy(document)
    for _ in range(times(rng)):
        places = list(_places(document))
        if not places:
            return one_of(VALUES, rng)
        holder, key = one_of(places, rng)
        what = rng.random()
        if what < 0.2:
            del holder[key]
        elif what < 0.3 and isinstance(holder, list):
            holder.insert(key, copy.deepcopy(holder[key]))
        elif what < 0.5:
            there, other = one_of(places, rng)
            if _key_of(there, other):
                holder[key] = copy.deepcopy(there[other])
        else:
            holder[key] = copy.deepcopy(one_of(VALUES, rng))
    return document


def _places(document: Any) -> Any:
    """Every (holder, key) of a document."""
    keys = document if isinstance(document, dict) else range(len(document)) if isinstance(document, list) else ()
    for key in list(keys):
        yield document, key
        yield from _places(document[key])


def _key_of(holder: Any, key: Any) -> bool:
    return key in holder if isinstance(holder, dict) else key < len(holder)


def bytes_changed(data: bytes, rng: np.random.Generator) -> bytes:
    """Bytes with a few flipped, gone or more; seldom cut off."""
    out = bytearray(data)
    for _ in range(times(rng)):
        place = int(rng.integers(len(out) + 1))
        what = rng.random()
        if what < 0.7 and place < len(out):
            out[place] ^= 1 << int(rng.integers(8))
        elif what < 0.8:
            out[place:place] = rng.bytes(int(rng.integers(1, 9)))
        elif what < 0.9:
            del out[place : place + int(rng.integers(1, 9))]
        else:
            del out[place:]
    return bytes(out)

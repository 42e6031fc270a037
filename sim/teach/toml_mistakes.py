"""Mistakes that people make in TOML: what was expected, and how the line is put right for the moment."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from sim.texts import one_line

_QUOTES = "\u201c\u201d\u201e\u201f\u00ab\u00bb\u2018\u2019\u201a\u201b"  # all that are not straight
_DOUBLE = "[\u201c\u201d\u201e\u201f\u00ab\u00bb]"
_KEY = r"^(\s*[\w.-]+\s*=\s*)"

_CURLY = 'straight quotes (") around a text; TOML does not know curly ones'
# What was expected; the pattern of the mistake; what it is replaced by. Tried one by one, then all in this order.
MISTAKES: tuple[tuple[str, re.Pattern[str], str | Callable[[re.Match[str]], str]], ...] = (
    (_CURLY, re.compile(rf'{_KEY}[{_QUOTES}]([^"\n]*)[{_QUOTES}](\s*(?:#.*)?)$'), r'\1"\2"\3'),
    (_CURLY, re.compile(_DOUBLE), '"'),
    (_CURLY, re.compile(f"[{_QUOTES}]"), "'"),
    ("a hyphen (-) as the minus sign", re.compile("[\u2212\u2013](?=[\\d.])"), "-"),
    ("a point in a number, no comma", re.compile(rf"{_KEY}([+-]?\d+),(\d+\s*(?:#.*)?)$"), r"\1\2.\3"),
    (
        "true or false, in small letters and without quotes",
        re.compile(rf"{_KEY}(?i:(true|yes)|false|no)(\s*(?:#.*)?)$"),
        lambda m: f"{m[1]}{'true' if m[2] else 'false'}{m[3]}",
    ),
    ("one sign = between a key and its value", re.compile(r"^(\s*[\w.-]+\s*)==+"), r"\1="),
    ("the sign = between a key and its value", re.compile(r"^(\s*[\w-]+)\s*:\s*(?=\S)"), r"\1 = "),
    ("the sign = between a key and its value", re.compile(r"^(\s*[\w-]+)\s+(?=[\"'\[{\d])"), r"\1 = "),
    ("two brackets on both sides, as in [[check]]", re.compile(r"^\s*\[\[([^\[\]]*)\]?\s*$"), r"[[\1]]"),
    ("as many brackets behind as in front", re.compile(r"^\s*\[([^\[\]]*?)\]*\s*$"), r"[\1]"),
    (
        "the whole text on one line, however long",
        re.compile(rf'{_KEY}"([^"]*\n[^"]*)"\s*$'),
        lambda m: m[1] + '"' + re.sub(r"\s*\n\s*", " ", m[2]) + '"',
    ),
    ("a closing quote behind the text", re.compile(rf'{_KEY}"([^"\n]*)$'), r'\1"\2"'),
    ("an opening quote before the text", re.compile(rf'{_KEY}([^"\'\[{{\n]*)"\s*$'), r'\1"\2"'),
    (
        "curly or single quotes inside a text, or a backslash before each straight one",
        re.compile(rf'{_KEY}"(.*)"(\s*)$'),
        lambda m: m[1] + '"' + re.sub(r'(?<!\\)"', r'\\"', m[2]) + '"' + m[3],
    ),
    ("two backslashes for one", re.compile(r"\\(?![\"\\])"), r"\\\\"),
    ("a comma behind each entry of a list", re.compile(r"\}[ \t]*\{"), "}, {"),
    ("a comma behind each entry of a list", re.compile(r'(["}])[ \t]*(\n\s*["{])'), r"\1,\2"),
    ("a closing bracket ] behind the list", re.compile(r"^(\s*[\w.-]+\s*=\s*\[[^\]]*)$"), r"\1]"),
    ("a closing brace }", re.compile(r"^(\s*[\w.-]+\s*=\s*\{[^}]*)$"), r"\1}"),
    (
        'a number, or a text between straight quotes (")',
        re.compile(rf"{_KEY}([^\"'\[{{#\s{_QUOTES}][^#\n]*?)(\s*(?:#.*)?)$"),
        lambda m: m[1] + '"' + m[2].replace("\\", "\\\\").replace('"', '\\"') + '"' + m[3],
    ),
)
_NOTHING = re.compile(rf"{_KEY}(?:#.*)?$")
_CURLY_VALUE = re.compile(rf"^[^=\"']*=[\s\[]*[{_QUOTES}]")


def put_right(statement: str, loads: Callable[[str], Any]) -> tuple[str | None, list[tuple[int, str, str]]]:
    """A statement that can be read, and its mistakes: lines down from its first one, what was expected, what is there.

    None in place of the statement where no way is known to put it right. `loads` raises ValueError where it is no TOML.
    """
    try:
        loads(statement)
        return statement, []
    except ValueError as error:
        said = re.sub(r" \(at .*\)", "", str(error))
    for expected, pattern, instead in MISTAKES:
        mended = pattern.sub(instead, statement)
        if mended != statement and _reads(mended, loads):
            return mended, [_told(statement, mended, expected)]
    mended, told = statement, []
    for expected, pattern, instead in MISTAKES:
        after = pattern.sub(instead, mended)
        if after != mended:
            told.append(_told(mended, after, expected))
            mended = after
        if told and _reads(mended, loads):
            return mended, told
    return None, [(0, _expected(statement, said), one_line(statement.split("\n")[0].strip(), 60))]


def _reads(statement: str, loads: Callable[[str], Any]) -> bool:
    try:
        loads(statement)
    except ValueError:
        return False
    return True


def _told(before: str, after: str, expected: str) -> tuple[int, str, str]:
    """Where a statement was changed, what was expected there, and the line that stands there."""
    lines = before.split("\n")
    changed = next((n for n, (a, b) in enumerate(zip(lines, after.split("\n"), strict=False)) if a != b), 0)
    return changed, expected, one_line(lines[changed].strip(), 60)


def _expected(statement: str, said: str) -> str:
    """What was expected of a statement that cannot be put right."""
    if _CURLY_VALUE.match(statement):
        return _CURLY
    if _NOTHING.match(statement):
        return "a value behind the sign ="
    return f'a line of TOML, such as title = "Our cuffs" (its reader says: {said[:80]})'

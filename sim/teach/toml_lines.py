"""The keys of a lesson file, statement by statement: on which line each stands, and what is wrong with a line.

TOML's own reader stops at the first mistake and speaks of tokens. Here each statement is read for itself, so that all
mistakes are found; one that people really make (`toml_mistakes`) is named, and put right for the moment so that what
the keys say can be looked at as well.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from sim.teach.toml_mistakes import put_right

# How a statement begins: a table, or a key and its sign. Inside a list no line begins like this.
_BEGINS = re.compile(r"\s*(?:\[{1,2}\s*[A-Za-z]|[\w-]+(?:\s*\.\s*[\w-]+)*\s*=)")
_TABLE = re.compile(r"\s*\[")
_VALUE = re.compile(r"[^=]*=\s*(.*)")
_THREE = ('"""', "'''")


@dataclass(frozen=True)
class Wrong:
    """One mistake: on which line of the file, what was expected, what stands there."""

    line: int
    expected: str
    found: str


@dataclass
class Read:
    """What was read.

    data: the keys, None where a mistake could not be put right;  wrong: all mistakes
    lines: "predict, choice 2, reply" -> line of the file;  around: the same of tables that others stand in
    """

    data: dict[str, Any] | None = None
    wrong: list[Wrong] = field(default_factory=list)
    lines: dict[str, int] = field(default_factory=dict)
    around: dict[str, int] = field(default_factory=dict)

    def line(self, key: str) -> int:
        """The line of a key, or of the nearest table around it; 1 where there is none."""
        while key:
            if key in self.lines or key in self.around:
                return self.lines.get(key) or self.around[key]
            key = re.sub(r"(?:, [^,]*| \d+|^[^,]*)$", "", key)
        return 1


def loads(text: str) -> dict[str, Any]:
    """What a text says in TOML. Raises ValueError where it is none, nested too deeply or with endless numbers too."""
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise ValueError("nested too deeply") from None


def read(text: str, first: int) -> Read:
    """Statement by statement. first: on which line of the file the text begins."""
    found = Read()
    lines = text.split("\n")
    mended: list[str] = [""] * len(lines)
    whole = True
    for at, statement in _statements(lines):
        right, wrong = put_right(statement, loads)
        found.wrong += [Wrong(first + at + down, expected, shown) for down, expected, shown in wrong]
        whole = whole and right is not None
        mended[at] = right or ""
    if whole:
        _index(found, mended, first)
    if whole and not any(wrong.expected == _ONCE for wrong in found.wrong):
        try:
            found.data = loads("\n".join(_on_their_lines(mended)))
        except ValueError as error:
            named = re.search(r"line (\d+)", str(error))
            line = first + int(named[1]) - 1 if named else first
            found.wrong.append(Wrong(line, "keys in TOML", _bare(error)))
    return found


def _on_their_lines(mended: list[str]) -> Iterator[str]:
    """All statements, so that each begins on its line: one of several lines leaves the next ones out."""
    skip = 0
    for statement in mended:
        if not skip:
            yield statement
        skip = skip - 1 if skip else statement.count("\n")


def _statements(lines: list[str]) -> Iterator[tuple[int, str]]:
    """Each statement, and on which of the lines it begins."""
    at = 0
    while at < len(lines):
        if not lines[at].strip() or lines[at].lstrip().startswith("#"):
            at += 1
            continue
        end = _end(lines, at)
        yield at, "\n".join(lines[at:end])
        at = end


def _end(lines: list[str], at: int) -> int:
    """Behind the last line of the statement that begins on a line."""
    value = (_VALUE.match(lines[at]) or [lines[at], ""])[1]
    if _TABLE.match(lines[at]) or not value:
        return at + 1
    if value.startswith(_THREE):
        return next((n + 1 for n in range(at, len(lines)) if _closes(lines, at, n, value)), at + 1)
    if value[0] in "[{":
        return _end_of_list(lines, at)
    return _end_of_text(lines, at, value)


def _closes(lines: list[str], at: int, n: int, value: str) -> bool:
    """Whether line n has the three quotes that close what the value of line `at` opens."""
    return value[:3] in (value[3:] if n == at else lines[n])


def _end_of_list(lines: list[str], at: int) -> int:
    """Where the list or table is whole; where it never is, before the next statement."""
    end = at + 1
    while True:
        try:
            loads("\n".join(lines[at:end]))
            return end
        except ValueError:
            if end == len(lines) or _BEGINS.match(lines[end]) or not lines[end].strip():
                return end
        end += 1


def _end_of_text(lines: list[str], at: int, value: str) -> int:
    """A text that somebody broke into lines, although its quotes allow one line only, is one statement."""
    if value[0] != '"' or len(re.findall(r'(?<!\\)"', value)) != 1:
        return at + 1
    for n in range(at + 1, len(lines)):
        if not lines[n].strip() or _BEGINS.match(lines[n]):
            return at + 1
        if '"' in lines[n]:
            return n + 1
    return at + 1


_ONCE = "each key once"


def _index(found: Read, mended: list[str], first: int) -> None:
    """Where each key stands; a key that stands twice is a mistake."""
    counts: dict[str, int] = {}
    table = ""
    for at, statement in enumerate(mended):
        if not statement:
            continue
        line, parsed = first + at, loads(statement)
        if _TABLE.match(statement):
            table = _open(found, counts, parsed, line)
        else:
            for key, value in parsed.items():
                _set(found, f"{table}, {key}" if table else key, value, line)


def _open(found: Read, counts: dict[str, int], parsed: Any, line: int) -> str:
    """Enter a table such as [lever.shows], the one of the third lever; returns "lever 3, shows"."""
    path = ""
    while parsed:
        if isinstance(parsed, list):
            found.lines.setdefault(path, line)
            counts[path] = counts.get(path, 0) + 1
            parsed = parsed[0]
            path = f"{path} {counts[path]}"
            continue
        if path in counts:
            path = f"{path} {counts[path]}"
        ((key, parsed),) = parsed.items()
        found.around.setdefault(path, line)
        path = f"{path}, {key}" if path else key
    _once(found, path, line)
    return path


def _set(found: Read, path: str, value: Any, line: int) -> None:
    """Note where a key and all that its value holds stand."""
    _once(found, path, line)
    inside = value.items() if isinstance(value, dict) else ()
    for key, each in inside:
        _set(found, f"{path}, {key}", each, line)
    for number, each in enumerate(value if isinstance(value, list) else (), 1):
        found.lines.setdefault(f"{path} {number}", line)
        if isinstance(each, dict):
            for key, held in each.items():
                _set(found, f"{path} {number}, {key}", held, line)


def _once(found: Read, path: str, line: int) -> None:
    if path in found.lines and not any((w.line, w.expected) == (line, _ONCE) for w in found.wrong):
        found.wrong.append(Wrong(line, _ONCE, f"{path} on line {found.lines[path]} as well"))
    found.lines.setdefault(path, line)


def _bare(error: ValueError) -> str:
    """What TOML's reader says, without the place."""
    return re.sub(r" \(at .*\)", "", str(error))[:80]

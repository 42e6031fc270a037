"""Reading the tables of a lesson file strictly: what is wrong is collected, named and never guessed at."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Collection
from typing import Any

from sim.texts import one_line

# No number of a lesson is near it; of larger whole numbers not all are numbers of floating point.
LARGEST = 1e15


class LessonFault(ValueError):  # noqa: N818 - mostly listed, seldom raised
    """One thing wrong with a lesson file.

    file: the file's name;  key: where in it, e.g. "predict, choice 2, reply" (entries are counted from 1)
    expected: what should stand there;  found: what stands there, "" where nothing does
    line: of the file, 0 where the fault is of no line;  local: whether it is a lesson of one's own
    """

    def __init__(self, file: str, key: str, expected: str, found: str = "", line: int = 0, local: bool = False) -> None:
        where = [file, f"line {line}" if line else "", one_line(key)]
        said = f"expected {expected}; found {one_line(found) or 'nothing'}"
        super().__init__(": ".join(filter(None, [*where, said])))
        self.file = file
        self.key = key
        self.expected = expected
        self.found = found
        self.line = line
        self.local = local

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.file, self.key, self.expected, self.found, self.line, self.local)

    def at(self, line: int, local: bool) -> LessonFault:
        """The same with its line."""
        return LessonFault(self.file, self.key, self.expected, self.found, line, local)


class Keys:
    """One table of a lesson file. Each key is asked for by its type; `close` reports those nobody asked for.

    A fault is added to `faults` and a stand-in returned, so that one pass finds all that is wrong with a file.
    Whoever builds something from a table must look first whether `faults` is still empty.
    """

    def __init__(self, data: dict[str, Any], file: str, where: str, faults: list[LessonFault]) -> None:
        self.data = data
        self.file = file
        self.where = where
        self.faults = faults
        self._asked: set[str] = set()

    def __contains__(self, key: str) -> bool:
        return key in self.data

    def fault(self, key: str, expected: str, found: object = None) -> None:
        """Report `key` of this table; `found` defaults to what stands there."""
        shown = self.data.get(key) if found is None else found
        path = ", ".join(part for part in (self.where, key) if part)
        self.faults.append(LessonFault(self.file, path, expected, "" if shown is None else _short(shown)))

    def text(self, key: str, expected: str = "some text", *, optional: bool = False) -> str:
        """Text that is not empty; "" where it is optional and absent."""
        value = self._get(key, expected, optional, lambda v: isinstance(v, str) and bool(v.strip()))
        return value.strip() if value is not None else ""

    def matching(self, key: str, expected: str, test: Callable[[str], Any]) -> str:
        """Optional text that passes `test`; "" where it is absent."""
        return self._get(key, expected, True, lambda v: isinstance(v, str) and bool(test(v))) or ""

    def texts(self, key: str, expected: str) -> tuple[str, ...]:
        """At least one text."""

        def good(value: Any) -> bool:
            return isinstance(value, list) and bool(value) and all(isinstance(v, str) and v.strip() for v in value)

        return tuple(v.strip() for v in self._get(key, expected, False, good) or ())

    def whole(self, key: str, low: int, high: int, *, optional: bool = False) -> int | None:
        """A whole number from low to high."""
        expected = f"a whole number from {low} to {high}"
        value = self._get(key, expected, optional, lambda v: _is_number(v) and v == int(v) and low <= v <= high)
        return None if value is None else int(value)

    def number(self, key: str, *, optional: bool = False) -> float | None:
        """A number (not inf, not nan)."""
        value = self._get(key, "a number", optional, _is_number)
        return None if value is None else float(value)

    def flag(self, key: str, default: bool | None = None) -> bool:
        """true or false; `default` where it is absent, a fault without one."""
        value = self._get(key, "true or false", default is not None, lambda v: isinstance(v, bool))
        return bool(default) if value is None else bool(value)

    def one_of(self, key: str, options: Collection[str], *, default: str = "") -> str:
        """One of the named options; a fault where it is absent and there is no default."""
        found = self.data.get(key)
        near = perhaps(nearest(found, list(options)) if isinstance(found, str) else "")
        value = self._get(key, "one of " + ", ".join(options) + near, bool(default), lambda v: v in list(options))
        return default if value is None else str(value)

    def table(self, key: str, expected: str = "a table", *, optional: bool = False) -> Keys:
        """The table under `key`; an empty one where it is absent."""
        value = self._get(key, expected, optional, lambda v: isinstance(v, dict))
        return self._child(value or {}, key)

    def tables(self, key: str, low: int, high: int) -> list[Keys]:
        """The tables under `[[key]]`, from low to high in number."""
        path = ".".join(p for p in (self.where, key) if p and not p[-1].isdigit())
        expected = f"from {low} to {high} tables [[{path}]]"
        optional = low == 0

        def good(value: Any) -> bool:
            return isinstance(value, list) and all(isinstance(v, dict) for v in value)

        value = self._get(key, expected, optional, good) or []
        if value and not low <= len(value) <= high:
            self.fault(key, expected, f"{len(value)}")
        return [self._child(entry, f"{key} {i}") for i, entry in enumerate(value, start=1)]

    def rest(self) -> dict[str, Any]:
        """All keys of a table whose names are checked elsewhere."""
        self._asked.update(self.data)
        return self.data

    def close(self) -> None:
        """Report every key that nobody asked for."""
        for key in self.data:
            if key not in self._asked:
                known = sorted(self._asked)
                near = nearest(key, known)
                self._not_missing(near)
                self.fault(key, f"no such key{perhaps(near)}; known here: {', '.join(known)}")

    def _not_missing(self, key: str) -> None:
        """A key that was only misspelt need not be missed as well."""
        path = ", ".join(part for part in (self.where, key) if part)
        if key and key not in self.data:
            missed = [f for f in self.faults if not f.found and (f.key == path or f.key.startswith(f"{path}, "))]
            self.faults[:] = [fault for fault in self.faults if fault not in missed]

    def _child(self, data: dict[str, Any], key: str) -> Keys:
        where = f"{self.where}, {key}" if self.where else key
        return Keys(data, self.file, where, self.faults)

    def _get(self, key: str, expected: str, optional: bool, good: Callable[[Any], bool]) -> Any:
        """The value under `key` where it is good; otherwise None and, unless absent and optional, a fault."""
        self._asked.add(key)
        if key not in self.data:
            if not optional:
                self.fault(key, expected)
            return None
        value = self.data[key]
        if not good(value):
            self.fault(key, expected)
            return None
        return value


def nearest(name: str, known: Collection[str]) -> str:
    """The known name that is most like a name that is not known; "" where none is."""
    return next(iter(difflib.get_close_matches(name, list(known), n=1)), "")


def perhaps(name: str) -> str:
    """A hint at what was meant."""
    return f" (perhaps {name!r})" if name else ""


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) <= LARGEST


def _short(value: object) -> str:
    """A value as it would be typed, cut off where long."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list) and value and all(isinstance(v, dict) for v in value):
        return "a list of tables"
    try:
        shown = str(value) if isinstance(value, (int, float)) else repr(value)
    except ValueError:  # a number of thousands of digits
        return "an endless number"
    return shown if len(shown) <= 60 else shown[:57] + "..."

"""Progress as text: JSON with a version, read as far as it goes, and a short code with a check sum.

Reading never fails: what is damaged, foreign or not understood is left out, and the rest is taken. A text that breaks
off is read up to the last part that is whole.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import re
import zlib
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from sim.say import mark
from sim.teach import own_setup
from sim.teach.practice import FIRST, LAST, possible
from sim.teach.practice_answers import Verdict
from sim.teach.progress import LessonProgress, OwnVerdict, Progress, Recall
from sim.texts import from_json

MARK, VERSION = "cuffbias_progress", 1
CODE_MARK = "P1-"
FILE_NAME = "cuffbias-progress.json"
SEEDS = (1, 9999)
# More than anybody writes: a text beyond this is not looked at.
LONGEST = 1_000_000
_MOST = 5000
_LATEST_S = 10**11
_NAME = re.compile(r"[\w-]{1,80}")
_CHECK_LETTERS = 8


class NoProgressError(ValueError):
    """There is no progress in what was given; the text says why, for the learner."""


def to_text(progress: Progress) -> str:
    """Progress as JSON, its mark and version first; the same progress gives the same text."""
    made = {
        MARK: VERSION,
        "lessons": {name: _lesson_out(each) for name, each in sorted(progress.lessons.items())},
        "cases": _verdicts_out(progress.cases),
        "own": {str(number): [v.cuff, v.support, v.moment] for number, v in sorted(progress.own.items())},
        "tests": {str(seed): _verdicts_out(test) for seed, test in sorted(progress.tests.items())},
        "recalls": [[r.at_s, r.lesson, r.question, r.right] for r in progress.recalls],
    }
    return json.dumps(made, separators=(",", ":"), ensure_ascii=False)


def from_text(text: str) -> Progress:
    """The progress in a text, as far as it goes; empty where there is none."""
    given = _table(_parsed(text))
    if MARK not in given:
        return Progress()
    return Progress(
        lessons=_entries(given.get("lessons"), _name, _lesson_in),
        cases=_entries(given.get("cases"), _case_number, _verdict_in),
        own=_entries(given.get("own"), _own_number, _own_in),
        tests=_entries(given.get("tests"), _seed, lambda v: _entries(v, _case_number, _verdict_in) or None),
        recalls=tuple(sorted({r for r in map(_recall_in, _list(given.get("recalls"))) if r is not None})),
    )


def to_code(progress: Progress) -> str:
    """Progress as one line of letters and digits that can be copied, with a check sum at its end."""
    packed = base64.urlsafe_b64encode(zlib.compress(to_text(progress).encode(), 9)).decode().rstrip("=")
    return f"{CODE_MARK}{packed}.{_check(packed)}"


def from_code(code: str) -> Progress:
    """The progress of a code. Raises NoProgressError where letters are missing or changed."""
    bare = re.sub(r"\s", "", code)
    packed, _, check = bare.removeprefix(CODE_MARK).rpartition(".")
    if not bare.startswith(CODE_MARK) or not packed:
        raise NoProgressError(mark("This is no progress code. A code begins with P1-"))
    if _check(packed) != check:
        raise NoProgressError(mark("Letters of this code are missing or changed. Copy the whole code again."))
    try:
        zipped = base64.urlsafe_b64decode(packed + "=" * (-len(packed) % 4))
        text = zlib.decompressobj().decompress(zipped, LONGEST).decode()
    except (ValueError, zlib.error, binascii.Error):
        raise NoProgressError(mark("This code cannot be read.")) from None
    return from_text(text)


def brought(text: str) -> Progress:
    """The progress of a code, or of a file's text. Raises NoProgressError where there is none in it."""
    is_code = re.sub(r"\s", "", text[:99]).startswith(CODE_MARK)
    found = from_code(text[:LONGEST]) if is_code else from_text(text)
    if found == Progress():
        raise NoProgressError(mark("There is no progress in this text."))
    return found


def _check(packed: str) -> str:
    return hashlib.sha256(packed.encode(errors="replace")).hexdigest()[:_CHECK_LETTERS]


def _parsed(text: str) -> Any:
    """What the text says in JSON; of a text that breaks off, up to the last part that is whole; None where nothing."""
    if len(text) > LONGEST:
        return None
    for attempt in (text, *_closed(text)):
        try:
            return from_json(attempt)
        except ValueError:
            continue
    return None


def _closed(text: str) -> Iterator[str]:
    """The text up to each place near its end where a list or table has just ended, with all that is open closed."""
    ends: list[tuple[int, str]] = []
    is_open: list[str] = []
    inside = escaped = False
    for place, letter in enumerate(text):
        if inside:
            inside, escaped = letter != '"' or escaped, letter == "\\" and not escaped
        elif letter == '"':
            inside = True
        elif letter in "{[":
            is_open.append("}" if letter == "{" else "]")
        elif letter in "}]" and is_open:
            is_open.pop()
            ends.append((place + 1, "".join(reversed(is_open))))
    for place, missing in reversed(ends[-20:]):
        yield text[:place] + missing


def _entries(given: Any, key: Callable[[str], Any], value: Callable[[Any], Any]) -> dict[Any, Any]:
    """The entries of a table whose key and value can be read."""
    read = ((key(k), value(v)) for k, v in list(_table(given).items())[:_MOST])
    return {k: v for k, v in read if k is not None and v is not None}


def _table(given: Any) -> dict[str, Any]:
    return given if isinstance(given, dict) else {}


def _list(given: Any) -> list[Any]:
    return given[:_MOST] if isinstance(given, list) else []


def _name(text: Any) -> str | None:
    return text if isinstance(text, str) and _NAME.fullmatch(text) else None


def _number(text: str, low: int, high: int) -> int | None:
    return int(text) if re.fullmatch("[1-9][0-9]{0,5}", text) and low <= int(text) <= high else None


def _case_number(text: str) -> int | None:
    return _number(text, FIRST, LAST)


def _own_number(text: str) -> int | None:
    return _number(text, own_setup.FIRST, own_setup.LAST)


def _seed(text: str) -> int | None:
    return _number(text, *SEEDS)


def _whole(given: Any, highest: int) -> int | None:
    return given if isinstance(given, int) and not isinstance(given, bool) and 0 <= given <= highest else None


def _lesson_out(here: LessonProgress) -> dict[str, Any]:
    made = {} if here.predicted is None else {"predicted": [here.predicted, here.prediction_right]}
    return {**made, "first": dict(sorted(here.first.items())), "last_s": here.last_s}


def _lesson_in(given: Any) -> LessonProgress | None:
    table = _table(given)
    first = {k: v for k, v in list(_table(table.get("first")).items())[:_MOST] if _name(k) and isinstance(v, bool)}
    made = _list(table.get("predicted"))
    chosen = _whole(made[0], 99) if len(made) == 2 and isinstance(made[1], bool) else None
    if not chosen and not first:
        return None
    return LessonProgress(
        predicted=chosen or None,
        prediction_right=bool(chosen) and made[1],
        first=first,
        last_s=_whole(table.get("last_s"), _LATEST_S) or 0,
    )


def _verdicts_out(verdicts: Mapping[int, Verdict]) -> dict[str, Any]:
    return {str(number): _verdict_out(v) for number, v in sorted(verdicts.items())}


def _verdict_out(v: Verdict) -> dict[str, Any]:
    return {
        "found": list(v.found),
        "missed": list(v.missed),
        "false": list(v.false),
        "right": [v.direction, v.band, v.following],
    }


def _verdict_in(given: Any) -> Verdict | None:
    table = _table(given)
    right = _list(table.get("right"))
    if len(right) != 3 or not all(isinstance(each, bool) for each in right):
        return None
    known = {m.name for m in possible()}
    found, missed, false = (
        tuple(dict.fromkeys(name for name in _list(table.get(key)) if isinstance(name, str) and name in known))
        for key in ("found", "missed", "false")
    )
    return Verdict(found, missed, false, *right)


def _own_in(given: Any) -> OwnVerdict | None:
    right = _list(given)
    return OwnVerdict(*right) if len(right) == 3 and all(isinstance(each, bool) for each in right) else None


def _recall_in(given: Any) -> Recall | None:
    if not isinstance(given, list) or len(given) != 4:
        return None
    at_s, lesson, question, right = _whole(given[0], _LATEST_S), _name(given[1]), _name(given[2]), given[3]
    if at_s is None or lesson is None or question is None or not isinstance(right, bool):
        return None
    return Recall(at_s, lesson, question, right)

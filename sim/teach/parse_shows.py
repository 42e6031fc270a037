"""What a lesson's words claim of the readings that the app shows: the tables `shows` of a lesson file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sim.fields import FieldError
from sim.teach.claims import NUMBERS
from sim.teach.keys import Keys
from sim.teach.parts import WAYS, Claim, Lever, Shows

_WORDS = {"way", "about", "low", "high"}


def read_shows(keys: Keys, levers: Sequence[Lever] = ()) -> Shows | None:
    """One table `shows`, closed; None where it is faulty. levers: those that `at` may move."""
    before = len(keys.faults)
    at = _positions(keys.table("at", "a table of levers and their positions", optional=True), levers)
    than = keys.one_of("than", ("rest", "correct"), default="rest")
    sbp, dbp = (_claim(keys, name) for name in ("sbp", "dbp"))
    more = keys.one_of("more", ("alike", "sbp", "dbp"), default="") if "more" in keys else ""
    scatter = keys.one_of("scatter", ("wider",)) if "scatter" in keys else ""
    numbers = keys.one_of("numbers", tuple(NUMBERS), default="all")
    second = None
    if "second" in keys:
        table = keys.table("second")
        found = {name: _claim(table, name) for name in ("sbp", "dbp")}
        table.close()
        second = {name: claim for name, claim in found.items() if claim is not None}
    keys.close()
    if len(keys.faults) == before and not any((sbp, dbp, second)):
        keys.fault("sbp", 'a table such as { way = "higher", about = 9 }, here or for dbp')
    if len(keys.faults) > before:
        return None
    return Shows(at, than, sbp, dbp, more, scatter, numbers, second)


def _claim(keys: Keys, name: str) -> Claim | None:
    if name not in keys:
        return None
    before = len(keys.faults)
    table = keys.table(name, 'a table such as { way = "higher", about = 9 }')
    way = table.one_of("way", WAYS) if "way" in table else ""
    about, low, high = (table.number(key, optional=True) for key in ("about", "low", "high"))
    table.close()
    if len(keys.faults) == before and not _WORDS & set(table.data):
        keys.fault(name, "at least one of " + ", ".join(sorted(_WORDS)))
    if low is not None and high is not None and not low < high:
        table.fault("high", f"a number above low, which is {low:g}")
    return Claim(way, about, low, high)


def _positions(keys: Keys, levers: Sequence[Lever]) -> dict[str, Any]:
    """Lever positions by field; none where a lever is faulty itself."""
    known = {lever.field: lever for lever in levers}
    found: dict[str, Any] = {}
    given = keys.rest()
    for field, value in given.items() if all(lever.correct is not None for lever in levers) else ():
        if field not in known:
            keys.fault(field, "a lever of this lesson: " + (", ".join(known) or "there is none here"))
            continue
        try:
            found[field] = known[field].check(value)
        except FieldError as error:
            keys.fault(field, error.allowed)
    return found

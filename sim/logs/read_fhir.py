"""A log from FHIR R4: a Bundle of blood pressure panels, or one of them; other resources are passed over."""

from __future__ import annotations

import json
import re
from datetime import datetime
from typing import Any

from sim.logs.dates import at_midnight
from sim.logs.log import PARTS, Entry, Log, LogError, RowError, RowFault, judge_rows, make_entry, make_log
from sim.logs.told import place
from sim.logs.write_fhir import COMPONENTS, LOINC, PANEL, PART_NOTE, UCUM
from sim.say import mark, say
from sim.texts import from_json

# The panel, and the code that older systems use for it.
PANELS = (PANEL, "55284-4")
EXPECTED = mark("a FHIR R4 Bundle with Observations of LOINC 85354-9")
# Results that stand; others were never confirmed, or withdrawn.
STANDING = ("final", "amended", "corrected", "preliminary")
# JSON also holds whole numbers of thousands of digits.
_LARGEST = 10**15
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_MOMENT = re.compile(_DATE.pattern + r"(T[0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]+)?)?(Z|[+-][0-9]{2}:[0-9]{2})?)?")


def read_fhir(text: str) -> Log:
    """The log in a FHIR R4 document. Panels that cannot be read become faults; raises LogError where there is none."""
    try:
        document = from_json(text)
    except ValueError as error:
        line = f"{place(f'line {error.lineno}')}: " if isinstance(error, json.JSONDecodeError) else ""
        raise LogError(line + say("the file is no JSON: must be {expected}", expected=say(EXPECTED))) from None
    found = _panels(document)
    if not found:
        raise LogError(say("the file has no blood pressure panel: must be {expected}", expected=say(EXPECTED)))
    judge_rows(len(found))
    _one_person([panel for _, panel in found])
    entries: list[Entry] = []
    faults: list[RowFault] = []
    for where, panel in found:
        try:
            entries.append(_entry(panel, where))
        except RowError as error:
            faults.append(RowFault(where, str(error), _readable(panel, "sbp"), _readable(panel, "dbp")))
    return make_log(entries, faults)


def _panels(document: Any) -> list[tuple[str, dict[str, Any]]]:
    """Each panel with its place: "entry 3", counted as in the file."""
    if not isinstance(document, dict):
        return []
    if document.get("resourceType") == "Observation":
        return [("entry 1", document)] if _has_code(document.get("code"), PANELS) else []
    if document.get("resourceType") != "Bundle":
        return []
    found = []
    for number, entry in enumerate(_list(document.get("entry")), 1):
        resource = entry.get("resource") if isinstance(entry, dict) else None
        if not isinstance(resource, dict) or resource.get("resourceType") != "Observation":
            continue
        if _has_code(resource.get("code"), PANELS):
            found.append((f"entry {number}", resource))
    return found


def _one_person(panels: list[dict[str, Any]]) -> None:
    """Raises LogError where the panels say that they are of several people."""
    subjects = [panel.get("subject") for panel in panels]
    told = [s.get("reference") or s.get("display") for s in subjects if isinstance(s, dict)]
    named = {name for name in told if isinstance(name, str)}
    if len(named) > 1:
        raise LogError(f"the file has blood pressures of {len(named)} people: must be one person's")


def _entry(panel: dict[str, Any], where: str) -> Entry:
    status = panel.get("status")
    if status not in STANDING:
        raise RowError(f"status {str(status)[:30]!r}: must be one of {', '.join(STANDING)}")
    when, timed = _when(panel)
    numbers = {name: _value(panel, name) for name in COMPONENTS}
    notes = [str(note.get("text", "")) for note in _list(panel.get("note")) if isinstance(note, dict)]
    part = next((text.removeprefix(PART_NOTE) for text in notes if text.startswith(PART_NOTE)), "")
    note = "; ".join(text for text in notes if text and not text.startswith(PART_NOTE))
    return make_entry(when, timed, numbers, part=part if part in PARTS else "", note=note, where=where)


def _when(panel: dict[str, Any]) -> tuple[datetime, bool]:
    period = panel.get("effectivePeriod")
    start = period.get("start") if isinstance(period, dict) else None
    text = panel.get("effectiveDateTime") or panel.get("effectiveInstant") or start
    if not isinstance(text, str):
        raise RowError("no effectiveDateTime")
    try:
        if not _MOMENT.fullmatch(text):
            raise ValueError
        when = datetime.fromisoformat(text)
    except ValueError:
        raise RowError(f"effectiveDateTime {text[:30]!r}: must be such as 2024-05-31T07:30:00+02:00") from None
    if _DATE.fullmatch(text):
        return at_midnight(when.date()), False
    return when, True


def _value(panel: dict[str, Any], name: str) -> float | None:
    code, display, _unit, ucum = COMPONENTS[name]
    for component in _list(panel.get("component")):
        if not isinstance(component, dict) or not _has_code(component.get("code"), (code,)):
            continue
        quantity = component.get("valueQuantity")
        if not isinstance(quantity, dict):
            return None
        value = quantity.get("value")
        if isinstance(value, bool) or not isinstance(value, (int, float)) or _endless(value):
            raise RowError(f"{display.lower()} {str(value)[:30]!r}: must be a number")
        unit = quantity.get("code") or quantity.get("unit")
        if unit not in (ucum, _unit) or quantity.get("system", UCUM) != UCUM:
            raise RowError(f"{display.lower()} in {str(unit)[:30]!r}: must be in {ucum}")
        return float(value)
    return None


def _endless(value: float) -> bool:
    return isinstance(value, int) and abs(value) > _LARGEST


def _readable(panel: dict[str, Any], name: str) -> float | None:
    """A pressure of a panel that as a whole cannot be read, None where it cannot be read either."""
    try:
        return _value(panel, name)
    except RowError:
        return None


def _has_code(concept: Any, codes: tuple[str, ...]) -> bool:
    """Whether a CodeableConcept names one of these LOINC codes."""
    coding = _list(concept.get("coding")) if isinstance(concept, dict) else []
    return any(isinstance(c, dict) and c.get("system") == LOINC and c.get("code") in codes for c in coding)


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []

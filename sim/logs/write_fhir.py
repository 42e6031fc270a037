"""A log as a FHIR R4 Bundle of blood pressure panels, after the standard's profile of blood pressure.

HL7 FHIR R4 (4.0.1): Bundle, Observation, profile http://hl7.org/fhir/StructureDefinition/bp. Codes: LOINC 85354-9
(panel), 8480-6 (systolic), 8462-4 (diastolic), 8867-4 (heart rate); units of UCUM.
"""

from __future__ import annotations

import uuid
from datetime import UTC, datetime, tzinfo
from typing import Any

from sim.logs.log import Entry, Log

LOINC, UCUM = "http://loinc.org", "http://unitsofmeasure.org"
PROFILE = "http://hl7.org/fhir/StructureDefinition/bp"
CATEGORY = "http://terminology.hl7.org/CodeSystem/observation-category"
PANEL = "85354-9"
COMPONENTS = {
    "sbp": ("8480-6", "Systolic blood pressure", "mmHg", "mm[Hg]"),
    "dbp": ("8462-4", "Diastolic blood pressure", "mmHg", "mm[Hg]"),
    "pulse": ("8867-4", "Heart rate", "beats/minute", "/min"),
}
# Where only the part of a day is known, the standard has no place for it but a note.
PART_NOTE = "part of the day: "
# The person's name is not known here, and is not asked.
SUBJECT = "the person of this log"
# Identifiers are made from the reading itself, so that writing twice gives the same file.
_NAMESPACE = uuid.uuid5(uuid.NAMESPACE_URL, PROFILE)


def write_fhir(log: Log, zone: tzinfo | None = None) -> dict[str, Any]:
    """The log as a Bundle of type "collection", plain values that json writes.

    zone: of readings whose file gave no offset from UTC, which the standard wants with a time of day; None: the one
        that this computer is set to
    """
    return {
        "resourceType": "Bundle",
        "type": "collection",
        "entry": [
            {"fullUrl": f"urn:uuid:{_identifier(place, entry)}", "resource": _observation(entry, zone)}
            for place, entry in enumerate(log.entries)
        ],
    }


def _observation(entry: Entry, zone: tzinfo | None) -> dict[str, Any]:
    notes = [entry.note] if entry.note else []
    if not entry.timed and entry.part:
        notes.append(PART_NOTE + entry.part)
    return {
        "resourceType": "Observation",
        "meta": {"profile": [PROFILE]},
        "status": "final",
        "category": [{"coding": [{"system": CATEGORY, "code": "vital-signs", "display": "Vital Signs"}]}],
        "code": _concept(PANEL, "Blood pressure panel with all children optional"),
        "subject": {"display": SUBJECT},
        "effectiveDateTime": _moment(entry, zone),
        **({"note": [{"text": text} for text in notes]} if notes else {}),
        "component": [
            {
                "code": _concept(code, display),
                "valueQuantity": {"value": _plain(value), "unit": unit, "system": UCUM, "code": ucum},
            }
            for name, (code, display, unit, ucum) in COMPONENTS.items()
            if (value := getattr(entry, name)) is not None
        ],
    }


def _concept(code: str, display: str) -> dict[str, Any]:
    return {"coding": [{"system": LOINC, "code": code, "display": display}]}


def _moment(entry: Entry, zone: tzinfo | None) -> str:
    if not entry.timed:
        return entry.day.isoformat()
    when = entry.when
    if when.tzinfo is None:
        when = when.replace(tzinfo=zone) if zone else _local(when)
    return when.isoformat(timespec="seconds")


def _local(when: datetime) -> datetime:
    try:
        return when.astimezone()
    except (OverflowError, OSError, ValueError):  # a year that this computer's clock does not have
        return when.replace(tzinfo=UTC)


def _plain(value: float) -> int | float:
    """Whole numbers without '.0': the standard's decimals keep the precision they are written with."""
    return int(value) if value == int(value) else value


def _identifier(place: int, entry: Entry) -> uuid.UUID:
    return uuid.uuid5(_NAMESPACE, f"{place} {entry.when.replace(tzinfo=None)} {entry.sbp}/{entry.dbp}")

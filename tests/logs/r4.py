"""The structure of FHIR R4 (4.0.1) that a blood pressure log uses, written down from the standard as a JSON schema.

Bundle, Observation and their data types as far as they are used here, closed against any other element, and the profile
of blood pressure (StructureDefinition/bp): category vital-signs, code 85354-9, a subject, a time, components 8480-6 and
8462-4 in mm[Hg]. Rules of the standard that a schema can hold: a time of day needs its offset from UTC (dateTime), a
reference needs a reference, an identifier or a display (ref-1), texts are not empty.
"""

from typing import Any

TEXT = {"type": "string", "minLength": 1, "pattern": r"\S"}
URI = {"type": "string", "pattern": r"^\S+$"}
CODE = {"type": "string", "pattern": r"^[^\s]+(\s[^\s]+)*$"}
# The regular expression of the data type dateTime in the standard.
DATE_TIME = {
    "type": "string",
    "pattern": (
        r"^([0-9]([0-9]([0-9][1-9]|[1-9]0)|[1-9]00)|[1-9]000)(-(0[1-9]|1[0-2])(-(0[1-9]|[1-2][0-9]|3[0-1])"
        r"(T([01][0-9]|2[0-3]):[0-5][0-9]:([0-5][0-9]|60)(\.[0-9]+)?(Z|(\+|-)((0[0-9]|1[0-3]):[0-5][0-9]|14:00)))?)?)?$"
    ),
}


def record(required: list[str], **properties: Any) -> dict[str, Any]:
    return {"type": "object", "required": required, "properties": properties, "additionalProperties": False}


def some(items: dict[str, Any]) -> dict[str, Any]:
    return {"type": "array", "items": items, "minItems": 1}


CODING = record([], system=URI, version=TEXT, code=CODE, display=TEXT, userSelected={"type": "boolean"})
CONCEPT = record([], coding=some(CODING), text=TEXT)
REFERENCE = record([], reference=TEXT, type=URI, display=TEXT) | {
    "anyOf": [{"required": ["reference"]}, {"required": ["display"]}]
}
QUANTITY = record(
    ["value", "unit", "system", "code"],
    value={"type": "number"},
    unit=TEXT,
    system={"const": "http://unitsofmeasure.org"},
    code=CODE,
)
ANNOTATION = record(["text"], text=TEXT, time=DATE_TIME, authorString=TEXT)
COMPONENT = record(["code", "valueQuantity"], code=CONCEPT, valueQuantity=QUANTITY)


def coded(system: str, code: str) -> dict[str, Any]:
    """A CodeableConcept that holds this code."""
    coding = {"properties": {"system": {"const": system}, "code": {"const": code}}, "required": ["system", "code"]}
    return {"properties": {"coding": {"contains": coding}}, "required": ["coding"]}


def component(code: str, unit: str) -> dict[str, Any]:
    quantity = {"properties": {"code": {"const": unit}}, "required": ["code"]}
    return {"properties": {"code": coded("http://loinc.org", code), "valueQuantity": quantity}, "required": ["code"]}


OBSERVATION = record(
    ["resourceType", "status", "category", "code", "subject", "effectiveDateTime", "component"],
    resourceType={"const": "Observation"},
    id={"type": "string", "pattern": r"^[A-Za-z0-9\-.]{1,64}$"},
    meta=record([], profile=some(URI), lastUpdated=DATE_TIME),
    status={"enum": ["registered", "preliminary", "final", "amended", "corrected", "cancelled", "entered-in-error"]},
    category=some(CONCEPT)
    | {"contains": coded("http://terminology.hl7.org/CodeSystem/observation-category", "vital-signs")},
    code={"allOf": [CONCEPT, coded("http://loinc.org", "85354-9")]},
    subject=REFERENCE,
    effectiveDateTime=DATE_TIME,
    note=some(ANNOTATION),
    component=some(COMPONENT)
    | {"allOf": [{"contains": component("8480-6", "mm[Hg]")}, {"contains": component("8462-4", "mm[Hg]")}]},
)
BUNDLE = record(
    ["resourceType", "type"],
    resourceType={"const": "Bundle"},
    type={"const": "collection"},
    entry=some(
        record(["fullUrl", "resource"], fullUrl={"type": "string", "pattern": "^urn:uuid:"}, resource=OBSERVATION)
    ),
)

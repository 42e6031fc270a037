"""The [[evidence]] entries of a lesson file."""

from __future__ import annotations

import re

from sim.fields import FieldError
from sim.setup import Setup
from sim.teach.inputs import apply, read_changes
from sim.teach.keys import Keys
from sim.teach.parts import BOUNDS, RECORD, SURE, Changes, Evidence, Figure

_DOI = re.compile(r"10\.\d{4,9}/\S+")
_PMID = re.compile(r"\d{6,9}")
_PMCID = re.compile(r"PMC\d{5,9}")
_ISBN = re.compile(r"97[89](?:-?\d){10}")
_STANDARD = re.compile(r"(?:ISO|IEC|BS|AAMI)[A-Z/ ]* \d[\d-]+(?::\d{4})?")
_IDENTIFIERS = ("doi", "pmid", "pmcid", "isbn", "standard", "record", "unlisted")

# Of the person, only this may differ between the sides: against a cylinder as a cone-shaped cuff lies on a cone.
_SHAPE = "arm_slant_degrees"


def read_evidence(keys: Keys, scenario: Setup | None) -> Evidence:
    """One entry; faults are added to those of `keys`. `scenario` is None where it is faulty itself."""
    label = keys.text("label")
    finding = keys.text("finding", optional=True)
    sbp, dbp = _figure(keys, "sbp"), _figure(keys, "dbp")
    if not finding and sbp is None and dbp is None and "sbp" not in keys and "dbp" not in keys:
        keys.fault("sbp", "a published effect in sbp or dbp, or a finding in words")
    n = keys.whole("n", 2, 100_000_000, optional=True)
    model = keys.flag("model", default=True)
    people, mistake, right = _changes(keys, scenario, model)
    entry = Evidence(
        label=label,
        finding=finding,
        sbp=sbp,
        dbp=dbp,
        n=n,
        population=keys.text("population"),
        source=keys.text("source", "authors, journal and year", optional=False),
        sure=keys.one_of("sure", SURE),
        people=people,
        mistake=mistake,
        right=right,
        model=model,
        why=keys.text("why", "why the model has no figure, as model = false", optional=model),
        doi=keys.matching("doi", "a DOI such as 10.1000/182, without https://", _DOI.fullmatch),
        pmid=keys.matching("pmid", "a PubMed number in quotes", _PMID.fullmatch),
        pmcid=keys.matching("pmcid", "a PMC number such as PMC1234567", _PMCID.fullmatch),
        isbn=keys.matching("isbn", "an ISBN of 13 digits, hyphens allowed", _ISBN.fullmatch),
        standard=keys.matching("standard", "the number of a standard such as ISO 81060-2", _STANDARD.fullmatch),
        record=keys.matching("record", "the number under which an archive has it", RECORD.fullmatch),
        unlisted=keys.text("unlisted", optional=True),
        not_comparable=keys.text("not_comparable", optional=True),
        assumed=keys.text("assumed", optional=True),
        built_in=_built_in(keys),
        note=keys.text("note", optional=True),
    )
    given = [key for key in _IDENTIFIERS if key in keys]
    if len(given) != 1:
        expected = f"one of {', '.join(_IDENTIFIERS[:-1])}, or unlisted saying why there is none"
        keys.fault(given[0] if given else "doi", expected, " and ".join(given) or None)
    if entry.why and model:
        keys.fault("why", "no reason, as the model has a figure (model = false is not set)")
    if entry.not_comparable and not model:
        keys.fault("not_comparable", "no such reason, as the model has no figure (why says why)")
    keys.close()
    return entry


def _figure(keys: Keys, key: str) -> Figure | None:
    """A published effect: a value, with bounds or a standard deviation where there are any; or bounds alone."""
    if key not in keys:
        return None
    table = keys.table(key, "a table such as { value = 4.8, low = 3.0, high = 6.6 }")
    low, high = table.number("low", optional=True), table.number("high", optional=True)
    value = table.number("value", optional=low is not None)
    sd = table.number("sd", optional=True)
    bounds = table.one_of("bounds", BOUNDS, default="95 %")
    table.close()
    if ("low" in table) != ("high" in table):
        table.fault("high" if "low" in table else "low", "both low and high, or neither")
    elif low is not None and high is not None and not low <= (low if value is None else value) <= high:
        table.fault("low", "low, value and high in this order", f"{low:g}, {value}, {high:g}")
    if low is not None and value is None and bounds == "95 %":
        table.fault("value", "the mean that the interval is of, or other bounds: studies, within")
    if sd is not None and sd <= 0:
        table.fault("sd", "a standard deviation above 0")
    return Figure(value, low, high, bounds, sd)


def _built_in(keys: Keys) -> tuple[str, ...]:
    if "built_in" not in keys:
        return ()
    named = keys.texts("built_in", 'a list of "sbp", "dbp"')
    if not set(named) <= {"sbp", "dbp"}:
        keys.fault("built_in", 'a list of "sbp", "dbp"')
    return named


def _changes(keys: Keys, scenario: Setup | None, model: bool) -> tuple[Changes, Changes, Changes]:
    """Changes to the people, to the side of the mistake and to the side it is compared with."""
    before = len(keys.faults)
    changes = read_changes(keys)
    people: Changes = {"subject": changes.pop("subject")}
    table = keys.table("right", "a table [evidence.right.technique] or [evidence.right.instrument]", optional=True)
    right = read_changes(table)
    if set(right["subject"]) - {_SHAPE}:
        table.fault("subject", f"the same people: only {_SHAPE} here, for a cuff of the arm's shape")
    table.close()
    if not model or scenario is None or len(keys.faults) > before:
        return people, changes, right
    try:
        sides = [apply(scenario, people, side) for side in (changes, right)]
    except FieldError as error:
        keys.fault(f"subject, {error.field}", error.allowed, error.value)
        return people, changes, right
    if sides[0].key() == sides[1].key():
        keys.fault("technique", "a mistake that differs from the other side, or model = false and why")
    return people, changes, right

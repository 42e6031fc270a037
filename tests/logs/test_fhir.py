"""FHIR R4: what is written holds to the standard, by a schema written from it and by a library of its classes."""

import copy
import json
from datetime import timedelta, timezone

import jsonschema
import pytest
from fhir.resources.R4B.bundle import Bundle
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.logs.log import LogError, make_log
from sim.logs.read import read_log
from sim.logs.read_csv import read_csv
from sim.logs.read_fhir import read_fhir
from sim.logs.write_csv import write_csv
from sim.logs.write_fhir import write_fhir
from tests.logs.files import week
from tests.logs.r4 import BUNDLE
from tests.logs.test_csv import entries

ZONE = timezone(timedelta(hours=2))


def written(text=None):
    return write_fhir(read_csv(text or week()), ZONE)


def panel(document, place=0):
    return document["entry"][place]["resource"]


def read(document):
    return read_fhir(json.dumps(document))


def test_what_is_written_has_the_structure_of_the_standard():
    document = json.loads(json.dumps(written()))
    jsonschema.validate(document, BUNDLE)
    library = Bundle.model_validate(document)
    assert library.entry is not None
    assert len({e.fullUrl for e in library.entry}) == len(library.entry) == 28


@pytest.mark.parametrize(
    "spoil",
    [
        lambda d: panel(d).pop("status"),
        lambda d: panel(d).update(statuss="final"),
        lambda d: panel(d).update(effectiveDateTime="2024-05-06T07:10"),
        lambda d: panel(d)["component"].pop(0),
        lambda d: panel(d)["component"][0]["valueQuantity"].update(code="kPa"),
        lambda d: panel(d).pop("subject"),
        lambda d: panel(d)["code"]["coding"][0].update(code="8867-4"),
    ],
)
def test_the_schema_finds_what_is_wrong(spoil):
    """The check itself can fail: each of these breaks a rule of the standard or of its blood pressure profile."""
    document = written()
    spoil(document)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(document, BUNDLE)


def test_dates_without_time_and_parts_of_the_day_are_kept():
    text = "date,part,sbp,dbp,note\n2024-05-06,morning,132,82,tired\n2024-05-06,evening,131,81,\n"
    document = written(text)
    jsonschema.validate(document, BUNDLE)
    Bundle.model_validate(document)
    assert panel(document)["effectiveDateTime"] == "2024-05-06"
    log = read(document)
    assert [(e.part, e.timed, e.note) for e in log.entries] == [("morning", False, "tired"), ("evening", False, "")]


def test_there_and_back_again():
    log = read_csv(week())
    again = read(write_fhir(log, ZONE))
    assert write_csv(again) == write_csv(log)
    assert write_fhir(again) == write_fhir(log, ZONE)


@settings(deadline=None, max_examples=20)
@given(st.lists(entries, min_size=1, max_size=5))
def test_anything_that_can_be_logged_is_written_validly_and_read_back(found):
    log = make_log([e for e in found if e.note == e.note.strip()], [])
    document = json.loads(json.dumps(write_fhir(log, ZONE)))
    jsonschema.validate(document, BUNDLE)
    Bundle.model_validate(document)
    again = read(document)
    assert again.faults == ()
    assert [(e.sbp, e.dbp, e.pulse, e.note) for e in again.entries] == [
        (e.sbp, e.dbp, e.pulse, e.note) for e in log.entries
    ]


def test_without_a_zone_this_computers_own_is_given():
    document = write_fhir(read_csv(week(days=1)))
    jsonschema.validate(document, BUNDLE)


def test_other_resources_are_passed_over():
    document = written()
    document["entry"].insert(0, {"resource": {"resourceType": "Patient"}})
    document["entry"].append({"resource": {"resourceType": "Observation", "code": {"coding": []}}})
    assert len(read(document).entries) == 28
    assert len(read(panel(document, 1)).entries) == 1


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda p: p.update(status="entered-in-error"), "status 'entered-in-error': must be one of final"),
        (lambda p: p.update(effectiveDateTime="yesterday"), "effectiveDateTime 'yesterday': must be such as"),
        (lambda p: p.pop("effectiveDateTime"), "no effectiveDateTime"),
        (lambda p: p["component"].pop(1), "no diastolic pressure"),
        (lambda p: p["component"][0].pop("valueQuantity"), "no systolic pressure"),
        (
            lambda p: p["component"][0]["valueQuantity"].update(value="130"),
            "systolic blood pressure '130': must be a number",
        ),
        (lambda p: p["component"][0]["valueQuantity"].update(value=True), "systolic blood pressure 'True': must be"),
        (lambda p: p["component"][0]["valueQuantity"].update(value=float("nan")), "systolic nan: must be from 40"),
        (lambda p: p["component"][0]["valueQuantity"].update(value=17, code="kPa"), "in 'kPa': must be in mm"),
        (lambda p: p["component"].insert(0, "nonsense") or p["component"].pop(1), "no systolic pressure"),
    ],
)
def test_a_bad_panel_is_named_by_its_entry_and_the_rest_is_read(spoil, said):
    document = copy.deepcopy(written())
    spoil(panel(document, 4))
    log = read(document)
    assert len(log.entries) == 27
    (fault,) = log.faults
    assert fault.where == "entry 5"
    assert said in fault.what


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{", "line 1: the file is no JSON"),
        ("[1, 2]", "no blood pressure panel"),
        ('{"resourceType": "Bundle", "type": "collection"}', "no blood pressure panel"),
        ('{"resourceType": "Patient"}', "no blood pressure panel"),
        ("[" * 100_000, "no JSON"),
    ],
)
def test_what_is_no_log_says_so(text, said):
    with pytest.raises(LogError, match=said):
        read_log(text.encode())


def test_a_subject_that_is_no_name_is_nobody():
    document = written()
    panel(document)["subject"] = {"reference": ["Patient/1"], "display": {}}
    assert read_log(json.dumps(document).encode()).entries


def test_two_people_are_no_log():
    document = written()
    panel(document)["subject"] = {"reference": "Patient/1"}
    panel(document, 1)["subject"] = {"reference": "Patient/2"}
    with pytest.raises(LogError, match="people: must be one person's"):
        read(document)

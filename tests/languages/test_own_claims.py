"""What no longer holds for a patient of one's own, in Spanish: every claim of every lesson has its words."""

from __future__ import annotations

import pytest

from sim.say import catalogue, spoken
from sim.teach.claims import check
from sim.teach.lesson import load_all
from sim.teach.own_claims import COMPARED, Parted, in_words
from tests.languages.english import ENGLISH_WORDS

LESSONS = load_all(language="es")[0]


@pytest.mark.parametrize("lesson", LESSONS[:6], ids=lambda lesson: lesson.name)
def test_every_claim_of_a_lesson_has_spanish_words(lesson):
    for each in check(lesson):
        with spoken("es"):
            told = Parted("x", False, (each.claim,), (each.shown,)).words
        assert not ENGLISH_WORDS.search(told), told


@pytest.mark.parametrize(
    ("claim", "said"),
    [
        (
            "systolic higher by about +9 than the resting pressure",
            "la sistólica es unos 9 mmHg más alta que la presión en reposo",
        ),
        (
            "by the second algorithm diastolic lower than the first algorithm",
            "la diastólica del segundo algoritmo es más baja que la del primer algoritmo",
        ),
        (
            "systolic different by from +3 to +5 than the resting pressure",
            "la diferencia entre la sistólica y la presión en reposo es de +3 a +5 mmHg",
        ),
        ("numbers in few of the readings", "hay números en pocas lecturas"),
        ("hypertension (esh-2023)", "hipertensión (esh-2023)"),
    ],
)
def test_a_claim_as_a_person_would_say_it(claim, said):
    with spoken("es"):
        assert in_words(claim) == said


def test_what_is_compared_has_its_names():
    assert [name for name in COMPARED if not catalogue("es").get(name)] == []

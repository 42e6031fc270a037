"""Every published effect in the lessons against the model: sources stand beside the figures, in the lesson files.

What the model misses is listed in sim/teach/misses.toml with the reason, and nowhere else. A miss that is not
listed fails, and so does one that is listed and now fits. The figures are those that the app and `cuffbias validate`
show. `pytest -s` prints the table.
"""

from dataclasses import astuple, replace

import numpy as np
import pytest
from scipy.optimize import brentq

from sim.teach.evidence import PEOPLE, compare
from sim.teach.kept_answers import kept_answer
from sim.teach.lesson import load_all
from sim.teach.misses import known_misses
from sim.teach.verdicts import findings

SEED = 11
LESSONS = {lesson.name: lesson for lesson in load_all()[0]}

# (lesson, label, "sbp" or "dbp") -> reason
KNOWN_MISSES = known_misses()


@pytest.fixture(scope="module")
def comparisons():
    found = [each.comparison for each in findings(LESSONS.values())]
    for c in found:
        for name in ("sbp", "dbp"):
            print(_row(c, name))
    return {(c.lesson, c.evidence.label): c for c in found}


def _row(c, name):
    effect = getattr(c, name)
    p, m = effect.published, effect.model
    value = "" if p is None or p.value is None else f"{p.value:+.1f}"
    bounds = "" if p is None or p.low is None else f"({p.low:.1f} to {p.high:.1f})"
    model = "" if m is None else f"{m.mean:+.1f} [{m.low:.1f} to {m.high:.1f}]"
    word = {True: "inside", False: "MISS", None: ""}[effect.inside] + (" (built in)" if effect.built_in else "")
    return f"{c.lesson:20}{c.evidence.label[:50]:51}{name} {value:>6} {bounds:17} {model:26} {word}"


FINDINGS = [
    pytest.param(lesson.name, entry.label, name, id=f"{lesson.name}-{entry.label}-{name}")
    for lesson in LESSONS.values()
    for entry in lesson.evidence
    for name in ("sbp", "dbp")
    if entry.model
]


@pytest.mark.parametrize(("lesson", "label", "name"), FINDINGS)
def test_model_inside_the_published_interval_or_a_known_miss(comparisons, lesson, label, name):
    effect = getattr(comparisons[lesson, label], name)
    assert effect.model is not None
    if effect.inside is None:
        assert (lesson, label, name) not in KNOWN_MISSES
    elif (lesson, label, name) in KNOWN_MISSES:
        assert not effect.inside, "now inside: take it off the list of known misses"
    else:
        assert effect.inside, f"model {effect.model.mean:.2f}, published {effect.published}"


def test_the_answers_that_the_pages_show_are_the_models(comparisons):
    for lesson in LESSONS.values():
        for entry in lesson.evidence:
            kept, found = kept_answer(entry, lesson), comparisons[lesson.name, entry.label]
            if found.sbp.model is None:
                assert kept is None
                continue
            assert kept is not None, "run: python benchmarks/evidence.py"
            assert kept.people == found.people
            for name in ("sbp", "dbp"):
                assert astuple(getattr(kept, name)) == pytest.approx(astuple(getattr(found, name).model), abs=1e-5)


def test_a_finding_that_was_changed_has_no_kept_answer():
    lesson = LESSONS["01-arm-height"]
    entry = next(each for each in lesson.evidence if each.model)
    assert kept_answer(replace(entry, people={"subject": {"sbp": 133.0}}), lesson) is None


def test_known_misses_are_findings_of_the_lessons():
    assert set(KNOWN_MISSES) <= {(p.values[0], p.values[1], p.values[2]) for p in FINDINGS}
    assert len({(k.name, e.label) for k in LESSONS.values() for e in k.evidence}) == sum(
        len(k.evidence) for k in LESSONS.values()
    ), "two findings of a lesson have the same label"


@pytest.mark.parametrize("label", ["Hand in the lap", "Arm hanging at the side"])
def test_heights_in_the_arm_position_trial_are_fitted_to_its_systolic_effect(label):
    """Liu H, et al. JAMA Intern Med 2024;184:1436, DOI 10.1001/jamainternmed.2024.5213: lap +3.9, side +6.5 systolic.

    The heights of the arms are unknown. The one in the lesson file is that at which the model's mean systolic effect
    is the published one, as finely as that is published (0.1 mmHg, so 0.13 cm); the diastolic effect is then a
    prediction, checked above.
    """
    lesson = LESSONS["01-arm-height"]
    entry = next(e for e in lesson.evidence if e.label.startswith(label))
    published = entry.sbp.value if entry.sbp else None
    assert published is not None

    def excess(height_cm):
        moved = replace(entry, mistake={"technique": {"cuff_below_heart_cm": height_cm}})
        model = compare(moved, lesson, np.random.default_rng(SEED), PEOPLE).sbp.model
        assert model is not None
        return model.mean - published

    fitted = brentq(excess, 2, 12, xtol=0.01)
    print(f"{label}: {fitted:.2f} cm fitted")
    assert entry.mistake["technique"]["cuff_below_heart_cm"] == pytest.approx(fitted, abs=0.1 / 0.78)
    assert entry.built_in == ("sbp",)


@pytest.mark.parametrize(("lesson", "label"), [("04-talking", "Ordinary"), ("04-talking", "Stressful")])
def test_responses_in_the_model_are_those_of_the_study_beside_them(comparisons, lesson, label):
    """Built in, so no check of the model; but the display must pass on what was built in, within 6 %."""
    found = next(c for key, c in comparisons.items() if key[0] == lesson and key[1].startswith(label))
    for effect in (found.sbp, found.dbp):
        assert effect.built_in
        assert effect.model.mean == pytest.approx(effect.published.value, rel=0.06)

"""Every published effect in the lessons against the model: sources stand beside the figures, in the lesson files.

What the model misses is listed in KNOWN_MISSES with the reason, and nowhere else. A miss that is not listed fails,
and so does one that is listed and now fits. `pytest -s` prints the table.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from sim.teach.evidence import compare, compare_all
from sim.teach.lesson import load_all

PEOPLE = 60
SEED = 11
LESSONS = {lesson.name: lesson for lesson in load_all()[0]}

KNOWN_MISSES = {
    ("01-arm-height", "Arm hanging at the side instead of on the desk", "dbp"): (
        "The weight of blood adds the same to both numbers; the trial found 2 mmHg more on systolic. Fitted to "
        "systolic, the model says about 6.7 where 4.4 (3.4 to 5.4) was found. What else a hanging arm does is left out."
    ),
    ("02-cuff-size", "Regular cuff where an extra large one is needed", "sbp"): (
        "Less than the 19.5 (16.1 to 22.9) found. No ballooning of a bladder that is too narrow, no conical "
        "arm, no deeper artery under more fat; the trial's bladder sizes are assumed."
    ),
    ("03-clothing", "Three millimetres of cloth", "sbp"): (
        "More than the 1 at most that was found: cloth thickens what is squeezed and carries no load here."
    ),
    ("03-clothing", "Four millimetres of cloth", "sbp"): (
        "More than the 1 at most that was found, as with 3 mm; inside the pooled interval of a thick sleeve."
    ),
    ("06-cuff-turned", "The same cuff on the largest arm it is for, turned by 180 degrees", "sbp"): (
        "More than the 1 at most that was found: beyond the bladder the cloth holds less the further it is, by an "
        "assumed friction; which arms the study's cuffs were on is not known."
    ),
    ("06-cuff-turned", "The same cuff on the largest arm it is for, turned by 180 degrees", "dbp"): (
        "A little more than the 1 at most that was found, as in systolic."
    ),
    ("07-elbow-crease", "Over the crease of the elbow", "dbp"): (
        "The model was given this figure and passes it on with a few per cent more. The interval is worked out from a "
        "± smaller than the difference of two ordinary readings, so it is probably too narrow."
    ),
    ("08-posture", "Knees crossed, people without high blood pressure", "sbp"): (
        "The model has one figure for everybody, that of people with high blood pressure."
    ),
    ("09-rest", "Two minutes instead of five", "sbp"): (
        "The evidence conflicts: the model follows a study in which untreated people with high blood pressure fell for "
        "16 minutes; in this trial two minutes read lower than five."
    ),
    ("14-first-reading", "First reading against the second, a national survey", "sbp"): (
        "The evidence conflicts: the model follows a study in which the second reading was lower by 1.6 mmHg; in this "
        "survey it was hardly lower."
    ),
    ("16-cannot-be-right", "A wrong cuff, two sizes too small", "sbp"): (
        "The same trial and the same shortfall as in the lesson on cuff size."
    ),
}


@pytest.fixture(scope="module")
def comparisons():
    found = compare_all(LESSONS.values(), np.random.default_rng(SEED), PEOPLE)
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

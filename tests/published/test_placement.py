"""A right-sized cuff put on otherwise than it should be: turned, loose, over a sleeve. Mean effects, without chance."""

from __future__ import annotations

import pytest

from sim import Technique
from tests.published.chain import FIRST_ARM, FIRST_CUFF, first_ratios, readings


def effect(**mistake):
    """What the mistake adds on the first arm, systolic and diastolic [mmHg]."""
    wrong = readings(FIRST_ARM, Technique(**mistake), FIRST_CUFF, first_ratios())
    correct = readings(FIRST_ARM, Technique(), FIRST_CUFF, first_ratios())
    return wrong[0] - correct[0], wrong[1] - correct[1]


@pytest.mark.parametrize("turned_deg", [90, 180])
def test_cuff_turned_off_the_artery(report, turned_deg):
    # Bladder turned by 90 or 180 degrees, right-sized cuff, oscillometric, 799 people: within 1.0 mmHg and not
    # significant (PMC8029962).
    found = effect(cuff_turned_deg=turned_deg)
    for name, value in zip(("systolic", "diastolic"), found, strict=True):
        report.within(f"turned by {turned_deg}°, {name} [mmHg]", value, -1, 1, "PMC8029962, n=799", "within 1.0")


@pytest.mark.parametrize(("sleeve_mm", "low", "high"), [(1, -0.11, 1.30), (4, -0.21, 2.40)])
def test_sleeve_under_the_cuff(report, sleeve_mm, low, high):
    # Seguret D, et al. J Hypertens 2020;38:1650, DOI 10.1097/HJH.0000000000002460, 13 studies, systolic: thin sleeve
    # +0.59 (-0.11 to 1.30), thick sleeve +1.10 (-0.21 to 2.40). Taken as 1 and 4 mm (assumed).
    found = effect(sleeve_mm=sleeve_mm)
    report.within(f"sleeve of {sleeve_mm} mm, systolic [mmHg]", found[0], low, high, "Seguret 2020, 13 studies")


def test_slack_raises_the_reading(report):
    # 0, 2, 4 and 6 cm of slack, 24 people: it raises mean pressure, the abstract gives no
    # amounts (DOI 10.1007/s10558-009-9077-0).
    found = [effect(slack_cm=cm)[0] for cm in (2, 4, 6)]
    assert 0 < found[0] < found[1] < found[2]
    for cm, value in zip((2, 4, 6), found, strict=True):
        report.beside(f"slack of {cm} cm, systolic [mmHg]", value, "raises", "PMID 19662531, n=24")


@pytest.mark.usefixtures("hard_arm")
def test_turned_loose_and_over_a_sleeve_worked_out_apart(report):
    """On an arm into which the bladder does not sink."""
    for turned_deg, apart in ((90, 0.1), (180, 0.4)):
        report.derived(f"turned by {turned_deg}°, systolic [mmHg]", effect(cuff_turned_deg=turned_deg)[0], apart, 0.3)
    for sleeve_mm, *both in ((1, 0.4, 0.1), (4, 1.6, 0.4)):
        for name, value, apart in zip(("systolic", "diastolic"), effect(sleeve_mm=sleeve_mm), both, strict=True):
            report.derived(f"sleeve of {sleeve_mm} mm, {name} [mmHg]", value, apart, 0.4)
    for cm, apart in ((2, 0.8), (4, 1.8), (6, 3.0)):
        report.derived(f"slack of {cm} cm, systolic [mmHg]", effect(slack_cm=cm)[0], apart, 0.4)

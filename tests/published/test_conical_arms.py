"""A cylindrical cuff on a conical arm, against a conical cuff that fits it: auscultatory, by two observers.

Three groups of arms (an abstract on 391 people by Palatini P and others, "Conical cuffs should be used as reference
standard ...", names, journal and year of it not known to us): slant 87.1, 85.6 and 84.7 degrees; the cylindrical cuff
read 0.8 ± 0.2/0.1 ± 0.2, 1.5 ± 0.3/1.6 ± 0.2 and 4.4 ± 0.3/3.1 ± 0.2 (± standard error) above the conical one, which
was 20 x 40 cm for the last group. And 33 people of 42 cm and more, slant 84.1: 5.3 ± 4.0/3.0 ± 4.3 (Benetti E. Thesis,
University of Padua 2017, record 11094, for the people; the figures as reported).

The other cuffs and all pressures are assumed: 130/80, arms of 32, 39 and 45 cm, bladders of 13.5 x 26 and 16 x 32 cm.
A conical cuff lies on a conical arm as a cylindrical one does on a cylinder. What is asked is systolic; the model's
diastolic differences are shown beside, and are too small.
"""

from __future__ import annotations

import pytest

from sim import Subject, Technique
from tests.published.chain import FIRST_CUFF, first_ratios, readings

GROUPS, SEVERE = "Palatini, 391 people", "Benetti 2017, n=33"
# arm [cm], slant [degrees], bladder, systolic: published mean and 95 % interval, diastolic, source
ARMS = {
    "up to 35 cm": (32, 87.1, "13.5x26", 0.8, (0.4, 1.2), 0.1, GROUPS),
    "36 to 42 cm": (39, 85.6, "16x32", 1.5, (0.9, 2.1), 1.6, GROUPS),
    "over 42 cm": (45, 84.7, "20x40", 4.4, (3.8, 5.0), 3.1, GROUPS),
    "42 cm and more": (45, 84.1, "20x40", 5.3, (3.9, 6.7), 3.0, SEVERE),
}
TOO_LITTLE = "a third of what was found: only contact is lost, and a bladder 20 cm wide has some to spare"


def excess(arm, slant, bladder):
    """What the cylindrical cuff reads more on the cone than on the cylinder, systolic and diastolic."""
    cuff = FIRST_CUFF.replace(bladder=bladder)
    person = Subject(sbp=130, dbp=80, arm_circumference_cm=arm)
    cone = readings(person.replace(arm_slant_degrees=slant), Technique(), cuff, first_ratios())
    fits = readings(person, Technique(), cuff, first_ratios())
    return cone[0] - fits[0], cone[1] - fits[1]


def missed(name):
    return pytest.param(name, marks=pytest.mark.xfail(raises=AssertionError, strict=True, reason=TOO_LITTLE))


@pytest.mark.parametrize(
    "name",
    [
        "up to 35 cm",
        "36 to 42 cm",
        missed("over 42 cm"),
        missed("42 cm and more"),
    ],
)
def test_cylindrical_cuff_on_a_conical_arm(report, name):
    *how, _, interval, diastolic, source = ARMS[name]
    found = excess(*how)
    report.beside(f"cylindrical cuff, arm {name}, diastolic [mmHg]", found[1], f"{diastolic:+g}", source)
    report.within(f"cylindrical cuff, arm {name}, systolic [mmHg]", found[0], *interval, source)


def test_it_reads_higher_and_the_more_the_more_conical_the_arm_is():
    found = [excess(45, slant, "20x40") for slant in (87.0, 84.7, 83.0)]
    assert 0 < found[0][0] < found[1][0] < found[2][0]
    assert all(0 < diastolic < systolic for systolic, diastolic in found)


def test_systolic_error_grows_with_the_pressure():
    """In the fifth with the highest pressures 9.1 ± 5.1, where all had 5.3 (Palatini 2020, as reported)."""
    cuff = FIRST_CUFF.replace(bladder="20x40")

    def at(sbp, dbp):
        person = Subject(sbp=sbp, dbp=dbp, arm_circumference_cm=45)
        cone, fits = (
            readings(person.replace(arm_slant_degrees=slant), Technique(), cuff, first_ratios())[0]
            for slant in (84.1, 90)
        )
        return cone - fits

    assert at(160, 90) > at(130, 80) + 0.2

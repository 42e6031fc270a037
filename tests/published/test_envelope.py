"""The envelope of the whole chain against what was measured on people: height, width, ratios, place of the peak.

Without chance, 120/80, bladder 13.5 x 26 cm on an arm of 29 cm, defaults. A mean ± SD is kept to within one SD. Ratios
and the place of the peak were published against the pressure that a listener or a catheter found; the truth here is the
artery's. Amplitudes are paired with the mean pressure of their beat.

"Worked out apart" compares with the same model as evaluated elsewhere, and checks the implementation only: on an arm
into which the bladder does not sink, since there it does not. There the
pressure that an amplitude is paired with is the cuff's mean at rest; here the cuff falls during the beat and the beat's
top comes early in it. That is worth up to 1.5 mmHg either way (half the fall of a beat at 3 mmHg/s and 60/min), so
whatever is asked at a pressure is allowed what 1.5 mmHg make: 1.5/39 and 1.5/29 of a ratio.
"""

from __future__ import annotations

from functools import cache

import pytest

from sim import Subject, Technique
from tests.published.chain import FIRST_ARM, FIRST_CUFF, envelope, first_envelope

# Liu C, Zheng D, Griffiths C, Murray A, 2014: envelopes of 10 people, deflating and inflating.
LIU = "Liu 2014, n=10"
PAIRING_MMHG = 1.5
# Gui et al. 2018: characteristic ratios. Geddes LA, et al. Ann Biomed Eng 1982;10:271-280, DOI 10.1007/BF02367308,
# found about 0.5 and 0.8; reviews give 0.45-0.73 and 0.69-0.83 (from memory).
GUI = "Gui 2018"


@cache
def filling_envelope():
    """The first arm's envelope while the cuff fills."""
    return envelope(FIRST_ARM, Technique(), FIRST_CUFF.replace(course="inflating"))


def test_height_of_the_peak(report):
    # Sets the artery's scale, so no check of the model, but of the scale. Liu 2014: 3.0 ± 0.8 mmHg deflating.
    report.derived("peak amplitude, sets the scale [mmHg]", first_envelope().peak[1], 3.0, 0.05)


def test_height_of_the_peak_while_the_cuff_fills(report):
    # Liu 2014: 3.7 ± 0.9 mmHg inflating. Between the two directions the model has no difference.
    report.spread("peak amplitude, inflating [mmHg]", filling_envelope().peak[1], 3.7, 0.9, LIU)


@pytest.mark.parametrize(
    ("share", "mean", "sd"),
    [
        (0.5, 45, 9),
        pytest.param(
            *(0.3, 67, 10),
            marks=pytest.mark.xfail(raises=AssertionError, reason="in the model both directions are alike"),
        ),
    ],
)
def test_width_while_the_cuff_fills(report, share, mean, sd):
    # Liu 2014, inflating: 45 ± 9 mmHg at 50 %, 67 ± 10 mmHg at 30 % of the peak.
    what = f"width of the envelope at {share:.0%}, inflating [mmHg]"
    report.spread(what, filling_envelope().width(share), mean, sd, LIU)


@pytest.mark.parametrize(("share", "mean", "sd"), [(0.5, 57, 11), (0.3, 89, 12)])
def test_width(report, share, mean, sd):
    # Liu 2014, deflating: 57 ± 11 mmHg at 50 %, 89 ± 12 mmHg at 30 % of the peak.
    report.spread(f"width of the envelope at {share:.0%} [mmHg]", first_envelope().width(share), mean, sd, LIU)


@pytest.mark.parametrize(("name", "at", "mean", "sd"), [("systolic", 120, 0.52, 0.13), ("diastolic", 80, 0.75, 0.12)])
def test_ratio_at_the_true_pressure(report, name, at, mean, sd):
    # Gui 2018: 0.52 ± 0.13 at systolic, 0.75 ± 0.12 at diastolic pressure.
    report.spread(f"ratio at true {name}", first_envelope().ratio(at), mean, sd, GUI)


@pytest.mark.usefixtures("hard_arm")
def test_widths_ratios_and_peak_worked_out_apart(report):
    found = first_envelope()
    for share, wide in ((0.5, 52), (0.3, 92)):
        report.derived(f"width of the envelope at {share:.0%} [mmHg]", found.width(share), wide, 2.5)
    for name, at, apart, cost in (("systolic", 120, 0.55, 39), ("diastolic", 80, 0.80, 29)):
        report.derived(f"ratio at true {name}", found.ratio(at), apart, PAIRING_MMHG / cost)
    place = (found.peak[0] - 80) / 40
    report.derived("peak at, share of pulse pressure above diastolic", place, 0.35, PAIRING_MMHG / 40)


def test_place_of_the_peak(report):
    # Share of the pulse pressure above diastolic: 0.28 ± 0.14 (measured on people; the paper's name was not kept);
    # 0.45 in Chandrasekhar A, et al. Front Physiol 2019, DOI 10.3389/fphys.2019.01415.
    place = (first_envelope().peak[0] - 80) / 40
    report.spread("peak at, share of pulse pressure above diastolic", place, 0.28, 0.14, "as seen, paper not named")
    report.beside("peak at, share of pulse pressure above diastolic", place, "0.45", "Chandrasekhar 2019")


COSTS = [(120, 80, 39, 29), (150, 90, 47, 39), (160, 70, 71, 66)]


def cost_of_ratio(sbp, dbp):
    """The pressure by which the envelope's crossing moves, over the change of the ratio, around 0.55 and 0.80."""
    found = envelope(Subject(sbp=sbp, dbp=dbp, arm_circumference_cm=29), Technique(), FIRST_CUFF)
    step = 0.03
    for name, ratio, side in (("systolic", 0.55, 1), ("diastolic", 0.80, 0)):
        cost = abs(found.crossings(ratio - step)[side] - found.crossings(ratio + step)[side]) / (2 * step)
        yield f"cost of one unit of ratio, {name}, {sbp}/{dbp} [mmHg]", cost


@pytest.mark.parametrize(("sbp", "dbp"), [case[:2] for case in COSTS])
def test_what_one_unit_of_error_in_the_ratio_costs(report, sbp, dbp):
    """More than 40 mmHg a unit: Chandrasekhar 2019. Without an interval, and which pressure is not said."""
    for what, cost in cost_of_ratio(sbp, dbp):
        report.beside(what, cost, "more than 40", "Chandrasekhar 2019")


@pytest.mark.usefixtures("hard_arm")
@pytest.mark.parametrize(("sbp", "dbp", "systolic", "diastolic"), COSTS)
def test_the_same_cost_worked_out_apart(report, sbp, dbp, systolic, diastolic):
    for (what, cost), apart in zip(cost_of_ratio(sbp, dbp), (systolic, diastolic), strict=True):
        report.derived(what, cost, apart, 0.1 * apart)


@pytest.mark.usefixtures("hard_arm")
def test_steepest_slopes_with_a_real_cuffs_edges(report):
    # The claim that holds for the kernel alone (test_kernel) does not for a cuff whose pressure fades towards its
    # edges: about -3/-0.5 at 120/80, worked out apart.
    above, below = first_envelope().steepest()
    report.derived("steepest slope less systolic, whole chain [mmHg]", above - 120, -3, PAIRING_MMHG)
    report.derived("steepest slope less diastolic, whole chain [mmHg]", below - 80, -0.5, PAIRING_MMHG)

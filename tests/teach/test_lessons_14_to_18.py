"""What the lessons 14 to 18 say of the simulation, held against the simulation.

Each test names the sentence of a lesson that would be untrue if it failed.
"""

import numpy as np
import pytest

from sim import breakdown, measure
from sim.cuff.bladder import choose
from sim.cuff.instrument import Instrument
from sim.cuff.sensor import sensed
from sim.estimate.fixed_ratio import SYSTOLIC_RATIO, FixedRatio
from sim.estimate.refusal import NOT_HIGH_ENOUGH
from sim.estimate.slope import Slope
from sim.study.cohort import cohort
from sim.technique import Technique
from tests.study.survey import survey
from tests.teach.bench import LESSONS, bias, by_field, case_of, effect, ideal, reading, readings, steps

FIRST, TWO, CANNOT, INSTRUMENT = (
    LESSONS[name] for name in ("14-first-reading", "15-two-algorithms", "16-cannot-be-right", "17-the-instrument")
)


# 14 the first reading


def test_first_readings_fall_on_average():
    first, second, third = (ideal(FIRST, reading_number=k) for k in (1, 2, 3))
    assert (first > second).all()
    assert (second > third).all()
    assert steps(FIRST, reading_number=1)["reading_number"].kind == "response"


def test_first_on_a_single_visit_any_of_the_three_may_be_the_highest():
    """'on a single visit any of the three may be the highest'; 'chance is larger than the fall'."""
    visits = np.stack(
        [readings(FIRST, 150, seed, reading_number=k).reading.sbp for seed, k in ((1, 1), (2, 2), (3, 3))]
    )
    highest = np.bincount(visits.argmax(axis=0), minlength=3) / visits.shape[1]
    assert highest.min() > 0.1
    assert highest.argmax() == 0
    assert (np.diff(visits, axis=0) < 0).all(axis=0).mean() < 0.5
    assert visits[2].std() > visits[0].mean() - visits[2].mean()


def test_first_readings_of_the_model_lie_closer_together_than_those_of_people():
    """'closer together than the former and further apart than the latter'; 'In the model it is more common.'

    A miss, and shown as one. First two readings apart by 5 or more, systolic or diastolic, in 65.2 %, by 10 or more in
    25.2 % (n = 77,520, Xu S-K, et al. J Hypertens 2022, DOI 10.1097/HJH.0000000000003065); falling from each to the
    next in 14 % (NHANES 2017-2018).
    """
    people = cohort(200, np.random.default_rng(5))
    instrument = Instrument(bladder=choose(people.arm_circumference_cm))
    visit = np.stack(
        [
            np.column_stack([reading.sbp, reading.dbp])
            for reading in (
                measure(people, Technique(reading_number=k), instrument, rng=np.random.default_rng(k)).reading
                for k in (1, 2, 3)
            )
        ]
    )
    visit = visit[:, np.isfinite(visit).all(axis=(0, 2))]
    apart = np.abs(visit[1] - visit[0])
    falling = (np.diff(visit[..., 0], axis=0) < 0).all(axis=0).mean()
    either = [(apart >= limit).any(axis=1).mean() for limit in (5, 10)]
    alone = (apart[:, 0] >= 5).mean()
    print(f"apart by 5: {either[0]:.0%} (65 %), by 10: {either[1]:.0%} (25 %); systolic alone by 5 {alone:.0%} (29 %)")
    assert 0.2 < either[0] < 0.65
    assert either[1] < 0.25
    assert alone > 0.29
    assert falling > 0.14


def test_first_shares_of_people_worked_out_from_the_survey():
    """NHANES 2017-2018: 'fell each time in only 14 % of people; it rose each time in 9 %'; '44 %, and 29 % for systolic
    alone'.
    """
    found = survey()
    steps_mmhg = np.diff(found.sbp, axis=1)
    assert len(steps_mmhg) == 4681
    assert (steps_mmhg < 0).all(axis=1).mean() == pytest.approx(0.14, abs=0.005)
    assert (steps_mmhg > 0).all(axis=1).mean() == pytest.approx(0.09, abs=0.005)
    apart = np.abs(np.stack([found.sbp[:, 0] - found.sbp[:, 1], found.dbp[:, 0] - found.dbp[:, 1]]))
    assert (apart >= 5).any(axis=0).mean() == pytest.approx(0.44, abs=0.005)
    assert (apart[0] >= 5).mean() == pytest.approx(0.29, abs=0.005)


def test_first_case_lands_on_either_side_of_140():
    subject, technique, instrument = case_of(FIRST).inputs
    shown = measure(subject, technique, instrument, rng=np.random.default_rng(4), n=100).reading.sbp
    assert 0.1 < (shown >= 140).mean() < 0.9


# 15 two algorithms


def test_two_fixed_ratios_put_diastolic_too_low_in_stiff_arteries_and_too_high_in_wide_pulse_pressures():
    """'fixed ratios put diastolic too low'; 'diastolic comes out too high'; 'Often the two ... partly cancel.'"""

    def off(**values):
        bias = reading(TWO, **values).bias
        return np.array([bias.sbp[0], bias.dbp[0]])

    usual, stiff, wide = off(), off(artery_b_mmhg=34), off(sbp=170)
    both = off(artery_b_mmhg=34, sbp=170)
    assert stiff[1] < usual[1] - 3
    assert wide[1] > usual[1] + 3
    assert stiff[1] < both[1] < wide[1]


def by_slope(**values):
    """Bias of the second rule in one ideal reading, systolic and diastolic."""
    found = measure(*TWO.inputs(by_field(TWO, values)), ideal=True, estimator=Slope())
    return np.array([found.bias.sbp[0], found.bias.dbp[0]])


def test_two_the_slope_rules_systolic_falls_behind_and_its_diastolic_falls_or_rises_less():
    """'Without random variation, the slope rule's diastolic falls in stiff arteries as well, and rises less where the
    pulse pressure is wide'; 'Its systolic, which is already too low, falls even lower in either case';
    'several times that in systolic' (1.5 mmHg, Chandrasekhar A, et al. 2019)."""
    assert TWO.compare_with == "slope"
    usual, stiff, wide = by_slope(), by_slope(artery_b_mmhg=34), by_slope(sbp=170)
    assert usual[0] < -3
    assert max(stiff[0], wide[0]) < usual[0] - 1
    fixed = [reading(TWO, **v).bias.dbp[0] for v in ({}, {"artery_b_mmhg": 34}, {"sbp": 170})]
    assert stiff[1] < usual[1] - 3
    assert 0 < wide[1] - usual[1] < 0.7 * (fixed[2] - fixed[0])


def test_two_displays_differ_clearly_and_as_a_rule_both_have_numbers():
    """'Clearly different numbers'; 'as a rule both have a number'."""
    inputs = TWO.inputs({"subject.artery_b_mmhg": 34})
    stiff = ideal(TWO, artery_b_mmhg=34) - by_slope(artery_b_mmhg=34) - [136, 80]
    wide = ideal(TWO, sbp=170) - by_slope(sbp=170) - [170, 80]
    assert stiff[0] > 4
    assert min(wide) > 4
    fixed, slope = (
        measure(*inputs, rng=np.random.default_rng(1), n=60, estimator=e).reading for e in (FixedRatio(), Slope())
    )
    assert fixed.ok.all()
    assert slope.ok.mean() > 0.9


def test_two_breathing_makes_slopes_and_all_steep_places_together_are_steadier():
    """'breathing makes slopes of its own'; 'all steep places of a flank count ... That makes the rule steadier'"""
    together, alone = (
        measure(*TWO.inputs({}), rng=np.random.default_rng(1), n=60, estimator=e).reading
        for e in (Slope(), Slope(power=200.0))
    )
    assert np.nanstd(together.sbp) < 0.8 * np.nanstd(alone.sbp)


def test_two_all_of_it_is_the_algorithm():
    """'The breakdown calls the whole of it algorithm'"""
    found = breakdown(*TWO.inputs({"subject.artery_b_mmhg": 34}), ideal=True)
    assert [c.kind for c in found.contributions] == ["algorithm", "chance"]
    assert found.contributions[1].dbp[0] == pytest.approx(0, abs=1e-9)


def test_two_the_share_of_a_person_is_worth_several_mmhg():
    """'A whole unit of the share is worth more than 40 mmHg ..., so 0.13 is worth 5 mmHg or more': here too.

    0.52 ± 0.13: Gui 2018. 40 mmHg: Chandrasekhar A, et al. Front Physiol 2019, DOI 10.3389/fphys.2019.01415.
    """
    osc = reading(TWO).reading.oscillogram
    low, high = (FixedRatio(systolic_ratio=SYSTOLIC_RATIO + d).read(osc).sbp[0] for d in (-0.065, 0.065))
    assert 0.13 * 40 < low - high < 10


def test_two_the_case_is_nearly_right_in_systolic_and_too_low_in_diastolic():
    assert abs(bias(TWO.case)[0]) < 4
    assert bias(TWO.case)[1] < -3


# 16 a reading that cannot be right


def clean(result):
    """Share of the beats that the device used."""
    osc = result.reading.oscillogram
    return osc.kept.sum() / np.isfinite(osc.time_s).sum()


def test_cannot_a_small_bladder_and_a_true_pressure_look_alike():
    """'about the same systolic number, an equally clean recording'; 'the display shows ... about 162'."""
    small, true = (readings(CANNOT, 40, 6, **v) for v in ({"bladder": "10.5x21"}, {"sbp": 158}))
    assert ideal(CANNOT, bladder="10.5x21")[0] == pytest.approx(162, abs=4)
    assert small.reading.sbp.mean() == pytest.approx(true.reading.sbp.mean(), abs=4)
    assert min(clean(small), clean(true), clean(readings(CANNOT, 40, 6))) > 0.9


@pytest.fixture(scope="module")
def shaken():
    return {mmhg: readings(CANNOT, 100, 7, movement_mmhg=mmhg) for mmhg in (3, 4, 8)}


def test_cannot_movement_shows_in_the_recording(shaken):
    """'pulses that do not fit their neighbours and are left out'; 'At 4 most readings fail, at 8 nearly all do.'"""
    assert clean(shaken[4]) < 0.85
    assert (~shaken[4].reading.ok).mean() > 0.6
    assert (~shaken[8].reading.ok).mean() > 0.8


def test_cannot_the_reason_may_be_another_than_what_happened(shaken):
    """'Set the movement to 3 or 4 and take some readings: now and then exactly this reason comes up.'"""
    reasons = [str(r) for mmhg in (3, 4) for r in shaken[mmhg].reading.reason]
    assert NOT_HIGH_ENOUGH in reasons


def test_cannot_upsetting_talk_is_a_response_and_just_as_clean():
    assert steps(CANNOT, talking="stressful")["talking"].kind == "response"
    assert clean(readings(CANNOT, 40, 9, talking="stressful")) > 0.9


def test_cannot_the_case_is_true():
    # His wide pulse pressure costs the fixed ratios some diastolic, as in 15-two-algorithms; no mistake is behind it.
    assert np.abs(bias(CANNOT.case)).max() < 8


# 17 the instrument


def test_instrument_zero_error_moves_both_alike_and_gain_error_systolic_more():
    """'Too high, systolic by more than diastolic'; 'about 7 and 4'; 'the same at every pressure'."""
    assert effect(INSTRUMENT, zero_error_mmhg=4) == pytest.approx([4, 4], abs=0.1)
    assert effect(INSTRUMENT, gain_error_percent=5) == pytest.approx([0.05 * 132, 0.05 * 84], abs=0.4)


def test_instrument_the_gauge_beside_the_reference():
    """'0 at 0, 103 at 100, 206 at 200': a gain error of 3 %; a zero error of 3 shows 3 at 0 and 203 at 200."""
    held = np.array([[0.0, 100.0, 200.0]] * 2)
    instrument = Instrument(gain_error_percent=[3, 0], zero_error_mmhg=[0, 3], noise_mmhg=0, resolution_mmhg=0)
    shown = sensed(held, instrument.spread(2), np.zeros((2, 3), dtype=np.float32))
    assert shown[0] == pytest.approx([0, 103, 206])
    assert shown[1] == pytest.approx([3, 103, 203])


def test_instrument_a_false_scale_leaves_the_pulses_alone():
    """'They come at the same places, they grow and fade in the same way; the scale beside them is wrong.'"""
    right = reading(INSTRUMENT).reading.oscillogram
    for values in ({"zero_error_mmhg": 6}, {"gain_error_percent": 6}):
        wrong = reading(INSTRUMENT, **values).reading.oscillogram
        assert wrong.time_s == pytest.approx(right.time_s, nan_ok=True)
        share = wrong.amplitude_mmhg / np.nanmax(wrong.amplitude_mmhg)
        assert share == pytest.approx(right.amplitude_mmhg / np.nanmax(right.amplitude_mmhg), abs=0.01, nan_ok=True)


def test_instrument_coarse_steps_move_and_scatter_the_numbers():
    """'the numbers move and scatter' at 1 mmHg; 'The breakdown counts this under algorithm'."""
    fine, coarse = (readings(INSTRUMENT, 150, 3, resolution_mmhg=r).reading for r in (0, 1))
    assert abs(np.nanmean(coarse.sbp) - fine.sbp.mean()) > 1.5
    assert np.nanstd(coarse.sbp) > 1.1 * fine.sbp.std()
    assert "resolution_mmhg" not in steps(INSTRUMENT, resolution_mmhg=1)
    assert steps(INSTRUMENT, resolution_mmhg=1)[""].kind in ("algorithm", "chance")


def test_instrument_the_simulated_device_scatters_less_than_real_ones():
    """'The simulated device scatters less'. Against a line in the artery: 10.3/7.9 (Dankel SJ, et al. 2019)."""
    people = cohort(150, np.random.default_rng(8))
    off = measure(
        people, None, Instrument(bladder=choose(people.arm_circumference_cm)), rng=np.random.default_rng(9)
    ).bias
    assert np.nanstd(off.sbp) < 10.3
    assert np.nanstd(off.dbp) < 7.9


def test_instrument_case_hides_about_12():
    assert bias(INSTRUMENT.case)[0] == pytest.approx(-12, abs=2.5)

"""Fit of the artery's model: its derivatives, its published behaviour, and arteries of a law that it does not know."""

import numpy as np
import pytest

from sim.body.artery import area
from sim.estimate.artery_model import amplitude, with_edges, without_edges
from sim.estimate.fixed_ratio import FixedRatio
from sim.estimate.model_fit import ModelFit
from tests.estimate.kernel import kernel_recording
from tests.estimate.people import errors, measured, root_mean_square, share_of_fixed_ratio

PARAMETERS = np.array([[120, 80, np.log(4), np.log(20), -2, 0.065], [150, 70, np.log(6), np.log(12), -1, 0.03]])
CUFF = np.tile(np.linspace(170, 40, 40), (2, 1))
HEIGHT = np.full_like(CUFF, 2.0)


@pytest.mark.parametrize("cuff", [with_edges(), without_edges()], ids=["edges", "no edges"])
@pytest.mark.parametrize("air", [True, False])
def test_derivatives_are_those_of_small_steps(cuff, air):
    """In single precision, so steps are not very small."""
    _, slopes = amplitude(PARAMETERS, CUFF, HEIGHT, cuff, air)
    for k, step in enumerate((0.1, 0.1, 0.01, 0.01, 0.01, 0.001)):
        change = np.zeros(6)
        change[k] = step
        up, down = (amplitude(PARAMETERS + sign * change, CUFF, HEIGHT, cuff, air)[0] for sign in (1, -1))
        numeric = (up - down) / (2 * step)
        assert slopes[:, :, k] == pytest.approx(numeric, abs=0.01 * max(float(np.abs(numeric).max()), 0.01))


def test_without_edges_an_amplitude_is_the_area_between_the_pressures():
    found, _ = amplitude(PARAMETERS[:1], CUFF[:1], HEIGHT[:1], without_edges(), air=False)
    exact = area(120 - CUFF[:1] - HEIGHT[:1], 4.0, 20.0) - area(80 - CUFF[:1], 4.0, 20.0)
    assert found / found.max() == pytest.approx(exact / exact.max(), abs=5e-3)


KERNELS = [(120, 80, 4, 20), (150, 90, 4, 20), (160, 70, 4, 20), (120, 80, 6, 15), (180, 80, 5, 26), (100, 60, 4, 20)]


def test_near_0_3_mmhg_where_it_knows_the_law():
    """Root mean square error of 0.3 mmHg on simulated cases: Babbs CF. BioMed Eng OnLine 2012;11:56,
    DOI 10.1186/1475-925X-11-56. One pressure everywhere under the cuff, constant compliance, an artery of the law
    that is fitted; nothing known beforehand."""
    fit = ModelFit(edges=False, air=False, beforehand=False)
    off = []
    for sbp, dbp, a, b in KERNELS:
        reading = fit(kernel_recording(sbp, dbp, a, b, feedback=True))
        off.append((reading.sbp[0] - sbp, reading.dbp[0] - dbp))
    found = [root_mean_square(np.array(off)[:, k]) for k in (0, 1)]
    print(f"root mean square error {found[0]:.2f}/{found[1]:.2f} mmHg")
    assert np.isfinite(off).all()
    assert max(found) < 0.3


def test_below_1_mmhg_under_whole_cuffs_on_arms_of_its_law():
    """The cuff's edges, its air and 250 different arms, whose hearts are steady: it knows the law, not the arm."""
    off = errors(ModelFit(), "exponential", steady=True)
    print({name: f"{np.nanmean(e):+.2f} ± {np.nanstd(e):.2f}" for name, e in off.items()})
    for each in off.values():
        assert np.nanstd(each) < 1.0
        assert abs(np.nanmean(each)) < 1.0


def test_at_most_60_percent_of_the_fixed_ratios_error_on_arteries_of_another_law():
    """Some 40 % below fixed ratios in 57 patients (PMC4907878); here what the algorithms themselves are off, over
    people whose stiffness, pulse pressure, arms and pulses vary and whose arteries follow the arctangent."""
    shares = share_of_fixed_ratio(ModelFit(), "arctangent", steady=True)
    assert max(shares.values()) <= 0.60


@pytest.mark.xfail(
    strict=True,
    reason="Pressures wander and breathe while the cuff empties: a flank shows the pressure of a few beats, not the "
    "mean of all. The fit then has about 95 and 85 % of the fixed ratio's error; knowing arm and artery beforehand "
    "would leave about 75 and 50 %.",
)
def test_at_most_60_percent_of_the_fixed_ratios_error_with_varying_hearts():
    shares = share_of_fixed_ratio(ModelFit(), "arctangent", steady=False)
    assert max(shares.values()) <= 0.60


def test_with_varying_hearts_it_is_about_as_good_as_the_fixed_ratio_in_systolic_and_better_in_diastolic():
    for law in ("exponential", "arctangent"):
        shares = share_of_fixed_ratio(ModelFit(), law, steady=False)
        assert shares["sbp"] < 1.05
        assert shares["dbp"] < 0.95


@pytest.mark.parametrize("law", ["exponential", "arctangent"])
def test_it_says_how_uncertain_it_is(law):
    """Errors over the standard deviations that were told: about 1, and nearly all within three."""
    result = measured(law, False)
    reading, truth = ModelFit()(result.recording), result.truth.at_measurement
    assert reading.sbp_sd is not None
    assert reading.dbp_sd is not None
    for off, told in ((reading.sbp - truth.sbp, reading.sbp_sd), (reading.dbp - truth.dbp, reading.dbp_sd)):
        known = np.isfinite(off)
        assert (told[known] > 0).all()
        ratio = off[known] / told[known]
        print(f"SD told {np.median(told[known]):.1f} mmHg, errors over it {ratio.std():.2f}")
        assert 0.75 < ratio.std() < 1.35
        assert (np.abs(ratio) < 3).mean() > 0.95


def test_uncertainty_is_told_only_with_numbers():
    recording = measured("exponential", False).recording.take(slice(0, 4))
    short = recording.take(slice(None))
    object.__setattr__(short, "samples", np.full(4, 300))
    reading = ModelFit()(short)
    assert not reading.ok.any()
    assert reading.sbp_sd is not None
    assert np.isnan(reading.sbp_sd).all()
    assert FixedRatio()(short).sbp_sd is None

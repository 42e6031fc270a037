"""The reference against figures worked out elsewhere, and against itself by another way, before it is relied on."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from tests.reference.arm import Arm
from tests.reference.transmission import along_arm, response, round_arm

# Share of the pressure under the middle of a band with sharp edges, by band width over circumference: independently
# worked out from the same theory. That a band of 40 % is the first to transmit in full is the old rule of cuff width.
WIDTH_RATIOS = (0.20, 0.25, 0.30, 0.40, 0.50, 0.60)
AT_THE_AXIS = (0.898, 0.971, 1.007, 1.024, 1.017, 1.009)
HALF_WAY_OUT = (0.961, 1.003, 1.019, 1.020, 1.012, 1.006)


@pytest.mark.parametrize(("q", "expected"), [(0.0, AT_THE_AXIS), (0.5, HALF_WAY_OUT)])
def test_share_under_the_middle(q: float, expected: tuple[float, ...]) -> None:
    found = [along_arm(np.array([0.0]), ratio, q, flank=0.0)[0] for ratio in WIDTH_RATIOS]
    np.testing.assert_allclose(found, expected, atol=5e-4)


@pytest.mark.parametrize("q", [0.0, 0.5])
def test_share_at_the_edge_is_about_half(q: float) -> None:
    found = [along_arm(np.array([0.5]), ratio, q, flank=0.0)[0] for ratio in WIDTH_RATIOS]
    assert np.round(found, 2).min() >= 0.50
    assert np.round(found, 2).max() <= 0.51


@pytest.mark.parametrize("q", [0.0, 0.35, 0.9])
def test_long_waves_are_passed_on_whole(q: float) -> None:
    assert response(1e-4, q) == pytest.approx(1, abs=1e-6)


def test_along_the_arm_no_force_is_lost() -> None:
    """The mean over the whole length of the arm is that of the load (its longest wave passes whole)."""
    z = np.linspace(0, 6, 1201)
    share = along_arm(z, 0.3, 0.35)
    assert 2 * np.trapezoid(share, z) == pytest.approx(1 - 0.10 / 2, abs=2e-3)


def test_round_the_arm_a_whole_bladder_passes_whole() -> None:
    assert round_arm(1.0, 0.7, 0.35) == pytest.approx(1, abs=1e-10)


@pytest.mark.parametrize("coverage", [0.3, 0.7])
def test_round_the_arm_the_axis_feels_the_mean(coverage: float) -> None:
    """At the axis Poisson's integral is the mean of the surface pressure, here in closed form."""
    mu, bare = 0.12, np.pi * (1 - coverage)
    mean = coverage + (1 - np.exp(-mu * bare)) / (mu * np.pi)
    assert round_arm(coverage, 1.0, 0.0) == pytest.approx(mean, abs=1e-9)


def test_volume_and_its_slopes_agree() -> None:
    arm, step = Arm(), 1e-4
    for artery, cuff in ((80.0, 60.0), (100.0, 100.0), (120.0, 150.0)):
        by_artery, by_cuff = arm.volume_slopes(artery, cuff)
        assert (arm.volume(artery + step, cuff) - arm.volume(artery - step, cuff)) / (2 * step) == pytest.approx(
            by_artery
        )
        assert (arm.volume(artery, cuff + step) - arm.volume(artery, cuff - step)) / (2 * step) == pytest.approx(
            by_cuff
        )


@pytest.mark.parametrize(("index", "compliance", "volume"), [(1.0, 0.233, 0.70), (1.4, 0.166, 0.50)])
def test_air_in_the_cuff(index: float, compliance: float, volume: float) -> None:
    """200 mL at 100 mmHg over 760 mmHg; a pulse of 3 mmHg is this much blood [mL]."""
    found = float(Arm(polytropic_index=index).compliance(100.0))
    assert found == pytest.approx(compliance, abs=5e-4)
    assert 3 * found == pytest.approx(volume, abs=0.005)


def test_two_ways_of_solving_for_the_air_agree() -> None:
    """The equation as it stands, and summed over time: 10 s around the peak of the envelope."""
    time_s = np.arange(0, 10, 0.01)
    fine = np.arange(0, 10.5, 0.002)
    artery = PchipInterpolator(fine, 80 + 40 * np.maximum(0, np.sin(np.pi * ((fine / 0.85) % 1))) ** 2)
    slope = artery.derivative()
    arm = Arm(area_cm2_per_mmhg=3.4e-3)
    stepped = arm.cuff_pressure(time_s, lambda t: float(artery(t)), lambda t: float(slope(t)), 115.0, 3.0)
    balanced = arm.cuff_pressure_by_balance(time_s, artery, 115.0, 3.0)
    np.testing.assert_allclose(stepped, balanced, atol=0.005)

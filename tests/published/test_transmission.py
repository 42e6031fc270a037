"""How much of the cuff's pressure reaches the artery: the elastic theory's own figures.

Rankin AW, J Appl Mech 1944;11:A77; Barton MV, J Appl Mech 1941;8:A97; for cuffs Alexander H, Cohen ML, Steinfeld L, Med
Biol Eng Comput 1977;15:2-10, DOI 10.1007/BF02441568.
"""

from __future__ import annotations

import numpy as np
import pytest

from sim.cuff import transmission
from sim.cuff.transmission import along_arm, round_arm, stress_ratio

# A band with sharp edges, under its middle, by band width over circumference; worked out apart from the same theory.
SHARES = {
    0.0: {0.20: 0.898, 0.25: 0.971, 0.30: 1.007, 0.40: 1.024, 0.50: 1.017, 0.60: 1.009},
    0.5: {0.20: 0.961, 0.25: 1.003, 0.30: 1.019, 0.40: 1.020, 0.50: 1.012, 0.60: 1.006},
}


@pytest.fixture
def sharp_edges(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(transmission, "FLANK_SHARE", 0.0)


@pytest.mark.usefixtures("sharp_edges")
@pytest.mark.parametrize(("q", "width_ratio"), [(q, w) for q, shares in SHARES.items() for w in shares])
def test_share_under_the_middle_of_a_band(report, q, width_ratio):
    found = along_arm(np.array([0.0]), np.array([width_ratio]), np.array([q]))[0, 0]
    report.derived(f"share at the middle, W/C {width_ratio:.2f}, radius {q:g}", found, SHARES[q][width_ratio], 0.001)


@pytest.mark.usefixtures("sharp_edges")
@pytest.mark.parametrize("q", [0.0, 0.5])
def test_share_under_the_edge_of_a_band_is_half(q):
    found = along_arm(np.array([0.5]), np.array(list(SHARES[q])), np.full(6, q))
    # 0.50 to 0.51, worked out apart, to the second digit.
    assert found.min() >= 0.495
    assert found.max() < 0.515


def test_a_wide_band_passes_whole_and_a_wider_one_reads_no_lower_at_its_middle():
    """A wide cuff transmits in full under its centre, and an over-wide one does not read low there: Alexander 1977."""
    found = along_arm(np.array([0.0]), np.array([0.4, 0.6, 0.9, 1.4]), np.full(4, 0.35))
    assert found.min() > 0.99
    assert found.max() < 1.03


def test_long_waves_reach_the_artery_whole():
    np.testing.assert_allclose(stress_ratio(np.array([1e-3]), np.array([0.0, 0.35, 0.9])), 1, atol=1e-5)


def test_a_bladder_all_round_passes_whole_wherever_the_artery_lies():
    np.testing.assert_allclose(round_arm(1.0, np.linspace(0, np.pi, 5), 0.5), 1, atol=1e-12)

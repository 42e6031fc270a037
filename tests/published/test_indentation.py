"""How far the arm yields, against what was measured on arms and cuffs; nothing here was chosen on these."""

from __future__ import annotations

import numpy as np

from sim.cuff.indentation import edge_yield, thinning


def test_arms_under_a_strap(report):
    """Six limbs of the dead, tightened in a strap: the upper ones by 16.7 ± 4.2 % of their radius; the strap's pressure
    was 205 ± 75 mmHg at the greater of its two tensions. Hooke AW, et al. Mil Med 2021;186(Suppl 1):378-383 (abstract;
    at which tension the 16.7 % were found was not seen)."""
    report.beside("arm's radius lost at 205 mmHg [%]", 100 * float(thinning(205)), "16.7 ± 4.2", "Hooke 2021, 6 limbs")


def test_the_ends_yield_less_than_half_as_much_as_a_long_band():
    """Under the edge of a pressure on half of a flat body the surface yields by half; a round arm takes off some."""
    found = edge_yield(np.array([0.3, 0.47, 0.8]))
    assert (np.diff(found) < 0).all()
    assert (found > 0.15).all()
    assert (found < 0.5).all()

"""The artery's law alone: one pressure everywhere (share 1), constant compliance of the air, no feedback.

Then a beat's amplitude is the artery's area at systolic less that at diastolic transmural pressure, in closed form.
"""

from __future__ import annotations

import numpy as np
import pytest

from sim.body.artery import area

ARTERIES = [(4.0, 20.0), (8.0, 10.0), (3.0, 35.0)]
PRESSURES = [(120.0, 80.0), (150.0, 90.0), (160.0, 70.0)]


def kernel(sbp, dbp, a, b):
    cuff = np.arange(dbp - 60, sbp + 60, 0.01)
    return cuff, area(sbp - cuff, a, b) - area(dbp - cuff, a, b)


@pytest.mark.parametrize(("a", "b"), ARTERIES)
@pytest.mark.parametrize(("sbp", "dbp"), PRESSURES)
def test_place_of_the_peak(sbp, dbp, a, b):
    cuff, amplitude = kernel(sbp, dbp, a, b)
    assert cuff[np.argmax(amplitude)] == pytest.approx((a * sbp + b * dbp) / (a + b), abs=0.011)


@pytest.mark.parametrize(("a", "b"), ARTERIES)
@pytest.mark.parametrize(("sbp", "dbp"), PRESSURES)
def test_ratios_at_the_true_pressures(sbp, dbp, a, b):
    cuff, amplitude = kernel(sbp, dbp, a, b)
    pp = sbp - dbp
    peak = (a + b) * (1 - np.exp(-pp / (a + b)))
    assert np.interp(sbp, cuff, amplitude) / amplitude.max() == pytest.approx(
        a * (1 - np.exp(-pp / a)) / peak, abs=1e-5
    )
    assert np.interp(dbp, cuff, amplitude) / amplitude.max() == pytest.approx(
        b * (1 - np.exp(-pp / b)) / peak, abs=1e-5
    )


@pytest.mark.parametrize(("sbp", "dbp"), PRESSURES)
def test_steepest_slopes_of_the_kernel_lie_at_the_true_pressures(report, sbp, dbp):
    """Within 1.5 mmHg without noise: Chandrasekhar A, et al. Front Physiol 2019, DOI 10.3389/fphys.2019.01415.

    True of the kernel alone; what a cuff's edges make of it is in test_envelope.
    """
    cuff, amplitude = kernel(sbp, dbp, 4.0, 20.0)
    slope = np.gradient(amplitude, cuff)
    for name, found, true in (("systolic", cuff[slope.argmin()], sbp), ("diastolic", cuff[slope.argmax()], dbp)):
        what = f"kernel's steepest slope less {name}, {sbp:g}/{dbp:g} [mmHg]"
        report.within(what, found - true, -1.5, 1.5, "Chandrasekhar 2019", "within 1.5")

"""What the published figures say to an artery whose far half stands still once the cuff has shut it.

Above systolic pressure no pulse passes the cuff: the arteries beyond it are cut off, their pressure falls to that of
the veins (Changes in arterial and venous blood pressure and flow distal to a cuff inflated on the human arm, J Clin
Invest 1946; abstract seen, authors not), and pulses in the finger come back at systolic pressure (Nitzan M, et al.
IEEE Trans Biomed Eng 2005;52:1120-1127; abstract seen). Then only the half of the artery towards the heart could beat
there, and the envelope's tail would be half as high. In the model both halves beat (`sim.body.artery`). Here the far
half is made to stand still while the artery is shut, by SHUT widths of compliance below zero where the cuff presses
most.

The envelope then is too narrow where it was published for an emptying cuff. Other widths of compliance put that
right, and then cuffs that are too small or too large read half as far off as the trial found: their effect lives in
the tail. So the tail stays, and is listed in `sim/teach/misses.toml`.
"""

from __future__ import annotations

import numpy as np
import pytest

from sim import Instrument, Subject, Technique
from sim.body import artery
from sim.estimate.fixed_ratio import FixedRatio
from tests.published.chain import FIRST_ARM, FIRST_CUFF, Envelope, envelope, first_envelope, readings

SHUT = 3.0  # exp(-3): a twentieth of the area at zero is left


@pytest.fixture
def shut_beyond(monkeypatch):
    """The far half keeps the pressure at which the artery shut, for as long as it is shut."""
    usual = artery.Segment.volume

    def volume(self, artery_mmhg):
        near = usual(self, artery_mmhg)
        shuts = (self._outside.max(axis=0) - SHUT * self._a).astype(np.float32)  # (n, 1, j)
        then = artery._exponential(shuts, self._outside, self._weight, self._a, self._b)
        return (near + np.where(np.asarray(artery_mmhg)[:, :, None] < shuts, then, near)) / 2

    monkeypatch.setattr(artery.Segment, "volume", volume)


def of(**widths: float) -> Envelope:
    """The first arm's envelope with other widths of compliance."""
    return envelope(FIRST_ARM.replace(**widths), Technique(), FIRST_CUFF)


def test_the_tail_is_as_the_list_of_misses_says(report):
    report.beside("pulse 40 mmHg above systolic, over the largest", first_envelope().ratio(160), "-", "nobody known")
    assert first_envelope().ratio(160) == pytest.approx(0.29, abs=0.02)


@pytest.mark.usefixtures("shut_beyond")
def test_half_an_artery_has_half_the_tail_and_too_narrow_an_envelope():
    """Emptying 57 ± 11 and 89 ± 12 mmHg wide (Liu 2014); ratio at systolic 0.52 ± 0.13 (Gui 2018)."""
    found = of()
    print(f"{found.width(0.5):.0f} and {found.width(0.3):.0f} wide, {found.ratio(120):.2f} at systolic")
    assert found.ratio(160) == pytest.approx(0.15, abs=0.02)
    assert found.width(0.5) == pytest.approx(47, abs=1.5)
    assert found.width(0.3) == pytest.approx(66, abs=1.5)
    assert found.ratio(120) < 0.52 - 0.13


@pytest.mark.usefixtures("shut_beyond")
def test_with_widths_that_mend_the_envelope_the_trial_of_cuffs_is_missed():
    """Regular cuff where small, large, extra large are needed: -5.6 to -1.7, 3.0 to 6.6, 16.1 to 22.9 mmHg systolic
    (Ishigami J, et al. JAMA Intern Med 2023)."""
    widths = {"artery_a_mmhg": 7.0, "artery_b_mmhg": 28.0}
    found = of(**widths)
    assert 57 - 11 < found.width(0.5) < 57 + 11
    assert 89 - 12 < found.width(0.3) < 89 + 12
    assert 0.52 - 0.13 < found.ratio(120) < 0.52 + 0.13
    own = FixedRatio(systolic_ratio=found.ratio(120), diastolic_ratio=found.ratio(80))

    def excess(arm_cm: float, slant: float, sbp: float, dbp: float, right: str) -> float:
        person = Subject(sbp=sbp, dbp=dbp, arm_circumference_cm=arm_cm, arm_slant_degrees=slant, **widths)
        cuffs = (FIRST_CUFF, Instrument(bladder=right, resolution_mmhg=0, noise_mmhg=0))
        wrong, correct = (readings(person, Technique(), cuff, own)[0] for cuff in cuffs)
        return wrong - correct

    large = excess(35.5, 90, 124, 77, "16x32")
    extra = excess(44, 84.7, 124.5, 79.3, "18x40")
    print(f"large {large:+.1f} (3.0 to 6.6), extra large {extra:+.1f} (16.1 to 22.9)")
    assert large < 3.0
    assert extra < 12

"""The bladder sinks into the arm: exact relations, and a slow evaluation of the same equations (tests/reference)."""

from __future__ import annotations

import numpy as np
import pytest

from sim import Instrument, Subject, Technique
from sim.cuff import indentation
from sim.cuff.indentation import contact_ratio, edge_yield, surface_yield, thinning
from sim.cuff.transmission import along_arm, snug_width_cm, transmission
from sim.parameters import MMHG_PA, TISSUE_PA
from tests.reference import transmission as reference


def test_a_long_band_squeezes_as_an_even_pressure_and_a_short_one_as_on_a_flat_body():
    """A half-space yields by 2 (1 - nu^2) p / (E k) to the pressure p cos(k z), nu = 1/2 (Johnson KL, Contact
    Mechanics, 1985, from memory); a long arm by p R / 2E. Their quotient is 3 / kR."""
    assert surface_yield(np.array([1e-3]))[0] == pytest.approx(1, abs=1e-5)
    waves = np.array([100.0, 200.0])
    np.testing.assert_allclose(surface_yield(waves), 3 / waves, rtol=1e-2)


@pytest.mark.parametrize("wave", [0.01, 0.5, 2.0, 8.0, 30.0])
def test_yield_of_the_skin_against_the_reference(wave):
    assert surface_yield(np.array([wave]))[0] == pytest.approx(reference.skin_yield(wave), rel=1e-9)


@pytest.mark.parametrize("ratio", [0.1, 0.25, 0.47, 0.9, 1.8])
def test_yield_at_the_end_of_a_band_against_the_reference(ratio):
    assert float(edge_yield(ratio)) == pytest.approx(reference.yield_at_the_end(ratio), abs=1e-3)


def test_a_little_pressure_takes_off_what_hooke_says_and_much_less_than_that():
    small = 0.01 * TISSUE_PA / MMHG_PA
    assert float(thinning(small)) == pytest.approx(0.005, rel=0.01)
    assert float(thinning(100 * small)) < 0.5
    assert float(thinning(0.0)) == 0


def test_thinner_by_as_much_as_longer_for_the_volume():
    """An incompressible arm: s times as long, 1 / sqrt(s) as thick, and s^2 - 1/s = 3 p / E."""
    pressure = np.array([20.0, 100.0, 200.0, 300.0])
    longer = 1 / (1 - thinning(pressure)) ** 2
    np.testing.assert_allclose(longer**2 - 1 / longer, 3 * pressure * MMHG_PA / TISSUE_PA, rtol=1e-4)


@pytest.mark.parametrize(("snug", "pressure"), [(0.1, 300.0), (0.27, 150.0), (0.47, 100.0), (1.2, 300.0)])
def test_contact_against_a_root_finder(snug, pressure):
    assert float(contact_ratio(snug, pressure)) == pytest.approx(reference.contact_ratio(snug, pressure), abs=2e-4)


def test_contact_narrows_with_pressure_and_never_ends():
    pressure = np.linspace(0, 350, 36)
    for snug in (0.01, 0.05, 0.3, 1.8):
        found = contact_ratio(np.array([snug]), pressure)
        assert found[0] == snug
        assert (np.diff(found) < 0).all()
        assert found[-1] > 0


def test_the_share_between_the_widths_is_that_at_the_width_itself():
    """Worked out at three widths of contact and joined by a parabola."""
    arms = np.array([17.0, 29.0, 44.0, 58.0])
    subject = Subject(arm_circumference_cm=arms, artery_radius_ratio=[0.2, 0.35, 0.5, 0.6])
    cuff = transmission(subject.spread(4), Technique().spread(4), Instrument(bladder="13.5x26").spread(4))
    for pressure in (10.0, 90.0, 170.0, 300.0):
        skin = np.full((4, 1), pressure)
        ratio = contact_ratio(cuff.snug_ratio[:, None], skin)[:, 0]
        round_it = cuff.share_at[:, 0, 0] / along_arm(np.array([0.0]), cuff.ratio[:, 0], subject.artery_radius_ratio).T
        exact = along_arm(np.array([0.0]), ratio, subject.artery_radius_ratio)[:, 0]
        np.testing.assert_allclose(cuff.share(skin)[:, 0, 0] / round_it[0], exact, atol=2e-3)


def test_an_arm_as_hard_as_wood_keeps_the_contact(monkeypatch):
    monkeypatch.setattr(indentation, "TISSUE_PA", 1e13)
    np.testing.assert_allclose(contact_ratio(np.array([0.3]), np.array([0.0, 150.0, 300.0])), 0.3, atol=1e-6)


def test_a_conical_arm_takes_off_the_gap_at_its_thinner_end():
    """84.7 degrees: the radius falls by 0.093 cm for each cm along the arm."""
    technique, instrument = Technique(), Instrument(bladder="20x40")
    wide, lost = (
        float(snug_width_cm(Subject(arm_slant_degrees=degrees), technique, instrument)) for degrees in (90, 84.7)
    )
    assert wide == 20
    assert wide - lost == pytest.approx(10 * 0.0928, abs=0.005)

"""The artery's laws and the volume under the cuff, against plain integration."""

import numpy as np
import pytest
from scipy.integrate import quad

from sim.body.artery import Segment, VolumeTable, area
from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.cuff.transmission import transmission
from sim.fields import Choice
from sim.measurement import measure
from sim.technique import Technique

LAWS = ("exponential", "arctangent")
PLACE_CM = np.array([[0.0, 4.0, 5.0, 7.0, 10.0]])


def under(share, place_cm, a, b, law=None):
    """Segments whose share (n, places) is the same at every cuff pressure, by these pressures."""

    def at(cuff_mmhg):
        shares, places = (
            np.repeat(np.asarray(values)[:, None], cuff_mmhg.shape[1], axis=1) for values in (share, place_cm)
        )
        return Segment(cuff_mmhg, shares, places, a, b, law)

    return at


def test_the_laws_are_those_that_a_subject_may_have():
    choice = Subject.LIMITS["artery_law"]
    assert isinstance(choice, Choice)
    assert tuple(choice.options) == LAWS


@pytest.mark.parametrize("law", LAWS)
def test_a_and_b_are_the_areas_gained_below_and_above_zero_and_the_compliance_there_is_one(law):
    a, b = 5.0, 18.0
    closed, at_zero, wide = area(np.array([-1e9, 0.0, 1e9]), a, b, law)
    assert (closed, at_zero, wide) == pytest.approx((0, a, a + b), abs=1e-6)
    for side in (-1e-5, 1e-5):
        slope = (area(np.array(side), a, b, law) - at_zero) / side
        assert slope == pytest.approx(1, abs=1e-4)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize(
    "share",
    # The second changes so little from place to place that the sums must not divide by it.
    [[1.0, 0.95, 0.9, 0.3, 0.01], [1.0119, 1.0131, 1.0128, 0.48, -0.011]],
    ids=["falling", "nearly level"],
)
def test_volume_is_the_area_summed_along_the_artery(law, share):
    a, b = 4.0, 20.0
    segment = under([share], PLACE_CM, np.array([a]), np.array([b]), np.array([law]))
    for artery, cuff in ((120, 60), (80, 100), (90, 150), (119.4, 95.4)):

        def at(z: float, artery: float = artery, cuff: float = cuff) -> float:
            return float(area(np.array(artery - np.interp(z, PLACE_CM[0], share) * cuff), a, b, law))

        exact = 2 * quad(at, 0, 10, points=[4, 5, 7], limit=200)[0]
        found = float(segment(np.array([[float(cuff)]])).volume(np.array([[artery]]))[0, 0, 0])
        assert found == pytest.approx(exact, rel=0.01)


@pytest.mark.parametrize("bladder", ["small adult", "adult", "large adult", "13.5x26"])
def test_the_pulse_in_volume_on_every_bladder(bladder):
    """With the share as coarse as the engine keeps it: between the same places by straight lines."""
    subject, technique, instrument = Subject().spread(1), Technique().spread(1), Instrument(bladder=bladder).spread(1)
    shares = transmission(subject, technique, instrument)

    def exact(z, artery, outside):
        return 2 * np.trapezoid(area(artery - outside, 4.0, 20.0), z)

    for cuff in (60.0, 95.0, 130.0):
        pressure = np.array([[cuff]])
        share, place = shares.share(pressure), shares.place_cm(pressure)
        segment = Segment(pressure, share, place, subject.artery_a_mmhg, subject.artery_b_mmhg)
        z = np.linspace(0, place[0, 0, -1], 20001)
        outside = np.interp(z, place[0, 0], share[0, 0]) * cuff
        found = np.diff(segment.volume(np.array([[80.0, 120.0]]))[0, :, 0])[0]
        assert found == pytest.approx(exact(z, 120, outside) - exact(z, 80, outside), rel=0.01)


def test_arms_of_both_laws_side_by_side_are_as_each_alone():
    share = np.repeat([[1.0, 0.95, 0.9, 0.3, 0.01]], 4, axis=0)
    a, b = np.array([3.0, 4.0, 5.0, 6.0]), np.array([15.0, 20.0, 25.0, 30.0])
    law = np.array(["exponential", "arctangent", "arctangent", "exponential"])
    artery, cuff = np.full((4, 3), [80.0, 100.0, 120.0]), np.full((4, 2), [100.0, 90.0])
    place_cm = np.repeat(PLACE_CM, 4, axis=0)
    together = under(share, place_cm, a, b, law)(cuff).volume(artery)
    for k in range(4):
        row = slice(k, k + 1)
        alone = under(share[row], place_cm[row], a[row], b[row], law[row])(cuff[row]).volume(artery[row])
        assert (together[row] == alone).all()


def test_the_table_of_volumes_follows_the_arctangent():
    share = np.array([[1.0, 0.95, 0.9, 0.3, 0.01]])
    segment = under(share, PLACE_CM, np.array([4.0]), np.array([20.0]), np.array(["arctangent"]))
    table = VolumeTable(segment, np.array([[75.0, 125.0]]), np.array([[40.0, 170.0]]))
    artery = np.array([[80.0, 120.0, 80.0, 120.0]], dtype=np.float32)
    cuff = np.array([[90.0, 90.0, 140.0, 140.0]], dtype=np.float32)
    table.follow(artery)
    found = np.diff(table.look_up(cuff)[0][0])[::2]
    exact = np.diff(segment(cuff[:, ::2]).volume(artery[:, :2])[0], axis=0)[0]
    assert found == pytest.approx(exact, rel=0.01)


def test_the_arctangent_has_the_longer_tails():
    """Ten widths below zero an artery of the exponential law holds e^-10 of its area at zero, the other 4 %."""
    exponential, arctangent = (float(area(np.array(-40.0), 4.0, 20.0, law)) for law in LAWS)
    assert exponential == pytest.approx(4 * np.exp(-10))
    assert arctangent == pytest.approx(4 * (1 - 2 / np.pi * np.arctan(5 * np.pi)))
    assert arctangent > 0.04 * 4


def test_another_law_gives_another_recording_and_a_reading():
    readings = [
        measure(Subject(artery_law=law), Technique(), Instrument(start_mmhg=190), ideal=True).reading for law in LAWS
    ]
    assert all(reading.ok.all() for reading in readings)
    assert abs(readings[0].dbp - readings[1].dbp) > 0.3

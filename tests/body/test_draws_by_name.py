"""Draws go by the name of what they are for: another order of the responses, or one more, changes no other draw."""

import numpy as np

from sim import Instrument, Subject, Technique, measure
from sim.body import responses as module
from sim.chance import Chance, Source


def drawn():
    return Chance.draw(Source(np.random.default_rng(5)), 4, 30, 100)


def test_the_order_of_the_responses_and_one_more_change_no_draw(monkeypatch):
    usual, before = module.responses(), drawn()
    other = {"new": next(iter(usual.values())), **dict(reversed(usual.items()))}
    monkeypatch.setattr("sim.chance.responses", lambda: other)
    after = drawn()
    assert list(after.response) != list(before.response)
    for field, values in before.response.items():
        np.testing.assert_array_equal(after.response[field], values)
    for name in (
        "first_beat",
        "breath",
        "rate",
        "beats",
        "early",
        "cloth",
        "bursts",
        "wave_places",
        "wave_sizes",
        "noise",
        "fill",
    ):
        np.testing.assert_array_equal(getattr(after, name), getattr(before, name))


def test_without_an_instrument_the_bladder_fits_the_arm_whoever_asks():
    arm = Subject(arm_circumference_cm=40)
    readings = [
        measure(arm, Technique(), device, ideal=True).reading
        for device in (None, Instrument(), Instrument(bladder="large adult"), Instrument(bladder="adult"))
    ]
    for other in readings[1:3]:
        np.testing.assert_array_equal(other.sbp, readings[0].sbp)
    assert readings[3].sbp != readings[0].sbp

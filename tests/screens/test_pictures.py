"""Drawings follow the fields, and their sentences say the numbers."""

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from sim import Instrument, Subject, Technique
from sim.screens import leads, pictures
from sim.screens.drawings import person, pose, section, shapes
from sim.teach.parse import PICTURES


@pytest.mark.parametrize("picture", PICTURES)
def test_every_picture_a_lesson_may_name_is_drawn(picture):
    inputs = (Subject(), Technique(), Instrument("13.5x26"))
    assert leads.leading(picture) in leads.VIEWS
    assert "<img" in pictures.seated(inputs, picture)
    assert "<img" in pictures.card(inputs, picture)


@pytest.mark.parametrize("height", [-40, -20, -5, 0, 5, 12, 30, 60])
@pytest.mark.parametrize("talking", ["no", "conversation", "stressful", "reading"])
def test_the_person_is_well_formed_at_any_height(height, talking):
    scene = pose.Scene(cuff_below_heart_cm=height, sleeve_mm=abs(height) / 10, talking=talking)
    drawn = shapes.svg(person.BOXES["whole"], person.body(scene))
    ElementTree.fromstring(drawn)
    assert "nan" not in drawn
    assert not re.search(r"\$\w", drawn)


def test_the_cuff_is_drawn_at_its_height_within_reach():
    for height in range(-20, 26, 5):
        arm = pose.pose(pose.Scene(cuff_below_heart_cm=height))
        assert (arm.cuff[1] - pose.HEART[1]) / pose.PX_PER_CM == pytest.approx(height, abs=1e-6)


def test_the_cuff_never_goes_up_when_the_lever_goes_down():
    cuffs = [pose.pose(pose.Scene(cuff_below_heart_cm=h)).cuff[1] for h in range(-40, 61)]
    assert np.all(np.diff(cuffs) >= -1e-9)


@pytest.mark.parametrize(("arm", "length"), [(16, 60), (29, 26), (60, 8)])
def test_across_the_arm_is_well_formed(arm, length):
    drawn = section.Section(arm, 12, length, cuff_turned_deg=180, sleeve_mm=10, slack_cm=8)
    ElementTree.fromstring(shapes.svg(section.BOX, section.body(drawn)))


def test_sentences_say_the_numbers():
    inputs = (
        Subject(arm_circumference_cm=40),
        Technique(cuff_below_heart_cm=7, sleeve_mm=3, talking="conversation", legs="knees"),
        Instrument("16x32"),
    )
    seated = pictures.seated(inputs, "arm-height")
    for part in ("7 cm below the heart", "3 mm thick", "ordinary conversation", "Not drawn: legs crossed at the knee"):
        assert part in seated
    across = pictures.across(inputs)
    assert "40 cm round" in across
    assert "40 % of that wide and 80 % of it long" in across


def test_text_in_a_drawing_is_no_markup():
    assert "<b>" not in shapes.text((0, 0), "<b>x</b>")
    assert '"><' not in shapes.image("<svg/>", '"><script>').replace('svg+xml,%3Csvg/%3E">', "")

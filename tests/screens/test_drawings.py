"""Each drawing by itself: joints hold together, nothing is cut off, and its numbers are those of the outside."""

import math
import re
from dataclasses import replace
from itertools import pairwise, product
from xml.etree import ElementTree

import numpy as np
import pytest

from sim import Instrument, Subject, Technique
from sim.explain import pictured
from sim.screens import pictures
from sim.screens.drawings import (
    fall,
    furniture,
    gauges,
    legs,
    person,
    person_words,
    pose,
    section,
    settling,
    shapes,
    symbols,
    visit,
)
from sim.setup import Setup
from sim.teach.lesson import load_all

LESSONS, _ = load_all()
POSTURES = list(product(("flat", "knees", "ankles"), ("supported", "unsupported", "exam-table"), ("sitting", "lying")))


def drawn(scene: pose.Scene, labels: bool = True) -> str:
    return shapes.svg(person.box(scene, "whole"), person.body(scene, labels))


@pytest.mark.parametrize("height", [-40, -20, -5, 0, 5, 12, 30, 60])
@pytest.mark.parametrize("talking", ["no", "conversation", "stressful", "reading"])
def test_the_person_is_well_formed_at_any_height(height, talking):
    for position in ("sitting", "lying"):
        scene = pose.Scene(height, sleeve_mm=abs(height) / 10, talking=talking, position=position)
        ElementTree.fromstring(drawn(scene))
        assert "nan" not in drawn(scene)
        assert not re.search(r"\$\w", drawn(scene))


@pytest.mark.parametrize(("crossed", "back", "position"), POSTURES)
def test_every_posture_is_well_formed_and_its_own(crossed, back, position):
    scene = pose.Scene(
        legs=crossed, back=back, position=position, deep_breaths_per_min=6, cold=True, other_arm="moving"
    )
    ElementTree.fromstring(drawn(scene))
    others = [pose.Scene(legs=a, back=b, position=c) for a, b, c in POSTURES if (a, b, c) != (crossed, back, position)]
    mine = pose.Scene(legs=crossed, back=back, position=position)
    if position == "sitting":
        assert drawn(mine) not in [drawn(other) for other in others]
    held = pose.Scene(legs=crossed, back=back, position=position, held_up=True)
    assert drawn(held) != drawn(mine)


@pytest.mark.parametrize("table", [legs.SITTING, legs.HANGING, legs.LYING])
def test_legs_are_as_long_in_every_pose(table):
    for pair in table.values():
        for leg in pair:
            assert 92 < math.dist(leg.hip, leg.knee) < 125
            assert 92 < math.dist(leg.knee, leg.ankle) < 128


def test_feet_hang_above_the_floor_only_from_the_examination_table():
    for crossed, on_floor in product(legs.SITTING, (True, False)):
        scene = pose.Scene(legs=crossed, back="supported" if on_floor else "exam-table")
        lowest = max(leg.ankle[1] for leg in legs.joints(scene)) + 20  # the sole
        assert (abs(lowest - furniture.floor_y(scene)) < 4) is on_floor


@pytest.mark.parametrize("position", ["sitting", "lying"])
@pytest.mark.parametrize("crease", [False, True])
def test_the_cuff_is_drawn_at_its_height_within_reach(position, crease):
    for height in range(-20, 26, 5):
        arm = pose.pose(pose.Scene(cuff_below_heart_cm=height, position=position, elbow_crease=crease))
        assert (arm.cuff[1] - pose.HEART[1]) / pose.PX_PER_CM == pytest.approx(height, abs=1e-6)


@pytest.mark.parametrize("position", ["sitting", "lying"])
def test_the_cuff_never_goes_up_when_the_lever_goes_down(position):
    cuffs = [pose.pose(pose.Scene(cuff_below_heart_cm=h, position=position)).cuff[1] for h in range(-40, 61)]
    assert np.all(np.diff(cuffs) >= -1e-9)


def test_the_heart_line_passes_through_the_heart_sitting_and_lying():
    for position in ("sitting", "lying"):
        assert pose.heart(pose.Scene(position=position))[1] == pose.HEART[1]


@pytest.mark.parametrize(("arm", "length"), [(16, 60), (29, 26), (60, 8)])
@pytest.mark.parametrize("wrinkle", [0, 0.3, 2])
@pytest.mark.parametrize("turned", [-180, -60, 0, 180])
def test_across_the_arm_is_well_formed(arm, length, wrinkle, turned):
    told = section.Section(arm, 12, length, cuff_turned_deg=turned, sleeve_mm=10, slack_cm=8, wrinkle_cm=wrinkle)
    ElementTree.fromstring(shapes.svg(section.BOX, section.body(told)))


def test_the_wrinkle_takes_its_width_out_of_the_bladder():
    def length(drawing: str, colour: str) -> float:
        """Degrees that the arcs of one colour go round."""
        total = 0.0
        for path in re.findall(rf'<path d="(M[^"]*A[^"]*)" fill="none" stroke="{colour}"', drawing):
            x = [tuple(map(float, p)) for p in re.findall(r"(?:M|0 0 1 )([-\d.]+) ([-\d.]+)", path)]
            angle = [math.atan2(py - 118, px - 118) for px, py in x]
            total += sum(math.degrees((b - a) % (2 * math.pi)) for a, b in pairwise(angle))
        return total

    smooth, creased = (section.Section(32, 13.5, 26, wrinkle_cm=w) for w in (0, 1.5))
    lost = length(section.body(smooth), shapes.CUFF_LIGHT) - length(section.body(creased), shapes.CUFF_LIGHT)
    assert lost == pytest.approx(360 * 1.5 / 32, abs=0.3)


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
def test_no_words_are_cut_off(lesson):
    """With 0.56 of its size for a letter's mean width, as sans-serif faces have."""
    for values in (lesson.correct, lesson.tempting):
        inputs = lesson.inputs(values)
        for name in pictures.drawn(inputs, lesson.picture):
            drawing = pictures.DRAWINGS[name]
            told = drawing.told(inputs)
            x, y, width, height = drawing.box(told, "whole")
            for left, right, base, said in _texts(drawing.body(told, True)):
                assert x - 2 <= left < right <= x + width + 2, (name, said)
                assert y <= base <= y + height, (name, said)


def _texts(body: str) -> list[tuple[float, float, float, str]]:
    """Left, right, baseline and words of each text that stands in no moved group."""
    found = []
    for element in ElementTree.fromstring(f"<svg>{body}</svg>").findall("text"):
        said, own = element.text or "", element.attrib
        at, wide = float(own["x"]), 0.56 * float(own["font-size"]) * len(said)
        left = at - {"start": 0, "middle": wide / 2, "end": wide}[own["text-anchor"]]
        found.append((left, left + wide, float(own["y"]), said))
    return found


def test_the_usual_rest_is_the_zero_of_its_curve():
    told = pictured.settling(Setup(Subject(), Technique(rest_min=5), Instrument()))
    assert told.here == (0, 0)
    none = pictured.settling(Setup(Subject(), Technique(rest_min=0), Instrument()))
    # Sala C, et al. Am J Hypertens 2006;19:713: a fall of 11.6/4.3 during 16 min, with half-times of 5.8 and 5.5 min.
    expected = [fall * (1 - 2 ** (-5 / t)) / (1 - 2 ** (-16 / t)) for fall, t in ((11.6, 5.8), (4.3, 5.5))]
    assert none.here == pytest.approx(expected)
    assert "+6.1/+2.3 mmHg" in settling.sentence(none)


def test_the_row_of_readings_has_the_published_falls():
    # CARLA study: 1.64/0.51 from the first to the second, 1.29/0.21 to the third.
    told = pictured.visit(Setup(Subject(), Technique(reading_number=1), Instrument()))
    assert -np.diff(told.sbp) == pytest.approx([1.64, 1.29])
    assert -np.diff(told.dbp) == pytest.approx([0.51, 0.21])
    assert "2.9/0.7 mmHg higher" in visit.sentence(told)


def test_how_far_the_cuff_moves_between_two_beats():
    subject = Subject(sbp=134, dbp=80, heart_rate=54)
    told = pictured.fall(Setup(subject, Technique(), Instrument(deflation_mmhg_per_s=8)))
    assert told.between_beats_mmhg == pytest.approx(8 * 60 / 54)
    assert "8.9 mmHg from one beat to the next" in fall.sentence(told)
    # 54 mmHg at 8 mmHg/s last 6.75 s, in which 54 beats a minute are 6.1.
    assert len(told.between) in (6, 7)
    slow = pictured.fall(Setup(subject, Technique(), Instrument(deflation_mmhg_per_s=2)))
    assert 22 <= len(slow.between) <= 26  # 27 s: 24.3


@pytest.mark.parametrize("course", ["deflating", "steps", "inflating"])
def test_the_cuff_goes_through_the_pulse_in_its_course(course):
    told = pictured.fall(Setup(Subject(), Technique(), Instrument(course=course)))
    ends = told.cuff(0), told.cuff(told.seconds)
    low, high = sorted(ends)
    assert low < told.dbp < told.sbp < high
    assert (ends[1] > ends[0]) is (course == "inflating")
    ElementTree.fromstring(shapes.svg(fall.BOX, fall.body(told)))


def test_the_gauges_show_what_a_calibration_would():
    inputs = Setup(Subject(sbp=132), Technique(), Instrument(zero_error_mmhg=4, gain_error_percent=5))
    told = pictured.gauges(inputs)
    assert told.shown_mmhg == pytest.approx([4, 56.5, 109, 161.5, 214])
    assert told.dial_mmhg == pytest.approx((132.4, 132.4 * 1.05 + 4))
    assert "+4.0 mmHg at 0 and by +14.0 at 200" in gauges.sentence(told)
    negative = pictured.gauges(Setup(Subject(), Technique(), Instrument(zero_error_mmhg=-4)))
    assert "−4" in gauges.sentence(negative)
    assert "-" not in gauges.sentence(negative)


def test_the_artery_is_drawn_between_closed_and_open():
    told = pictured.yielding(Setup(Subject(artery_b_mmhg=40), Technique(), Instrument()))
    assert 0 < min(told.area) < 0.02
    assert max(told.area) < 1
    assert np.all(np.diff(told.area) > 0)
    wide = np.interp(20, told.transmural_mmhg, told.area)
    assert wide < np.interp(20, told.transmural_mmhg, told.usual)  # it goes on yielding further up


def test_symbols_are_well_formed():
    for name in symbols.SYMBOLS:
        ElementTree.fromstring(symbols.symbol(name, (0, 0), pale=True))


def test_the_persons_sentence_names_what_is_drawn():
    scene = pose.Scene(back="exam-table", held_up=True, movement_mmhg=2.5, other_arm="moving", cold=True)
    said = person_words.sentence(scene)
    for part in ("examination table", "nothing under it", "2.5 mmHg", "other arm moves", "cold"):
        assert part in said


def test_who_is_there_and_when_it_is_are_drawn_and_said():
    alone = person.body(pose.Scene())
    said = {
        "company": ("silent", "says nothing"),
        "time_of_day": ("morning", "it is morning"),
        "season": ("winter", "it is winter"),
    }
    for field, (value, words) in said.items():
        scene = replace(pose.Scene(), **{field: value})  # type: ignore[arg-type]
        assert person.body(scene) != alone
        assert words in person_words.sentence(scene)


def test_text_in_a_drawing_is_no_markup():
    assert "<b>" not in shapes.text((0, 0), "<b>x</b>")
    assert '"><' not in shapes.image("<svg/>", '"><script>')

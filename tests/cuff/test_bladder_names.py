"""One name for one size of bladder, and the size in cm beside it, wherever a size is named."""

import re

import numpy as np
import pytest

from sim.cli import main
from sim.cuff.bladder import bladders, choose, fits, name_of, named, nearest, printed, size_cm
from sim.teach.lesson import load_all
from sim.teach.practice import case, cupboard

LESSONS, _ = load_all()


def options():
    return [(lesson, option) for lesson in LESSONS for lever in lesson.levers if lever.name == "bladder"
            for option in lever.options]  # fmt: skip


def test_a_name_is_one_size_and_a_size_has_one_name():
    sizes = [(b.width_cm, b.length_cm) for b in named()]
    assert len({b.name for b in named()}) == len(set(sizes)) == len(sizes) == 8


def test_the_guidelines_table_is_as_published_and_alone_says_what_fits():
    # Pickering TG, et al. Hypertension 2005;45:142-161, DOI 10.1161/01.HYP.0000150859.47929.8e.
    published = {(12, 22): (22, 26), (16, 30): (27, 34), (16, 36): (35, 44), (16, 42): (45, 52)}
    assert {(b.width_cm, b.length_cm): (b.arm_from_cm, b.arm_to_cm) for b in bladders()} == published
    assert set(choose(np.arange(20.0, 60.0))) == {b.name for b in bladders()}


def test_a_size_is_the_same_by_its_name_and_by_its_sides():
    for size in named():
        sides = f"{size.width_cm:g}x{size.length_cm:g}"
        assert size_cm(size.name) == size_cm(sides)
        assert name_of(sides) == size.name
        assert printed(sides) == size.printed


@pytest.mark.parametrize(("lesson", "option"), options(), ids=lambda each: getattr(each, "name", None))
def test_a_lessons_sizes_have_the_names_of_the_table_and_their_sides_beside_them(lesson, option):
    width, length = size_cm(option.value)
    assert f"{width:g} × {length:g} cm" in option.label
    if name := name_of(option.value):
        assert option.label == printed(option.value)
        assert option.label.startswith(name)


def test_a_lesson_that_names_a_size_says_its_sides_at_least_once_in_the_same_text():
    """In questions and cases: what was answered must be told without the lever's labels in sight."""
    for lesson in LESSONS:
        texts = [lesson.predict.question, *([lesson.case.question] if lesson.case else [])]
        for text in texts:
            if re.search(r"\b(regular|extra large|large|small) (cuff|one|size|bladder)\b", text):
                assert re.search(r"\d × \d", text), (lesson.name, text)


@pytest.mark.parametrize("given", ["regular", "13.5x26"])
def test_command_line_and_lessons_say_the_same_name(given, capsys):
    assert main(["measure", "--bladder", given, "--ideal"]) == 0
    assert "bladder regular, 13.5 x 26 cm" in capsys.readouterr().out


def test_practice_says_the_name_of_the_size_it_prints():
    said = case(1001).words[1]
    assert printed(str(case(1001).setup.instrument.bladder)) in said
    assert {b.name for b in cupboard()} <= {b.name for b in named()}


@pytest.mark.parametrize(
    ("sizes", "arm_cm", "best"),
    [
        (["small", "regular", "large"], 38, "large"),
        (["adult", "large adult"], 30, "adult"),
        (["adult", "large adult"], 36, "large adult"),
        (["regular"], 50, "regular"),
        (["small adult", "thigh"], 24, "small adult"),
    ],
)
def test_the_nearest_of_several_sizes(sizes, arm_cm, best):
    assert nearest(sizes, arm_cm) == best


@pytest.mark.parametrize("arm_cm", [22, 25, 29, 33, 38, 43, 50])
def test_the_nearest_size_fits_wherever_one_does(arm_cm):
    every = [b.name for b in named()]
    assert fits(np.array([nearest(every, arm_cm)]), np.array([arm_cm]))[0]

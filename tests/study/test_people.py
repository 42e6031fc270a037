"""The people of a study by name, and mixed."""

import numpy as np
import pytest

from sim.cli import main
from sim.fields import FieldError
from sim.files.dataset import read_dataset
from sim.study.cohort import cohort
from sim.study.people import PEOPLE, draw, draw_technique, least
from sim.study.plan import Study
from sim.technique import Technique


@pytest.mark.parametrize("name", PEOPLE)
def test_every_name_draws_so_many_people_and_the_same_ones_again(name):
    one, again = (draw(name, 60, np.random.default_rng(4)) for _ in range(2))
    assert one.size == 60
    for field in one.LIMITS:
        assert np.array_equal(getattr(one, field), getattr(again, field))


def test_each_is_as_its_name_says():
    rng = np.random.default_rng(5)
    assert draw("large-arms", 50, rng).arm_circumference_cm.min() >= 37
    assert set(draw("irregular", 50, rng).rhythm) == {"atrial-fibrillation"}
    assert set(draw("early-beats", 50, rng).rhythm) == {"early-beats"}
    low = draw("low-pulse-pressure", 500, rng)
    assert (low.sbp - low.dbp).max() < 35
    everybody = cohort(4000, rng)
    assert 0.02 < (everybody.sbp - everybody.dbp < 35).mean() < 0.15  # rare, and not drawn for ever


def test_several_mix_in_equal_parts():
    mixed = draw("population,irregular,large-arms", 90, np.random.default_rng(6))
    assert mixed.size == 90
    assert (mixed.rhythm[30:60] == "atrial-fibrillation").all()
    assert (mixed.arm_circumference_cm[60:] >= 37).all()
    assert (mixed.arm_circumference_cm[:30] < 37).any()


@pytest.mark.parametrize("name", ["", "giants", "population,", "irregular,irregular"])
def test_what_is_no_name_is_refused(name):
    with pytest.raises(FieldError, match=r"people = .*: must be one of population, standard, large-arms, irregular"):
        Study(100, people=name)


def test_a_mix_with_the_standards_people_needs_enough_of_them():
    assert least("standard,irregular") == 80
    with pytest.raises(FieldError, match="subjects = 79: must be a whole number from 80"):
        Study(79, people="standard,irregular")


def test_recordings_of_any_people(tmp_path, capsys):
    file = tmp_path / "train.npz"
    assert main(["recordings", str(file), "--subjects", "4", "--people", "population,irregular"]) == 0
    assert read_dataset(file).inputs["subject.rhythm"].tolist()[2:] == ["atrial-fibrillation"] * 2
    assert main(["recordings", str(file), "--people", "giants"]) == 2
    assert "--people 'giants': must be one of population" in capsys.readouterr().err
    assert main(["recordings", str(file), "--subjects", "10", "--people", "standard"]) == 2
    assert "--subjects 10: must be at least 40 people" in capsys.readouterr().err


def test_people_who_move_bring_their_technique():
    given, rng = Technique(slack_cm=2), np.random.default_rng(8)
    how = draw_technique("irregular,moving,population", 900, rng, given)
    moving = slice(300, 600)
    assert 0.5 <= how.movement_mmhg[moving].min() < 0.7
    assert 3.8 < how.movement_mmhg[moving].max() <= 4
    assert set(how.movement[moving]) == {"jolts", "tremor", "shivering", "arm"}
    assert (np.delete(how.movement_mmhg, np.r_[moving]) == 0).all()
    assert (how.slack_cm == 2).all()


def test_where_nobody_moves_nothing_is_drawn():
    rng = np.random.default_rng(8)
    how = draw_technique("population,irregular", 10, rng, Technique(movement_mmhg=1))
    assert (how.movement_mmhg == 1).all()
    assert rng.random() == np.random.default_rng(8).random()


def test_a_study_of_people_who_move():
    """Nobody else moves, and those who do are read worse."""
    table = Study(80, people="population,moving", seed=3, readings=1).measure(0)
    failed = ~table.ok
    assert failed[table["subject"] < 40].mean() < 0.1
    assert failed[table["subject"] >= 40].mean() > 0.3


def test_recordings_of_people_who_move(tmp_path):
    file = tmp_path / "train.parquet"
    assert main(["recordings", str(file), "--subjects", "6", "--people", "population,moving", "--labels"]) == 0
    data = read_dataset(file)
    assert (data.inputs["technique.movement_mmhg"] > 0).tolist() == [False] * 3 + [True] * 3
    assert data.labels is not None
    assert data.labels.movement.any(axis=1).tolist() == [False] * 3 + [True] * 3

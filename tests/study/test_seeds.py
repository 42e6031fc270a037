"""Who calibrates, who trains and who scores are never the same people, whatever the seed."""

from pathlib import Path

import numpy as np
import pytest

from sim.cli import main
from sim.fields import FieldError
from sim.files.dataset import read_dataset
from sim.study import stress
from sim.study.axes import axis
from sim.study.calibrate import PEOPLE as CALIBRATED
from sim.study.cohort import cohort
from sim.study.people import PEOPLE, draw
from sim.study.plan import Study
from sim.study.reference import reference_cohort
from sim.study.seeds import CALIBRATION_SEEDS, LARGEST_SEED, MAP, STUDY, TRIAL, stream, training_generator

ROOT = Path(__file__).parents[2]
KINDS = tuple(PEOPLE)
ANY = np.random.default_rng(1).integers(0, LARGEST_SEED, 300).tolist()
SEEDS = sorted({*range(100), *CALIBRATION_SEEDS[:100], 2**31, 2**32 - 1, 2**32, 2**32 + 1, LARGEST_SEED, *ANY})


def state(rng):
    """Where a generator begins, 256 bits: two that begin alike draw alike."""
    found = rng.bit_generator.state["state"]
    return found["state"], found["inc"]


def test_no_two_streams_begin_alike():
    """Training, maps, trials, five chunks of a study and plain seeds, 505 of them; with children, which draw people."""
    made = [training_generator(seed) for seed in SEEDS]
    made += [stream(seed, purpose) for seed in SEEDS for purpose in (MAP, TRIAL)]
    made += [stream(seed, STUDY, chunk) for seed in SEEDS for chunk in range(5)]
    made += [np.random.default_rng(seed) for seed in SEEDS]
    states = [state(each) for rng in made for each in (rng, *rng.spawn(2))]
    assert len(SEEDS) == 505
    assert len(set(states)) == len(states) == 27 * 505


def test_a_purpose_has_its_number_in_one_place():
    """Nobody else makes a stream of a seed for people, which could then be somebody's who trains."""
    parts = [ROOT / "sim" / name for name in ("study", "commands", "screens", "measurement.py", "files")]
    files = [file for part in parts for file in (part.rglob("*.py") if part.is_dir() else [part])]
    assert len(files) > 100
    assert [file.name for file in files if "spawn_key=" in file.read_text(encoding="utf-8")] == ["seeds.py"]


@pytest.fixture(scope="module")
def trained():
    """True pressures of people to train on, every kind of people there is, over many seeds."""
    seeds = [*SEEDS[::10], *CALIBRATION_SEEDS[:5], LARGEST_SEED]
    asked = [(KINDS[k % len(KINDS)], seed) for k, seed in enumerate(seeds)] + [("population", seed) for seed in seeds]
    return {value for name, seed in asked for value in draw(name, 40, training_generator(seed)).sbp.tolist()}


@pytest.mark.parametrize("people", KINDS)
def test_nobody_who_trains_scores(trained, people, monkeypatch):
    """As a study draws them: whoever reads the recordings gets the people of the same seeds."""
    seeds = [seed for seed in SEEDS[::20] if seed not in CALIBRATION_SEEDS] + [LARGEST_SEED]
    scored: set[float] = set()
    monkeypatch.setattr("sim.study.plan.measured", lambda who, *_, **__: scored.update(who.sbp.tolist()))
    for seed in seeds:
        Study(40, seed=seed, readings=1, people=people).measure(0)
    assert len(scored) > 0.9 * 40 * len(seeds)
    assert not scored & trained


def test_nobody_who_trains_is_on_a_map_or_has_calibrated(trained, monkeypatch):
    seen, anything = [], Study(1, readings=1).measure(0)

    def measured(who, *_, **__):
        seen.append(who)
        return anything

    monkeypatch.setattr(stress, "measured", measured)
    axes = axis("heart_rate", (60.0,)), axis("slack_cm", (0.0,))
    for seed in [seed for seed in SEEDS[::10] if seed not in CALIBRATION_SEEDS]:
        stress.stress("fixed-ratio", *axes, seed=seed, people=40)
    mapped = {value for who in seen for value in who.sbp.tolist()}
    calibrated = set()
    for seed in CALIBRATION_SEEDS[:5]:
        for group, n in ((reference_cohort, CALIBRATED), (cohort, 500)):
            calibrated |= set(group(n, np.random.default_rng(seed)).sbp.tolist())
    assert len(mapped) > 1000
    assert len(calibrated) > 5000
    assert not trained & (mapped | calibrated)


def test_the_command_draws_from_the_stream_of_training(tmp_path, capsys):
    file = tmp_path / "train.npz"
    assert main(["recordings", str(file), "--subjects", "3", "--seed", "20000"]) == 0
    expected = draw("population", 3, training_generator(20_000))
    assert read_dataset(file).truth.resting.sbp.tolist() == expected.sbp.tolist()
    capsys.readouterr()
    for seed in ("-1", str(LARGEST_SEED + 1)):
        assert main(["recordings", str(file), "--seed", seed]) == 2
        error = capsys.readouterr().err
        assert f"--seed {seed}: must be a whole number from 0 to {LARGEST_SEED}" in error
        assert error.count("\n") == 1


def test_another_seed_trains_on_other_people():
    one, other = (draw("population", 200, training_generator(seed)).sbp.tolist() for seed in (1, 2))
    assert not set(one) & set(other)


@pytest.mark.parametrize("seed", [True, 1.0, "1", None])
def test_a_seed_is_a_whole_number(seed):
    with pytest.raises(FieldError, match=r"seed = .*: must be a whole number from 0"):
        training_generator(seed)


def test_a_generator_of_training_scores_nobody():
    from sim.study.agreement import agreement

    rng = training_generator(1)
    people = cohort(40, rng)
    for given in (rng, rng.spawn(1)[0]):
        with pytest.raises(FieldError, match="recordings to train on: must be another"):
            agreement("fixed-ratio", people, given)

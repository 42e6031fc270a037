"""Who calibrates, who trains and who scores are never the same people, whatever the seed."""

import numpy as np
import pytest

from sim.cli import main
from sim.fields import FieldError
from sim.files.dataset import read_dataset
from sim.study import stress
from sim.study.calibrate import PEOPLE as CALIBRATED
from sim.study.cohort import cohort
from sim.study.people import PEOPLE, draw
from sim.study.plan import Study
from sim.study.reference import reference_cohort
from sim.study.seeds import CALIBRATION_SEEDS, LARGEST_SEED, MAP, STUDY, stream, training_generator

KINDS = tuple(PEOPLE)
ANY = np.random.default_rng(1).integers(0, LARGEST_SEED, 300).tolist()
SEEDS = sorted({*range(100), *CALIBRATION_SEEDS[:100], 2**31, 2**32 - 1, 2**32, 2**32 + 1, LARGEST_SEED, *ANY})


def state(rng):
    """Where a generator begins, 256 bits: two that begin alike draw alike."""
    found = rng.bit_generator.state["state"]
    return found["state"], found["inc"]


def test_no_two_streams_begin_alike():
    """Training, maps, five chunks of a study and calibration, over 505 seeds, and the generators of plain seeds."""
    states = [state(training_generator(seed)) for seed in SEEDS]
    states += [state(stream(seed, MAP)) for seed in SEEDS]
    states += [state(stream(seed, STUDY, chunk)) for seed in SEEDS for chunk in range(5)]
    states += [state(np.random.default_rng(seed)) for seed in SEEDS]
    assert len(SEEDS) == 505
    assert len(set(states)) == len(states) == 8 * 505


@pytest.fixture(scope="module")
def trained():
    """True pressures of people to train on, every kind of people there is, over many seeds."""
    seeds = [*SEEDS[::10], *CALIBRATION_SEEDS[:5], LARGEST_SEED]
    found = [
        draw(name, 40, training_generator(seed)) for k, seed in enumerate(seeds) for name in [KINDS[k % len(KINDS)]]
    ]
    found += [draw("population", 40, training_generator(seed)) for seed in seeds]
    return {round(value, 9) for people in found for value in people.sbp.tolist()}


@pytest.mark.parametrize("people", KINDS)
def test_nobody_who_trains_scores(trained, people, monkeypatch):
    """As a study draws them: whoever reads the recordings gets the people of the same seeds."""
    seeds = [seed for seed in SEEDS[::20] if seed not in CALIBRATION_SEEDS] + [LARGEST_SEED]
    scored = set()
    for seed in seeds:
        study = Study(40, seed=seed, readings=1, people=people)
        monkeypatch.setattr("sim.study.plan.measured", lambda who, *_, **__: who)
        scored |= set(study.measure(0).sbp.tolist())
    assert len(scored) > 0.9 * 40 * len(seeds)
    assert not scored & trained


def test_nobody_who_trains_is_on_a_map_or_has_calibrated(trained, monkeypatch):
    seen, anything = [], Study(1, readings=1).measure(0)
    monkeypatch.setattr(stress, "measured", lambda who, *_, **__: seen.append(who) or anything)
    for seed in SEEDS[:20]:
        stress.stress("fixed-ratio", stress.axis("heart_rate", (60.0,)), stress.axis("slack_cm", (0.0,)), seed=seed)
    mapped = {value for who in seen for value in who.sbp.tolist()}
    calibrated = set()
    for seed in CALIBRATION_SEEDS[:5]:
        for group in (
            reference_cohort(CALIBRATED, np.random.default_rng(seed)),
            cohort(500, np.random.default_rng(seed)),
        ):
            calibrated |= {round(value, 9) for value in group.sbp.tolist()}
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

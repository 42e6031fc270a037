"""Trials played against what scipy says of them, and what the command prints."""

import re

import numpy as np
import pytest
from scipy import integrate, stats

from sim.cli import main
from sim.estimate.named import resolved
from sim.fields import FieldError
from sim.results import Reading
from sim.study.listener import listened
from sim.study.people import draw
from sim.study.standard import passing, sd_limit
from sim.study.trial import Device, draws, play, play_as, trials, truly
from sim.study.trial_pool import MOST_SPAN_MMHG, pool
from sim.study.trial_tables import as_it_is_table, in_words, luck_table, pool_table

TRIALS = 1500
# Three standard errors of a share near one half.
NOISE = 3 * 0.5 / np.sqrt(TRIALS)


@pytest.fixture(scope="module")
def drawn():
    return draws(TRIALS, np.random.default_rng(41))


@pytest.fixture(scope="module")
def measured_pool():
    rng = np.random.default_rng(42)
    return pool("fixed-ratio", resolved("fixed-ratio"), draw("standard", 120, rng), rng)


def steady(sd, people=20_000, seed=43):
    """Errors of people who err by the same in each of three readings, (2, people, 3) [mmHg], normal with this SD."""
    found = np.random.default_rng(seed).standard_normal((2, people))
    found = (found - found.mean(axis=1, keepdims=True)) / found.std(axis=1, keepdims=True)
    return np.repeat(sd * found[:, :, None], 3, axis=2)


def passes_2(bias, sd, n=85):
    """Probability of criterion 2 for normal mean errors: mean normal, variance chi-square, independent."""

    mean = np.linspace(-5, 5, 801)
    density = stats.norm.pdf(mean, bias, sd / np.sqrt(n))
    return integrate.trapezoid(density * stats.chi2.cdf((n - 1) * (sd_limit(mean) / sd) ** 2, n - 1), mean)


@pytest.mark.parametrize(("bias", "sd", "known"), [(0, 6.95, 0.49), (0, 6.5, 0.80), (2.5, 6.0, None), (0, 8.0, None)])
def test_trials_pass_as_often_as_chi_square_says(bias, sd, known, drawn):
    expected = passes_2(bias, sd)
    found = play(steady(sd) + bias, drawn)
    assert found.criterion_2 == pytest.approx(expected, abs=NOISE)
    if known is not None:
        assert expected == pytest.approx(known, abs=0.01)


def test_an_algorithm_made_worse_is_a_device_of_the_sd_asked_for(drawn):
    found = play_as(steady(4.0), steady(4.0), 0.0, 6.5, drawn)
    assert found is not None
    assert found.criterion_2 == pytest.approx(passes_2(0, 6.5), abs=NOISE)
    assert found.together == pytest.approx(passes_2(0, 6.5) ** 2, abs=NOISE)  # extra errors of both are independent
    shifted = play_as(steady(4.0) - 3, steady(4.0) - 3, 2.5, 6.0, drawn)
    assert shifted is not None
    assert shifted.passed == pytest.approx(passes_2(2.5, 6.0), abs=NOISE)


def test_scatter_within_people_counts_as_in_the_probability_of_passing(drawn):
    errors = steady(6.0) + np.random.default_rng(44).normal(0, 4, (2, 20_000, 3))
    found, expected = play(errors, drawn), passing(0.0, 6.0, 4.0)
    assert found.criterion_1 == pytest.approx(expected.criterion_1, abs=NOISE)
    assert found.passed == pytest.approx(expected.both, abs=NOISE)


def test_what_observers_add_makes_a_trial_harder(measured_pool, drawn):
    exact, heard = (trials(measured_pool, against, (0.0,), (6.5,), drawn) for against in ("at_measurement", "listener"))
    (luck,), (harder,) = exact.cells[0], heard.cells[0]
    rng = np.random.default_rng(42)  # the same people and observers as in the pool
    people = draw("standard", 120, rng)
    ears = listened(people, 3, rng)
    off = ears.reference.mean(axis=2) - np.stack([people.sbp, people.dbp]) - ears.lasting
    still = (ears.span <= np.array(MOST_SPAN_MMHG)[:, None]).all(axis=0)
    assert measured_pool.unread == 0
    own = measured_pool.exact.mean(axis=2)
    added = (own - off)[:, still].var(axis=1) - own.var(axis=1)
    assert luck is not None
    assert harder is not None
    assert luck.criterion_2 == pytest.approx(passes_2(0, 6.5), abs=0.06)  # the algorithm's errors are not quite normal
    for p in range(2):
        assert harder.criterion_2[p] == pytest.approx(passes_2(0, np.sqrt(6.5**2 + added[p])), abs=0.06)
    assert (harder.passed < luck.passed - 0.03).all()
    assert luck.device.good


def test_who_is_right_about_the_artery_is_not_right_about_the_listener(measured_pool, drawn):
    exact, heard = (play(measured_pool.errors(against), drawn) for against in ("at_measurement", "listener"))
    assert exact.device.good
    assert exact.together > 0.95
    assert not heard.device.good
    assert heard.together < 0.05


def test_what_is_true_of_a_device_says_whether_it_is_good():
    for bias, sd, all_, good in ((0, 6.9, 7.5, True), (0, 7.0, 7.5, False), (0, 6.9, 8.1, False), (5.1, 1, 1, False)):
        found = Device(np.full(2, float(bias)), np.full(2, float(sd)), np.full(2, float(all_)))
        assert bool(found.good) is good
    one_bad = Device(np.array([0.0, 9.0]), np.ones(2), np.ones(2))
    assert not one_bad.good


def test_people_whose_reference_wavers_are_left_out(measured_pool):
    rng = np.random.default_rng(42)
    people = draw("standard", 120, rng)
    span = listened(people, 3, rng).span
    over = (span[0] > MOST_SPAN_MMHG[0]) | (span[1] > MOST_SPAN_MMHG[1])
    assert 0 < measured_pool.wavering <= over.sum()
    assert measured_pool.heard.shape[1] + measured_pool.wavering + measured_pool.unread == 120
    assert measured_pool.exact.shape[1] + measured_pool.unread == 120


def test_an_algorithm_cannot_be_made_better(measured_pool, drawn):
    own = truly(measured_pool.exact).sd_of_means.max()
    assert play_as(measured_pool.exact, measured_pool.exact, 0.0, own - 0.1, drawn) is None
    shown = luck_table(trials(measured_pool, "at_measurement", (0.0,), (own - 0.1, own + 0.1), drawn))
    assert shown.rows[0][1] == "-"
    assert re.fullmatch(r"\d+ / \d+ / \d+", shown.rows[1][1])


def test_who_reads_too_few_is_not_tried():
    def refuses(recording):
        n = len(recording)
        none = np.full(n, np.nan)
        return Reading(none, none, none, none, np.full(n, "no reading, as always", dtype=object))

    with pytest.raises(FieldError, match="must be one that reads at least 85% of the people every time"):
        pool("refuses", refuses, draw("population", 5, np.random.default_rng(1)), np.random.default_rng(1))


def test_an_unknown_reference_is_refused(measured_pool):
    with pytest.raises(FieldError, match="must be one of at_measurement, listener"):
        measured_pool.errors("resting")


def test_the_tables_mark_bad_devices_and_say_who_had_luck(measured_pool, drawn):
    found = trials(measured_pool, "at_measurement", (0.0, 5.0), (6.0, 6.95), drawn)
    cells = [row[1:] for row in luck_table(found).rows]
    assert [[cell.endswith("*") for cell in row] for row in cells] == [[False, True], [True, True]]
    assert "bad device with most luck, bias 0 with SD 6.95 mmHg" in in_words(found)
    assert "good device with least luck, bias 0 with SD 6 mmHg" in in_words(found)
    assert as_it_is_table((found,)).rows[0][3] == "yes"
    assert pool_table(measured_pool).rows[0] == ("people measured", "120")


def test_the_command_prints_both_references_and_the_same_again(capsys):
    line = ["trial", "fixed-ratio", "--trials", "100", "--pool", "85", "--bias", "0,-3", "--sd", "6.5"]
    assert main(line) == 0
    printed = capsys.readouterr().out
    said = " ".join(printed.split())
    for words in ("against the artery", "against two observers", "bias −3", "as we understand ISO 81060-2", "seed 1"):
        assert words in said
    assert "No medical device" in said
    assert main(line) == 0
    assert capsys.readouterr().out == printed


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ("fixed-ratio --trials 5", "--trials 5: must be from 100 to 20000"),
        ("fixed-ratio --pool 84", "--pool 84: must be from 85 to 5000"),
        ("fixed-ratio --bias 0,x", "--bias 0,x: must be up to 8 numbers from -20 to 20 with commas between"),
        ("fixed-ratio --sd 0", "--sd 0: must be up to 8 numbers from 0.1 to 30 with commas between"),
        ("fixed-ratio --sd 1,2,3,4,5,6,7,8,9", "must be up to 8 numbers"),
        ("fixed-ratio --seed 20001", "--seed 20001: must be outside 20000 to 29999"),
        ("fixed-ratio --with slack_cm=99", "--with slack_cm=99: must be from 0 to 8 cm"),
        ("nothing", "nothing: must be"),
    ],
)
def test_a_wrong_option_gets_one_line(arguments, words, capsys):
    assert main(["trial", *arguments.split()]) == 2
    out, error = capsys.readouterr()
    assert out == ""
    assert error.count("\n") == 1
    assert words in error

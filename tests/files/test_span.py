"""Which part of a recording is read: the fall in a whole cycle is found; whole falls are left whole."""

import numpy as np
import pytest

from sim.body.subject import Subject
from sim.cli import main
from sim.cuff.instrument import Instrument
from sim.estimate.door import read
from sim.estimate.fixed_ratio import FixedRatio
from sim.fields import FieldError
from sim.files.csv_file import write_csv
from sim.files.span import cut, longest_fall
from sim.measurement import measure
from sim.results import Recording
from sim.study.cohort import cohort
from sim.technique import Technique

HZ = 100
WAIT_S, FILL_S, RELEASE_S = 2, 6, 4


def one(values):
    return Recording(HZ, np.asarray(values)[None, :], np.array([len(values)]))


def cycle(fall, rng):
    """A whole cycle round a fall: waiting, filling evenly, the fall, and the valve open (time constant 0.6 s)."""
    filling = np.linspace(0, fall[0], FILL_S * HZ) + rng.normal(0, 0.3, FILL_S * HZ)
    release = fall[-1] * np.exp(-np.arange(RELEASE_S * HZ) / HZ / 0.6)
    return np.concatenate([np.zeros(WAIT_S * HZ), filling, fall, release])


@pytest.fixture(scope="module")
def falls():
    rng = np.random.default_rng(3)
    made = measure(cohort(30, rng), Technique(), Instrument(), rng=rng, n=30).recording
    return [made.recorded(row) for row in range(30)]


def test_a_whole_cycle_reads_as_its_fall_alone(falls):
    """To the 1 mmHg of a display; what is left comes from where the recording begins."""
    rng = np.random.default_rng(4)
    for fall in falls:
        whole = one(cycle(fall, rng))
        span = longest_fall(whole)
        assert span is not None
        assert abs(span.start_s - WAIT_S - FILL_S) < 1
        alone, found = (read(FixedRatio(), r, "it") for r in (one(fall), cut(whole, span.start_s, span.end_s)))
        assert found.sbp[0] == pytest.approx(alone.sbp[0], abs=1)
        assert found.dbp[0] == pytest.approx(alone.dbp[0], abs=1)


def test_a_fall_alone_is_read_whole(falls):
    assert all(longest_fall(one(fall)) is None for fall in falls)


@pytest.mark.parametrize("course", ["inflating", "steps"])
def test_other_courses_are_read_whole(course):
    made = measure(Subject(), Technique(), Instrument(course=course), rng=np.random.default_rng(1))
    assert longest_fall(made.recording) is None


def test_gaps_do_not_end_the_fall(falls):
    values = cycle(falls[0], np.random.default_rng(4))
    values[1500:1510] = np.nan
    found = longest_fall(one(values))
    assert found is not None
    assert found.end_s > 25


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        (-1, None, "from = -1: must be"),
        (50, None, "from"),
        (2, 1, "to"),
        (0, 99, "at most 4 s"),
        (1, 1.005, "two samples"),
    ],
)
def test_a_part_must_be_inside(start, end, words):
    with pytest.raises(FieldError, match=words):
        cut(one(np.linspace(180, 100, 4 * HZ)), start, end)


def test_the_command_says_which_part_it_read(falls, tmp_path, capsys):
    file = tmp_path / "walk.csv"
    write_csv(file, one(cycle(falls[0], np.random.default_rng(4))))
    assert main(["read", str(file)]) == 0
    found = capsys.readouterr().out
    assert "the longest fall of the pressure, 8." in found
    assert main(["read", str(file), "--from", "8.5"]) == 0
    assert "longest fall" not in capsys.readouterr().out
    assert main(["read", str(file), "--from", "900"]) == 2
    assert "--from 900: must be from 0 to" in capsys.readouterr().err
    assert main(["read", str(file), "--to", "soon"]) == 2
    assert "--to 'soon': must be a number of seconds" in capsys.readouterr().err
    assert main(["read", str(file), "--signal", "ecg"]) == 2
    assert "has no signal 'ecg', only 0 pressure_mmhg" in capsys.readouterr().err


def test_kpa_under_the_name_of_mmhg_is_suspected_aloud(tmp_path, capsys):
    rows = "".join(f"{k / 100},{24 - k / 200}\n" for k in range(3000))
    (tmp_path / "odd.csv").write_text("time_s,pressure_mmhg\n" + rows)
    assert main(["read", str(tmp_path / "odd.csv")]) == 0
    assert "Is it kPa? 24 kPa are 180 mmHg." in capsys.readouterr().out

"""One door to every estimator: whoever calls one keeps the recording safe and gets a reading, or one clear line."""

import ast
import io
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim import FieldError, Subject, breakdown, measure
from sim.cli import main
from sim.estimate.checked import NO_REASON, NOT_ABOVE, EstimatorError
from sim.estimate.door import read
from sim.estimate.fixed_ratio import FixedRatio
from sim.estimate.named import NAMED
from sim.explain.playback import playback
from sim.explain.systematic import systematic
from sim.results import Reading, Recording, is_reading
from sim.study.agreement import agreement
from sim.study.cohort import cohort
from sim.study.repeated_readings import measured

SIM = Path(__file__).resolve().parent.parent.parent / "sim"


def rng(seed=1):
    return np.random.default_rng(seed)


def reading(recording, sbp=120.0, dbp=80.0, reason="", **more):
    n = len(recording)
    sbp, dbp, mean, rate = (np.full(n, value) for value in (sbp, dbp, 93.0, 70.0))
    return Reading(sbp, dbp, mean, rate, np.full(n, reason), **more)


def zeroing(recording):
    recording.pressure_mmhg[:] = 0
    return FixedRatio()(recording)


def shortening(recording):
    recording.samples[:] = 0
    return FixedRatio()(recording)


# Everything that calls an estimator, each with one of somebody's own.
CALLERS: dict[str, Callable[[Any], Any]] = {
    "measure": lambda estimator: measure(Subject(), rng=rng(), n=2, estimator=estimator).reading,
    "breakdown": lambda estimator: breakdown(Subject(), rng=rng(), n=2, estimator=estimator).result.reading,
    "playback": lambda estimator: playback(Subject(), rng=rng(), estimator=estimator).result.reading,
    "systematic": lambda estimator: systematic(Subject(), rng=rng(), n=4, estimator=estimator),
    "measured": lambda estimator: measured(cohort(4, rng()), {"mine": estimator}, rng(2)),
    "agreement": lambda estimator: agreement(estimator, cohort(4, rng()), rng(2)).counts,
}


@pytest.mark.parametrize("caller", CALLERS)
@pytest.mark.parametrize("spoils", [zeroing, shortening])
def test_no_estimator_can_spoil_the_recording(caller, spoils):
    with pytest.raises(EstimatorError, match=r"failed: ValueError: .*work on a copy \(test_door.py, line \d+\)"):
        CALLERS[caller](spoils)


@pytest.mark.parametrize("caller", CALLERS)
@pytest.mark.parametrize("answer", [5, None, "120/80", (120, 80)])
def test_what_is_no_reading_is_told_wherever_an_estimator_is_called(caller, answer):
    with pytest.raises(EstimatorError, match="must give a Reading with sbp, dbp, map, pulse_rate and reason; "):
        CALLERS[caller](lambda recording: answer)


@pytest.mark.parametrize("caller", ["measure", "breakdown", "playback"])
@pytest.mark.parametrize(
    ("sbp", "dbp", "reason", "said"),
    [
        (np.nan, np.nan, "", NO_REASON),
        (120.0, np.nan, "", NO_REASON),
        (np.inf, 80.0, "", NO_REASON),
        (120.0, 80.0, "the arm\n moved ", "the arm moved"),
        (80.0, 120.0, "", NOT_ABOVE),
        (80.0, 80.0, "", NOT_ABOVE),
        (np.nan, 80.0, "   ", NO_REASON),
    ],
)
def test_there_is_a_reading_or_a_reason_and_never_both(caller, sbp, dbp, reason, said):
    found = CALLERS[caller](lambda recording: reading(recording, sbp, dbp, reason))
    assert not found.ok.any()
    assert set(found.reason) == {said}
    for name in ("sbp", "dbp", "map", "pulse_rate"):
        assert np.isnan(getattr(found, name)).all()


def test_a_breakdown_of_a_reading_that_is_none_says_why():
    found = breakdown(Subject(), rng=rng(), estimator=lambda recording: reading(recording, np.nan, np.nan))
    assert (found.contributions, found.reason) == ((), NO_REASON)


def test_ok_means_the_same_on_a_reading_and_in_a_study():
    given = ([120.0, 120, np.nan, 80, np.inf], [80.0, 80, 80, 120, 80], ["", "no", "", "", ""])
    sbp, dbp, reason = (np.array(values) for values in given)
    assert is_reading(sbp, dbp, reason).tolist() == [True, False, False, False, False]
    assert Reading(sbp, dbp, sbp, sbp, reason).ok.tolist() == [True, False, False, False, False]
    table = measured(cohort(4, rng()), {"mine": lambda r: reading(r, 80, 120)}, rng(2), readings=1)
    assert not table.ok.any()
    assert set(table["reason"]) == {NOT_ABOVE}


def test_a_reading_stays_as_it_was():
    recording = measure(Subject(sbp=[110, 150]), rng=rng()).recording
    for name, estimator in NAMED.items():
        plain, through = estimator(recording), read(name, recording)
        for field in ("sbp", "dbp", "map", "pulse_rate", "reason", "sbp_sd", "dbp_sd"):
            np.testing.assert_array_equal(getattr(through, field), getattr(plain, field))
        assert through.oscillogram is not None
        assert plain.oscillogram is not None
        np.testing.assert_array_equal(through.oscillogram.amplitude_mmhg, plain.oscillogram.amplitude_mmhg)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"sbp": np.array([120.0])}, r"must give sbp of shape \(2,\), one for each recording, not of shape \(1,\)"),
        ({"map": [[90], [90, 91]]}, "must give map of shape .* not of shape with rows of different lengths"),
        ({"dbp": np.array(["80", "81"])}, "dbp must be numbers, not <U2"),
        ({"reason": np.array([0, 0])}, r"reason must be texts \(\"\" where there is a reading\), not int64"),
        ({"reason": ""}, r"must give reason of shape \(2,\)"),
        ({"sbp_sd": np.array([1.0, -1.0])}, "sbp_sd must be 0 or more, not -1"),
        ({"dbp_sd": np.array(["a", "b"])}, "dbp_sd must be None or numbers, not <U1"),
        ({"oscillogram": np.zeros(2)}, "oscillogram must be None or an Oscillogram, not ndarray"),
    ],
)
def test_each_part_of_a_reading_is_held_to_its_shape_and_type(changes, words):
    recording = measure(Subject(), rng=rng(), n=2).recording
    with pytest.raises(EstimatorError, match="^mine: " + words) as failed:
        read(lambda recording: replace(reading(recording), **changes), recording, "mine")
    assert "\n" not in str(failed.value)


def test_an_oscillogram_of_other_recordings_is_refused():
    recording = measure(Subject(), rng=rng(), n=3).recording
    of_one = FixedRatio()(recording.take(slice(0, 1))).oscillogram
    with pytest.raises(EstimatorError, match=r"oscillogram\.time_s must have 3 rows, one for each recording"):
        read(lambda recording: reading(recording, oscillogram=of_one), recording)


def test_an_estimator_that_would_end_the_program_does_not():
    def leaves(recording):
        raise SystemExit(3)

    with pytest.raises(EstimatorError, match="leaves: failed: SystemExit: 3"):
        measure(Subject(), rng=rng(), estimator=leaves)


def test_a_name_will_do_wherever_an_estimator_is_asked_for(tmp_path):
    (tmp_path / "mine.py").write_text("from sim.estimate.slope import Slope as Mine\n")
    by_name = measure(Subject(), rng=rng(), estimator="slope").reading.sbp
    assert by_name == measure(Subject(), rng=rng(), estimator=NAMED["slope"]).reading.sbp
    assert by_name == measure(Subject(), rng=rng(), estimator=f"{tmp_path / 'mine.py'}:Mine").reading.sbp
    assert by_name == breakdown(Subject(), rng=rng(), estimator="slope").result.reading.sbp
    assert by_name == playback(Subject(), rng=rng(), estimator="slope").result.reading.sbp
    assert agreement("slope", cohort(2, rng()), rng(2)).estimator == "slope"
    assert isinstance(systematic(Subject(), rng=rng(), n=4, estimator="slope").sbp, float)


@pytest.mark.parametrize("caller", CALLERS)
@pytest.mark.parametrize(
    ("given", "words"),
    [
        (
            "sloop",
            r"= 'sloop': must be one of fixed-ratio, slope, .*corrected-ratio, neural-network, or file\.py:name",
        ),
        (5, "estimator = 5: must be one of fixed-ratio, .* or a function from a Recording to a Reading"),
        (FixedRatio, r"estimator = FixedRatio: must be an estimator and not its class, such as FixedRatio\(\.\.\.\)"),
    ],
)
def test_what_is_no_estimator_is_refused_with_what_is_allowed(caller, given, words):
    with pytest.raises(FieldError, match=words):
        CALLERS[caller](given)


@pytest.mark.parametrize("given", [42, "42", np.random.RandomState(1), np.random.default_rng])
@pytest.mark.parametrize(
    "call",
    [
        lambda given: measure(Subject(), rng=given),
        lambda given: breakdown(Subject(), rng=given),
        lambda given: playback(Subject(), rng=given),
        lambda given: systematic(Subject(), rng=given),
        lambda given: cohort(4, given),
        lambda given: agreement(FixedRatio(), cohort(4, rng()), given),
        lambda given: measured(cohort(4, rng()), {"fixed-ratio": FixedRatio()}, given),
    ],
)
def test_chance_that_is_no_generator_is_refused(call, given):
    with pytest.raises(FieldError, match=r"^rng = .*: must be a numpy\.random\.Generator, such as") as refused:
        call(given)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize(
    ("keywords", "words"),
    [
        ({"subject": 120}, r"subject = int: must be a Subject, such as Subject\(\)"),
        ({"technique": Subject()}, r"technique = Subject: must be a Technique, such as Technique\(\)"),
        ({"n": 2.5}, "n = 2.5: must be a whole number, 1 or more"),
        ({"n": "3"}, "n = '3': must be a whole number, 1 or more"),
    ],
)
def test_other_inputs_of_a_wrong_kind_are_refused(keywords, words):
    with pytest.raises(FieldError, match=words):
        measure(**{"subject": Subject(), "rng": rng(), **keywords})


def test_what_is_no_recording_is_refused():
    with pytest.raises(FieldError, match="recording = ndarray: must be a Recording"):
        read("slope", np.zeros((2, 1000)))  # type: ignore[arg-type]


def test_the_command_that_reads_a_file_says_why_there_is_no_reading(tmp_path):
    recording = measure(Subject(), rng=rng()).recording
    rows = np.column_stack([recording.time_s, recording.pressure_mmhg[0]])[: recording.samples[0]]
    np.savetxt(tmp_path / "arm.csv", rows, delimiter=",", header="time_s,pressure_mmhg", comments="", fmt="%.3f")
    (tmp_path / "mine.py").write_text(
        "import numpy as np\nfrom sim.results import Reading\n"
        "def none(recording):\n    n = len(recording)\n"
        "    return Reading(*np.full((4, n), np.nan), np.array([''] * n))\n"
        "def five(recording):\n    return 5\n"
    )
    said, wrong = io.StringIO(), io.StringIO()
    with redirect_stdout(said), redirect_stderr(wrong):
        assert main(["read", str(tmp_path / "arm.csv"), "--estimator", f"{tmp_path / 'mine.py'}:none"]) == 0
        assert main(["read", str(tmp_path / "arm.csv"), "--estimator", f"{tmp_path / 'mine.py'}:five"]) == 2
    assert NO_REASON in said.getvalue()
    assert "nan" not in said.getvalue()
    assert wrong.getvalue().count("\n") == 1
    assert "int has no sbp" in wrong.getvalue()


# Calls of an estimator that need not come back through the door: the door itself, the trial whose answer nobody uses,
# and a file's estimator, which the door calls.
DOORS = {"sim/estimate/door.py", "sim/estimate/from_file.py"}
_CLASSES = {"FixedRatio", "Slope", "ModelFit", "CorrectedRatio", "NeuralNetwork"}
_CALLED = {"estimator", "estimate", "algorithm", "inner"}


def _is_estimator(called):
    """Whether what is called in this place of the program looks like an estimator."""
    if isinstance(called, ast.Call):
        return _is_estimator_class(called.func)
    if isinstance(called, ast.Subscript):
        return isinstance(called.value, ast.Name) and called.value.id == "NAMED"
    if isinstance(called, ast.BoolOp):
        return any(_is_estimator(value) for value in called.values)
    return isinstance(called, ast.Name) and called.id in _CALLED


def _is_estimator_class(called):
    return isinstance(called, ast.Name) and called.id in _CLASSES


def test_nobody_calls_an_estimator_past_the_door():
    past = [
        f"{file.relative_to(SIM.parent).as_posix()}, line {node.lineno}"
        for file in SIM.rglob("*.py")
        if file.relative_to(SIM.parent).as_posix() not in DOORS
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and _is_estimator(node.func)
    ]
    assert not past


def test_a_recording_is_what_an_estimator_gets():
    given = []

    def listens(recording):
        given.append(recording)
        return reading(recording)

    result = measure(Subject(), rng=rng(), estimator=listens)
    assert type(given[0]) is Recording
    np.testing.assert_array_equal(given[0].pressure_mmhg, result.recording.pressure_mmhg)
    assert result.recording.pressure_mmhg.flags.writeable  # it is the caller's own

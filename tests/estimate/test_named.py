"""Estimators by name, and out of an engineer's own file."""

import pickle

import numpy as np
import pytest

from sim.estimate.checked import EstimatorError
from sim.estimate.door import read
from sim.estimate.fixed_ratio import FixedRatio
from sim.estimate.from_file import FromFile, load
from sim.estimate.named import LABELS, NAMED, resolved
from sim.fields import FieldError
from sim.study.trial_recordings import people

GOOD = """
from sim.estimate.fixed_ratio import FixedRatio

RATIO = 0.5
inner = FixedRatio(systolic_ratio=RATIO)

def estimate(recording):
    return inner(recording)

class Mine:
    def __call__(self, recording):
        return inner(recording)

class Needs:
    def __init__(self, ratio):
        self.ratio = ratio

def fails(recording):
    return 1 / 0

def wrong_type(recording):
    return 120, 80

def wrong_shape(recording):
    from dataclasses import replace
    reading = inner(recording)
    return replace(reading, sbp=reading.sbp[:1])

def words(recording):
    from dataclasses import replace
    reading = inner(recording)
    return replace(reading, dbp=reading.dbp.astype(str))

not_callable = 7
"""


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "my_algorithm.py"
    path.write_text(GOOD, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def recording():
    return people().recording.take(slice(0, 3))


def test_every_name_has_its_words_and_reads(recording):
    assert set(NAMED) == set(LABELS) == {"fixed-ratio", "slope", "model-fit", "corrected-ratio", "neural-network"}
    for name, estimator in NAMED.items():
        assert resolved(name) is estimator
        assert np.isfinite(estimator(recording).sbp).all()


def test_an_estimator_stands_for_itself():
    mine = FixedRatio(0.6)
    assert resolved(mine) is mine


@pytest.mark.parametrize("name", ["estimate", "Mine", "inner"])
def test_a_function_a_class_or_an_instance_is_read_from_a_file(file, recording, name):
    found = resolved(f"{file}:{name}")
    expected = FixedRatio(systolic_ratio=0.5)(recording)
    assert (found(recording).sbp == expected.sbp).all()


def test_it_travels_to_another_process_without_its_file(file, recording):
    sent = pickle.dumps(load(f"{file}:estimate"))
    file.unlink()
    assert (pickle.loads(sent)(recording).sbp == FixedRatio(systolic_ratio=0.5)(recording).sbp).all()


def test_a_changed_file_is_read_again(file, recording):
    before = load(f"{file}:estimate")
    file.write_text(GOOD.replace("RATIO = 0.5", "RATIO = 0.7"), encoding="utf-8")
    after = load(f"{file}:estimate")
    assert (after(recording).sbp < before(recording).sbp).all()


def test_it_may_import_what_lies_beside_it(file, recording):
    (file.parent / "my_helper_of_ratios.py").write_text("RATIO = 0.5\n", encoding="utf-8")
    lines = "from my_helper_of_ratios import RATIO", "from sim.estimate.fixed_ratio import FixedRatio"
    file.write_text("\n".join([*lines, "estimate = FixedRatio(RATIO)"]), encoding="utf-8")
    assert load(f"{file}:estimate")(recording).ok.all()


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (
            "nothing-of-that-name",
            f"one of {', '.join(NAMED)}, or file.py:name",
        ),
        ("missing.py:estimate", "in a file that exists; there is no missing.py"),
        ("{file}:estimat", "there is no 'estimat'"),
        ("{file}:not_callable", "something that can be called with a recording; it is a int"),
        ("{file}:Needs", "a class that needs no arguments (TypeError: "),
        ("{file}", "or file.py:name"),
        ("{file}:", "or file.py:name"),
    ],
)
def test_what_cannot_be_loaded_is_told_in_one_line(file, given, words):
    with pytest.raises(FieldError) as error:
        resolved(given.format(file=file))
    assert words in str(error.value)
    assert "\n" not in str(error.value)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("x = 1\ny = x / 0\n", "in a file that runs (ZeroDivisionError: division by zero (my_algorithm.py, line 2))"),
        ("def estimate(recording:\n", "in a file that is Python (line 1:"),
        ("import a_library_that_is_nowhere\n", "ModuleNotFoundError: No module named 'a_library_that_is_nowhere'"),
        ("raise SystemExit(3)\n", "in a file that runs (SystemExit: 3"),
    ],
)
def test_a_file_that_fails_is_told_with_its_line(file, text, words):
    file.write_text(text, encoding="utf-8")
    with pytest.raises(FieldError) as error:
        load(f"{file}:estimate")
    assert words in str(error.value)


def test_a_file_that_is_no_text(file):
    file.write_bytes(b"\xff\xfe\x00estimate")
    with pytest.raises(FieldError, match="no text in UTF-8"):
        load(f"{file}:estimate")


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("fails", "my_algorithm.py:fails: failed: ZeroDivisionError: division by zero (my_algorithm.py, line 19)"),
        ("wrong_type", "must give a Reading with sbp, dbp, map, pulse_rate and reason; tuple has no sbp"),
        ("wrong_shape", "must give sbp of shape (3,), one for each recording, not of shape (1,)"),
        ("words", "dbp must be numbers"),
    ],
)
def test_what_gives_no_reading_is_told_when_it_is_called(file, recording, name, words):
    with pytest.raises(EstimatorError) as error:
        read(load(f"{file}:{name}"), recording)
    assert words in str(error.value)


def test_two_files_of_one_name_are_not_mistaken_for_each_other(tmp_path, recording):
    readings = []
    for folder, ratio in (("a", 0.5), ("b", 0.7)):
        (tmp_path / folder).mkdir()
        path = tmp_path / folder / "same.py"
        path.write_text(f"from sim.estimate.fixed_ratio import FixedRatio\nestimate = FixedRatio({ratio})\n")
        found = load(f"{path}:estimate")
        assert isinstance(found, FromFile)
        readings.append(found(recording).sbp)
    assert (readings[0] > readings[1]).all()

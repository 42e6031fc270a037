"""Labels of a data set that cannot be: told in one line."""

from dataclasses import replace

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from sim import Instrument, Subject
from sim.files.dataset import dataset, read_dataset, write_dataset
from sim.files.errors import FileError
from sim.labels import labelled
from sim.setup import Setup


@pytest.fixture(scope="module")
def with_labels():
    setup = Setup(Subject(rhythm=["early-beats", "regular"]), instrument=Instrument(start_mmhg=150)).spread(2)
    recording, truth, labels = labelled(setup, np.random.default_rng(1))
    return dataset(recording, truth, setup, labels=labels)


def put(name, place, value):
    return lambda a: a[f"label.{name}"].__setitem__(place, value)


def instead(name, make):
    return lambda a: a.__setitem__(f"label.{name}", make(a[f"label.{name}"]))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda a: a.pop("label.beat_peak_s"), "label.beat_peak_s is missing"),
        (lambda a: a.__setitem__("label.age", a["samples"]), "label.age is no label"),
        (instead("beat_time_s", lambda v: v.astype(str)), "label.beat_time_s must hold numbers"),
        (instead("movement", lambda v: v.astype(float)), "label.movement must hold yes or no"),
        (instead("beat_early", lambda v: v[:1]), "label.beat_early must have a row for each recording"),
        (instead("beat_early", lambda v: v[:, 1:]), "label.beat_early must have a value for each beat"),
        (instead("movement", lambda v: v[:, 1:]), "label.movement must have a value for each sample"),
        (instead("envelope_mmhg", lambda v: v[:, 1:]), "label.envelope_mmhg must have a value for each"),
        (put("beat_time_s", (0, 5), np.nan), "must have its beats first"),
        (put("beat_time_s", (0, 5), 1e9), "each beat must lie within its recording"),
        (put("beat_peak_s", (0, 5), 0.0), "its peak after its foot"),
        (put("beat_time_s", (0, 5), 0.0), "label.beat_time_s must rise"),
        (put("beat_foot_mmhg", (0, 5), np.nan), "label.beat_foot_mmhg must be a number for each beat"),
        (put("beat_foot_mmhg", (0, 5), np.inf), "label.beat_foot_mmhg must be a number for each beat"),
        (put("beat_cuff_mmhg", (0, 5), 1e308), "label.beat_cuff_mmhg must be from"),
        (put("envelope_mmhg", (0, 5), np.nan), "label.envelope_mmhg must be from"),
        (lambda a: a["samples"].__isub__(200), "label.movement must be no after the end|within its recording"),
    ],
)
def test_labels_that_cannot_be_are_told(with_labels, change, words, tmp_path):
    file = tmp_path / "a.npz"
    write_dataset(file, with_labels)
    with np.load(file) as found:
        arrays = dict(found)
    change(arrays)
    np.savez(file, **arrays)
    with pytest.raises(FileError, match=words) as caught:
        read_dataset(file)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("name", "values", "words"),
    [
        ("movement", [[True], [False]], "label.movement must have as many values"),
        ("beat_early", [[True], [False]], "label.beat_early must have as many values"),
        ("movement", [[True, None], [False]], "label.movement must hold yes or no"),
        ("movement", [[1.0], [0.0]], "label.movement must hold yes or no"),
        ("beat_time_s", [["a"], ["b"]], "could not convert"),
        ("beat_time_s", [1.0, 2.0], "label.beat_time_s must have a row"),
    ],
)
def test_lists_that_are_no_labels_are_told(with_labels, name, values, words, tmp_path):
    file = tmp_path / "a.parquet"
    write_dataset(file, with_labels)
    table = pq.read_table(file)
    place = table.column_names.index(f"label.{name}")
    pq.write_table(table.set_column(place, f"label.{name}", pa.array(values)), file)
    with pytest.raises(FileError, match=words) as caught:
        read_dataset(file)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("suffix", [".npz", ".parquet"])
def test_labels_count_for_how_large_a_data_set_is(with_labels, suffix, tmp_path, monkeypatch):
    """With room for the recordings and half of the labels it is neither written nor read."""
    file = tmp_path / f"a{suffix}"
    write_dataset(file, with_labels)
    half = sum(values.nbytes for values in vars(with_labels.labels).values()) // 2
    write_dataset(tmp_path / f"b{suffix}", replace(with_labels, labels=None))
    monkeypatch.setattr("sim.files.sizes.MOST_UNPACKED", with_labels.recording.pressure_mmhg.nbytes + half)
    read_dataset(tmp_path / f"b{suffix}")
    with pytest.raises(FileError, match="unpacked it would take"):
        read_dataset(file)
    with pytest.raises(FileError, match="would not be read again: unpacked it would take"):
        write_dataset(file, with_labels)

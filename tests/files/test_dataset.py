"""Data sets of recordings with their truth come back to the last bit; damaged ones are told."""

from dataclasses import replace

import numpy as np
import pytest

from sim.cuff.bladder import choose
from sim.cuff.instrument import Instrument
from sim.files.dataset import dataset, read_dataset, write_dataset
from sim.files.errors import FileError
from sim.labels import labelled
from sim.measurement import measure
from sim.setup import Setup
from sim.study.people import draw, draw_technique
from sim.technique import Technique


@pytest.fixture(scope="module")
def data():
    people = draw("population", 5, np.random.default_rng(5))
    made = measure(people, Technique(), Instrument(), rng=np.random.default_rng(6))
    return dataset(made.recording, made.truth, Setup(people), seed=6)


@pytest.fixture(scope="module")
def labelled_data():
    rng, who = np.random.default_rng(5), "early-beats,moving"
    setup = Setup(draw(who, 4, rng), draw_technique(who, 4, rng, Technique())).spread(4)
    recording, truth, labels = labelled(setup, rng)
    return dataset(recording, truth, setup, 6, labels)


@pytest.mark.parametrize("suffix", [".npz", ".parquet"])
def test_a_data_set_comes_back_to_the_last_bit(data, tmp_path, suffix):
    write_dataset(tmp_path / f"a{suffix}", data)
    again = read_dataset(tmp_path / f"a{suffix}")
    assert again.recording.sampling_hz == data.recording.sampling_hz
    assert np.array_equal(again.recording.samples, data.recording.samples)
    assert np.array_equal(again.recording.pressure_mmhg, data.recording.pressure_mmhg, equal_nan=True)
    for stage in ("resting", "at_measurement", "at_cuff"):
        for name in ("sbp", "dbp", "map"):
            assert np.array_equal(getattr(getattr(again.truth, stage), name), getattr(getattr(data.truth, stage), name))
    assert np.array_equal(again.truth.pulse_rate, data.truth.pulse_rate)
    assert set(again.inputs) == set(data.inputs)
    assert all(np.array_equal(again.inputs[name], values) for name, values in data.inputs.items())
    fitting = choose(again.inputs["subject.arm_circumference_cm"])
    assert again.inputs["instrument.bladder"].tolist() == fitting.tolist()
    assert again.inputs["subject.age_years"].tolist() == data.inputs["subject.age_years"].tolist()
    assert dict(again.origin) == dict(data.origin)
    assert again.origin["seed"] == 6


@pytest.mark.parametrize("suffix", [".npz", ".parquet"])
def test_labels_come_back_to_the_last_bit(labelled_data, tmp_path, suffix):
    write_dataset(tmp_path / f"a{suffix}", labelled_data)
    again = read_dataset(tmp_path / f"a{suffix}")
    assert again.labels is not None
    for name, values in vars(labelled_data.labels).items():
        found = getattr(again.labels, name)
        assert found.dtype == values.dtype
        assert np.array_equal(found, values, equal_nan=values.dtype.kind == "f"), name
    assert again.labels.beat_early.any()
    assert again.labels.movement.any()
    assert dict(again.origin) == dict(labelled_data.origin)
    assert again.origin["movement_from_mmhg"] == 0.15
    assert np.array_equal(again.recording.pressure_mmhg, labelled_data.recording.pressure_mmhg, equal_nan=True)


def test_a_data_set_without_labels_says_so(data, tmp_path):
    write_dataset(tmp_path / "a.npz", data)
    assert read_dataset(tmp_path / "a.npz").labels is None
    assert not [name for name in np.load(tmp_path / "a.npz") if name.startswith("label.")]


@pytest.mark.parametrize("suffix", [".npz", ".parquet"])
def test_a_file_of_the_kind_before_is_read(data, tmp_path, suffix):
    """Kind 2 had no labels and was otherwise the same."""
    before = {**data.origin, "kind": "cuffbias recordings 2"}
    write_dataset(tmp_path / f"a{suffix}", replace(data, origin=before))
    again = read_dataset(tmp_path / f"a{suffix}")
    assert again.origin["kind"] == "cuffbias recordings 2"
    assert np.array_equal(again.recording.pressure_mmhg, data.recording.pressure_mmhg, equal_nan=True)


@pytest.mark.parametrize("kind", ["cuffbias recordings 1", "cuffbias recordings 4", "another"])
def test_a_file_of_another_kind_is_told(data, tmp_path, kind):
    write_dataset(tmp_path / "a.npz", replace(data, origin={**data.origin, "kind": kind}))
    with pytest.raises(FileError, match="cuffbias recordings 2 and cuffbias recordings 3 are read"):
        read_dataset(tmp_path / "a.npz")


def test_others_read_the_labels(labelled_data, tmp_path):
    import pandas

    write_dataset(tmp_path / "a.parquet", labelled_data)
    frame, labels = pandas.read_parquet(tmp_path / "a.parquet"), labelled_data.labels
    row = 2
    assert len(frame["label.movement"][row]) == len(frame["pressure_mmhg"][row]) == labelled_data.recording.samples[row]
    assert frame["label.movement"][row].any()
    assert frame["label.beat_time_s"][row].tolist() == labels.beat_time_s[row, : labels.beats[row]].tolist()
    assert len(frame["label.beat_early"][row]) == labels.beats[row]


def test_others_read_the_data_set(data, tmp_path):
    import pandas

    write_dataset(tmp_path / "a.parquet", data)
    frame = pandas.read_parquet(tmp_path / "a.parquet")
    assert len(frame) == 5
    assert np.array_equal(frame["pressure_mmhg"][0], data.recording.pressure_mmhg[0, : data.recording.samples[0]])


@pytest.mark.parametrize("suffix", [".npz", ".parquet"])
def test_a_damaged_data_set_is_told(data, tmp_path, suffix):
    file = tmp_path / f"a{suffix}"
    write_dataset(file, data)
    whole = file.read_bytes()
    for part in (whole[: len(whole) // 2], b"", b"no such thing"):
        file.write_bytes(part)
        with pytest.raises(FileError, match=f"a{suffix}: must be a data set of recordings, whole and unchanged"):
            read_dataset(file)
    with pytest.raises(FileError, match=r"a.txt: must end in .npz or .parquet"):
        read_dataset(tmp_path / "a.txt")
    with pytest.raises(FileError, match="cannot be read"):
        read_dataset(tmp_path / f"none{suffix}")
    with pytest.raises(FileError, match="cannot be written"):
        write_dataset(tmp_path / "none" / f"a{suffix}", data)


def test_a_data_set_of_pickles_is_not_opened(tmp_path):
    np.savez(tmp_path / "a.npz", origin=np.array([{"a": 1}], dtype=object))
    with pytest.raises(FileError, match="must be a data set"):
        read_dataset(tmp_path / "a.npz")


@pytest.mark.parametrize("suffix", [".npz", ".parquet"])
def test_any_damage_is_told_in_one_line(tmp_path, suffix):
    """A few bytes changed anywhere: told, or of no consequence, but never a failure of another kind."""
    file = tmp_path / f"a{suffix}"
    setup = Setup().spread(2)
    recording, truth, labels = labelled(setup, np.random.default_rng(1))
    write_dataset(file, dataset(recording, truth, setup, labels=labels))
    whole, rng = file.read_bytes(), np.random.default_rng(2)
    told = []
    for _ in range(60):
        part = bytearray(whole)
        for place in rng.integers(0, len(part), 4):
            part[place] = rng.integers(0, 256)
        file.write_bytes(part)
        try:
            read_dataset(file)
        except FileError as error:
            told.append(str(error))
    assert len(told) > 10
    assert not [text for text in told if "\n" in text]

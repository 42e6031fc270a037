"""Recordings of one's own on the page, and those taken away from it: read as they are, or refused in one line."""

from __future__ import annotations

import io
import json
import zipfile
from pathlib import Path

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from sim import PARAMETERS_VERSION, Subject, __version__
from sim.cli import main
from sim.files import from_bytes
from sim.files.csv_file import read_csv, write_csv
from sim.files.dataset import dataset, read_dataset, write_dataset
from sim.files.errors import FileError
from sim.files.wfdb_file import read_wfdb, write_wfdb
from sim.record import record
from sim.results import Recording
from sim.screens.algorithms.one_recording import downloads, example, simulated, upload
from sim.screens.algorithms.one_recording.source import Source
from sim.setup import Setup
from tests.screens.opening import html, open_page, texts

GOOD = b"time_s,pressure_mmhg\n" + b"".join(b"%.2f,%.2f\n" % (k / 50, 180 - k / 20) for k in range(2000))


@pytest.fixture(scope="module")
def made():
    """One simulated arm."""
    return simulated.source(Setup(Subject(sbp=131)).fitted(), 5, ideal=False)


@pytest.fixture(scope="module")
def pair(made, tmp_path_factory):
    """The same as a WFDB record: header and samples."""
    folder = tmp_path_factory.mktemp("record")
    write_wfdb(folder / "cuff.hea", made.recording)
    return {name: (folder / name).read_bytes() for name in ("cuff.hea", "cuff.dat")}


@pytest.fixture(scope="module")
def many(tmp_path_factory):
    """A data set of three arms: the file's bytes, and the data."""
    n, rng = 3, np.random.default_rng(2)
    setup = Setup(Subject(sbp=[110, 130, 170])).spread(n)
    data = dataset(*record(setup, rng), setup, seed=2)
    file = tmp_path_factory.mktemp("many") / "train.npz"
    write_dataset(file, data)
    return file.read_bytes(), data


def uploaded(*files):
    """The page after these files were chosen."""
    page = open_page("algorithms", view="one", **{"from": "file"})
    page.file_uploader[0].set_value([(name, content, "application/octet-stream") for name, content in files])
    page.run()
    assert not page.exception
    return page


def warned(page):
    return [warning.value.replace("\\", "") for warning in page.warning]


# What is taken away.


def test_the_csv_is_the_same_recording(made, tmp_path, capsys):
    file = tmp_path / "one.csv"
    file.write_bytes(downloads.recording_csv(made))
    assert file.read_text().startswith(
        f"# simulated: cuffbias {__version__}, parameters {PARAMETERS_VERSION}, seed 5\n"
    )
    back = read_csv(file)
    assert back.sampling_hz == made.recording.sampling_hz
    assert np.array_equal(back.pressure_mmhg, made.recording.pressure_mmhg)
    assert main(["read", str(file)]) == 0
    assert "fixed-ratio" in capsys.readouterr().out


def test_the_wfdb_record_is_the_same_recording(made, tmp_path):
    with zipfile.ZipFile(io.BytesIO(downloads.recording_wfdb(made))) as packed:
        packed.extractall(tmp_path)
    header, _ = sorted(tmp_path.iterdir(), key=lambda file: file.suffix, reverse=True)
    back = read_wfdb(header)
    assert back.sampling_hz == made.recording.sampling_hz
    assert np.allclose(back.pressure_mmhg, made.recording.pressure_mmhg, rtol=0, atol=1e-9)
    assert f"parameters {PARAMETERS_VERSION}, seed 5" in header.read_text()


@pytest.mark.parametrize("suffix", [".npz", ".parquet"])
def test_the_data_set_has_the_truth_and_the_inputs(made, tmp_path, suffix):
    file = tmp_path / f"one{suffix}"
    file.write_bytes(downloads.recording_dataset(made, suffix))
    back = read_dataset(file)
    assert np.array_equal(back.recording.pressure_mmhg, made.recording.pressure_mmhg)
    assert back.truth.at_cuff.sbp == made.truth.at_cuff.sbp
    assert back.inputs["subject.sbp"].tolist() == [131]
    assert (back.origin["seed"], back.origin["parameters_version"]) == (5, PARAMETERS_VERSION)


def test_beyond_what_16_bits_hold_there_is_no_wfdb_record(made):
    high = Recording(100.0, made.recording.pressure_mmhg + 200, made.recording.samples)
    assert downloads.fits_wfdb(made)
    assert not downloads.fits_wfdb(Source(high, None, (), "high", "too high"))


def test_the_page_offers_every_kind_of_file():
    simulated_arm = open_page("algorithms", view="one")
    assert len(simulated_arm.get("download_button")) == 5
    real = uploaded(("walk.csv", GOOD))
    assert len(real.get("download_button")) == 3
    assert "needs the truth, which nobody knows here" in texts(real)


# What is brought.


def test_a_wfdb_pair_is_read(made, pair):
    recording, data = from_bytes.opened(pair, "cuff.hea")
    assert data is None
    assert np.allclose(recording.pressure_mmhg, made.recording.pressure_mmhg, rtol=0, atol=1e-9)
    page = uploaded(*pair.items())
    assert "the file cuff.hea" in texts(page).replace("\\", "")
    assert "fixed ratio" in html(page)


def test_a_record_of_two_pressures_asks_which(pair, tmp_path):
    steps = np.frombuffer(pair["cuff.dat"], "<i2")
    both = np.stack([steps, steps // 2], axis=1).astype("<i2").tobytes()
    header = (
        f"two 2 100 {len(steps)}\ntwo.dat 16 50(0)/mmHg 16 0 0 0 0 cuff\ntwo.dat 16 50(0)/mmHg 16 0 0 0 0 reservoir\n"
    )
    sums = [(int(s.astype(int).sum()) + 2**15) % 2**16 - 2**15 for s in (steps, steps // 2)]
    lines = header.splitlines()
    lines[1:] = [line.replace(" 0 0 0 0 ", f" 0 0 {total} 0 ") for line, total in zip(lines[1:], sums, strict=True)]
    files = {"two.hea": "\n".join(lines).encode(), "two.dat": both}
    assert list(from_bytes.signals(files, "two.hea")) == [0, 1]
    first, second = (from_bytes.opened(files, "two.hea", k)[0].pressure_mmhg for k in (0, 1))
    assert np.allclose(second, first / 2, atol=0.02)
    page = uploaded(*files.items())
    (box,) = [box for box in page.selectbox if "signal" in box.label]
    assert [option.split(" ")[0] for option in box.options] == ["cuff", "reservoir"]


def test_a_row_of_a_data_set_has_its_truth(many):
    content, data = many
    page = uploaded(("train.npz", content))
    page.number_input[0].set_value(3).run()
    assert not page.exception
    assert "recording 3 of 3 in the data set train.npz" in texts(page).replace("\\", "")
    assert f"{data.truth.at_cuff.sbp[2]:.1f}" in html(page)
    assert "seed 2" in texts(page)
    assert "is not known" not in texts(page)
    taken = downloads.recording_dataset(upload.row_of(data, 2, (), "train.npz"), ".npz")
    again, _ = from_bytes.opened({"again.npz": taken}, "again.npz")
    count = int(data.recording.samples[2])
    assert np.array_equal(again.pressure_mmhg[0], data.recording.pressure_mmhg[2, :count])


def test_of_a_real_recording_no_error_is_given_and_nothing_is_corrected():
    page = uploaded((example.NAME, example.content()))
    assert "error" not in html(page).split('<table class="steps">')[1]
    assert "so no error can be given" in texts(page)
    assert "nothing in it is corrected" in texts(page)


def test_a_file_is_forgotten():
    page = open_page("algorithms", view="one", **{"from": "file"})
    assert "kept only while this page is open" in texts(page)
    next(b for b in page.button if b.label == "Use an example").click().run()
    assert "invented-example" in texts(page).replace("\\", "")
    next(b for b in page.button if b.label == "Remove this file").click().run()
    assert "Choose a file" in texts(page)
    assert "recording-files" not in page.session_state


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("walk.csv", b"time_s,pressure_mmhg\n0,180\n0.01,abc\n", "line 3, column 2: must be a number, not 'abc'"),
        ("walk.csv", b"a,b\n1,2\n", "walk.csv, line 1, column 1: must end with its unit, s or ms"),
        ("walk.csv", b"", "walk.csv: must have a header such as time_s,pressure_mmhg, and holds no line"),
        ("walk.csv", b"\xff\xfe\x00", "walk.csv, line 1: must be text in UTF-8"),
        ("cuff.hea", b"cuff x\n", "cuff.hea, line 1, column 2: must be the number of signals, 1 to 64, not 'x'"),
        ("cuff.hea", b"cuff 1 100 4\ncuff.dat 16 50/mmHg\n", "names cuff.dat as the file of samples: choose both"),
        ("cuff.dat", b"\x00" * 8, "cuff.dat: has the samples of a WFDB record: add its header (.hea)"),
        ("train.npz", b"nonsense", "train.npz: must be a data set of recordings, whole and unchanged"),
        ("train.parquet", b"nonsense", "train.parquet: must be a data set of recordings, whole and unchanged"),
        ("../../<b>x</b>.csv", b"time_s\n", "b_.csv, line 1: must be a header of columns"),
    ],
)  # fmt: skip
def test_a_file_that_is_faulty_gives_one_clear_line(name, content, words):
    with pytest.raises(FileError) as caught:
        from_bytes.opened({name: content}, from_bytes.openable({name: content})[0])
    assert words in str(caught.value)


def test_the_page_shows_that_line_and_no_picture():
    page = uploaded(("walk.csv", b"time_s,pressure_mmhg\n0,180\n0.01,abc\n"))
    assert warned(page) == ["walk.csv, line 3, column 2: must be a number, not 'abc'."]
    assert not page.get("vega_lite_chart")


def changed(content, **arrays):
    """A data set's file with some arrays put in the place of others; None takes one away."""
    with np.load(io.BytesIO(content)) as found:
        whole = {name: found[name] for name in found.files} | arrays
    out = io.BytesIO()
    np.savez(out, **{name: values for name, values in whole.items() if values is not None})
    return out.getvalue()


@pytest.mark.parametrize(
    ("arrays", "words"),
    [
        ({"samples": None}, "whole and unchanged ('samples')"),
        ({"pressure_mmhg": np.zeros(9)}, "pressure_mmhg must have a row for each recording"),
        ({"samples": np.array([9, 9])}, "each needs one row of samples and one true pressure"),
        ({"samples": np.array([9, 9, 10**6])}, "samples must count the samples of each recording"),
        ({"at_cuff_sbp": np.array([1.0])}, "one true pressure"),
        ({"at_cuff_sbp": np.array(["a", "b", "c"])}, "must be numbers"),
        ({"true_pulse_rate": np.array([70.0, np.nan, 70.0])}, "needs one true_pulse_rate, above 0"),
        ({"true_pulse_rate": None}, "whole and unchanged ('true_pulse_rate')"),
        ({"sampling_hz": np.array(0.0)}, "sampling_hz must be from 20 to 2000 Hz, not 0"),
        ({"pressure_mmhg": np.full((3, 4000), 900.0), "samples": np.full(3, 4000)}, "pressures must be from -50"),
        ({"origin": np.array("[]")}, "no data set of this kind"),
        ({"filler": np.zeros(20_000_000, np.int64)}, "unpacked it would take 153 MiB, and "),
    ],
)  # fmt: skip
def test_a_data_set_that_is_none_gives_one_clear_line(many, arrays, words):
    with pytest.raises(FileError) as caught:
        from_bytes.opened({"train.npz": changed(many[0], **arrays)}, "train.npz")
    assert words in str(caught.value)
    assert str(caught.value).startswith("train.npz: must")


def test_a_parquet_table_of_something_else_gives_one_clear_line(tmp_path):
    origin = {"origin": json.dumps({"kind": "cuffbias recordings 2"})}
    table = pa.table({"sampling_hz": [100.0], "pressure_mmhg": [180.0]}).replace_schema_metadata(origin)
    for name, content in (("other.parquet", pa.table({"a": [1]})), ("flat.parquet", table)):
        pq.write_table(content, tmp_path / name)
        with pytest.raises(FileError, match="must be a data set of recordings"):
            from_bytes.opened({name: (tmp_path / name).read_bytes()}, name)


def test_a_damaged_data_set_never_fails_otherwise(many, tmp_path):
    """Bytes changed at random, ends cut off: read, or one line."""
    write_dataset(tmp_path / "train.parquet", many[1])
    rng = np.random.default_rng(1)
    refused = []
    for name, whole in (("train.npz", many[0]), ("train.parquet", (tmp_path / "train.parquet").read_bytes())):
        for k in range(40):
            damaged = bytearray(whole if k % 2 else whole[: rng.integers(len(whole))])
            for at in rng.integers(0, max(len(damaged), 1), 5):
                damaged[at : at + 1] = rng.bytes(1)
            try:
                from_bytes.opened({name: bytes(damaged)}, name)
            except FileError as error:
                refused.append(str(error))
    assert len(refused) > 40
    for line in refused:
        assert line.startswith(("train.npz: ", "train.parquet: "))
        assert len(line.splitlines()) == 1


def test_endings_in_capitals_and_in_txt_are_read():
    for name in ("WALK.CSV", "walk.txt"):
        assert len(from_bytes.opened({name: GOOD}, name)[0].pressure_mmhg[0]) == 2000


def test_nothing_stays_on_the_disk(tmp_path, monkeypatch):
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    from_bytes.opened({"walk.csv": GOOD}, "walk.csv")
    assert not list(Path(tmp_path).iterdir())


def test_a_csv_taken_from_a_real_recording_is_the_same(tmp_path):
    recording, _ = from_bytes.opened({"walk.csv": GOOD}, "walk.csv")
    real = Source(recording, None, (), "walk", "the file walk.csv")
    write_csv(tmp_path / "walk.csv", recording)
    assert downloads.recording_csv(real) == (tmp_path / "walk.csv").read_bytes()


def cycle():
    """A table with two signals of pressure: filled in 5 s, a fall of 30 s at 5 mmHg/s with pulses, let go."""
    t = np.arange(40 * 50) / 50
    cuff = np.interp(t, [0, 5, 35, 36, 40], [0, 180, 30, 2, 0]) + np.sin(2 * np.pi * 1.2 * t)
    lines = (f"{s:.2f},{p:.2f},{p / 2:.2f}\n" for s, p in zip(t, cuff, strict=True))
    return ("time_s,cuff_mmhg,half_mmhg\n" + "".join(lines)).encode()


def test_the_signal_and_the_part_of_a_whole_cycle_can_be_chosen():
    page = uploaded(("walk.csv", cycle()))
    (which,) = [box for box in page.selectbox if box.label == "Which signal of this file"]
    assert which.options == ["cuff_mmhg", "half_mmhg"]
    (part,) = [slider for slider in page.slider if slider.label.startswith("Which part")]
    assert part.value == (pytest.approx(5, abs=1), pytest.approx(35, abs=1.5))
    assert "The longest fall goes from" in texts(page)
    part.set_value((10.0, 30.0))
    page.run()
    assert not page.exception
    assert "20 s" in texts(page)


def test_kpa_under_the_name_of_mmhg_is_suspected_on_the_page():
    low = b"time_s,pressure_mmhg\n" + b"".join(b"%.2f,%.3f\n" % (k / 50, 24 - k / 150) for k in range(2000))
    assert any("Is it kPa? 24 kPa are 180 mmHg" in text for text in warned(uploaded(("odd.csv", low))))

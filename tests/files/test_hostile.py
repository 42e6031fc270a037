"""Files that somebody made to hurt: told in one line, without unpacking what they claim to hold."""

import io
import json
import os
import subprocess
import sys
import zipfile
from dataclasses import replace

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from sim import Instrument, Subject, measure
from sim.files.any_file import read_any
from sim.files.dataset import dataset, read_dataset, write_dataset
from sim.files.errors import FileError
from sim.files.whole import DiskError, write_text
from sim.labels import labelled
from sim.setup import Setup
from sim.texts import decimal, whole

MOST_MB = 300
# Reads a file and says how much memory the process had at most, in MB.
READ = """
import sys
from pathlib import Path
from sim.files.any_file import read_any
from sim.files.errors import FileError
try:
    read_any(Path(sys.argv[1]))
    print("read")
except FileError as error:
    print(error)
status = Path("/proc/self/status").read_text()
print(int(status.split("VmHWM:")[1].split()[0]) // 1024)
"""


def good():
    result = measure(Subject(), rng=np.random.default_rng(1), n=2)
    return dataset(result.recording, result.truth, Setup(Subject()))


def columns(rows, pressure):
    numbers = np.full(rows, 120.0)
    truth = {
        f"{stage}_{name}": numbers
        for stage in ("resting", "at_measurement", "at_cuff")
        for name in ("sbp", "dbp", "map")
    }
    rate = {"true_pulse_rate": np.full(rows, 70.0)}
    return {"sampling_hz": np.full(rows, 100.0), "pressure_mmhg": pressure, **truth, **rate}


def parquet(file, rows, pressure, **more):
    table = pa.table({**columns(rows, pressure), **more})
    origin = {"origin": json.dumps({"kind": "cuffbias recordings 2"})}
    pq.write_table(table.replace_schema_metadata(origin), file, compression="zstd", use_dictionary=True)


def many_zeros(file):
    """A few kB of 500 million zeros."""
    values = pa.DictionaryArray.from_arrays(pa.array(np.zeros(30_000_000, np.int8)), pa.array([100.0]))
    lists = pa.ListArray.from_arrays(pa.array([0, 30_000_000], pa.int32()), values.cast(pa.float64()))
    parquet(file, 1, lists)


def ragged(file):
    """One long recording and many short ones: as a table they would take 24 GB."""
    lengths = np.full(3000, 2)
    lengths[0] = 1_000_000
    ends = np.concatenate([[0], np.cumsum(lengths)]).astype(np.int32)
    parquet(file, len(lengths), pa.ListArray.from_arrays(pa.array(ends), pa.array(np.full(ends[-1], 100.0))))


def long_words(file):
    """A word of a million letters in every row."""
    lists = pa.ListArray.from_arrays(
        pa.array(np.arange(0, 20_002, 2, dtype=np.int32)), pa.array(np.full(20_000, 100.0))
    )
    parquet(file, 10_000, lists, **{"input.subject.rhythm": pa.array(["x" * 1_000_000] * 100 + [""] * 9_900)})


def packed_zeros(file):
    """Two MB of zip with 2 GB of zeros in it."""
    header = io.BytesIO()
    np.lib.format.write_array_header_1_0(header, {"descr": "<f8", "fortran_order": False, "shape": (1, 250_000_000)})
    with (
        zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as packed,
        packed.open("pressure_mmhg.npy", "w", force_zip64=True) as part,
    ):
        part.write(header.getvalue())
        for _ in range(200):
            part.write(bytes(1_000_000))


def short_lists(rows):
    ends = np.arange(0, 2 * rows + 2, 2, dtype=np.int32)
    return pa.ListArray.from_arrays(pa.array(ends), pa.array(np.full(2 * rows, 100.0)))


def bytes_for_numbers(file):
    """A MB of bytes in each of many rows, in a column that nobody asked for."""
    parquet(file, 1000, short_lists(1000), **{"input.x": pa.array([b"x" * 1_000_000] * 200 + [b""] * 800)})


def many_words(file):
    """Sixty columns, each with a word of a million letters in a hundred rows."""
    words = pa.array(["x" * 1_000_000] * 100 + [""] * 9_900)
    parquet(file, 10_000, short_lists(10_000), **{f"input.subject.word_{k}": words for k in range(60)})


def many_wide_words(file):
    """Thirty columns of words that are allowed, which unpacked would take 600 MB."""
    words = pa.array(["x" * 50] * 100_000)
    parquet(file, 100_000, short_lists(100_000), **{f"input.subject.word_{k}": words for k in range(30)})


def origin_of_lists(file):
    """An origin of five million empty lists."""
    table = pa.table(columns(2, short_lists(2)))
    origin = '{"kind": "cuffbias recordings 1", "x": [' + "[]," * 5_000_000 + "[]]}"
    pq.write_table(table.replace_schema_metadata({"origin": origin}), file)


def ragged_labels(file):
    """Labels of one long recording and of many short ones: as a table they would take 3 GB."""
    counts = np.full(3000, 2)
    counts[0] = 1_000_000
    ends = np.concatenate([[0], np.cumsum(counts)]).astype(np.int32)
    lists = pa.ListArray.from_arrays(pa.array(ends), pa.array(np.zeros(ends[-1], bool)))
    parquet(file, 3000, short_lists(3000), **{"label.movement": lists})


def packed_by_another(file):
    """A kB of a packing that makes zeros even smaller."""
    with (
        zipfile.ZipFile(file, "w", zipfile.ZIP_BZIP2) as packed,
        packed.open("pressure_mmhg.npy", "w", force_zip64=True) as part,
    ):
        for _ in range(300):
            part.write(bytes(1_000_000))


def one_group(file):
    """A thousand honest recordings, written by another program in one group of rows."""
    ends = np.arange(0, 10_000_001, 10_000, dtype=np.int32)
    values = np.random.default_rng(1).normal(100, 5, 10_000_000).round(2)
    parquet(file, 1000, pa.ListArray.from_arrays(pa.array(ends), pa.array(values)))


needs_proc = pytest.mark.skipif(not os.path.exists("/proc/self/status"), reason="asks Linux for the memory used")
BOMBS = {
    "zeros.parquet": many_zeros,
    "ragged.parquet": ragged,
    "words.parquet": long_words,
    "bytes.parquet": bytes_for_numbers,
    "many_words.parquet": many_words,
    "wide_words.parquet": many_wide_words,
    "lists.parquet": origin_of_lists,
    "labels.parquet": ragged_labels,
    "zeros.npz": packed_zeros,
    "bzip.npz": packed_by_another,
}


@needs_proc
@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_is_refused_in_one_line_and_little_memory(name, tmp_path):
    file = tmp_path / name
    BOMBS[name](file)
    done = subprocess.run([sys.executable, "-c", READ, str(file)], capture_output=True, text=True, check=True)
    said, used = done.stdout.strip().split("\n")
    assert name in said
    assert any(words in said for words in ("allowed", "letters", "must be numbers or words", "is not read"))
    assert int(used) < MOST_MB, f"{used} MB"


def our_largest(file):
    result = measure(Subject(), rng=np.random.default_rng(1), n=1000)
    write_dataset(file, dataset(result.recording, result.truth, Setup(Subject())))


@needs_proc
@pytest.mark.parametrize("write", [our_largest, one_group])
def test_the_largest_that_is_read_stays_in_the_memory_that_is_promised(write, tmp_path):
    file = tmp_path / "large.parquet"
    write(file)
    done = subprocess.run([sys.executable, "-c", READ, str(file)], capture_output=True, text=True, check=True)
    said, used = done.stdout.strip().split("\n")
    assert said == "read"
    assert int(used) < MOST_MB, f"{used} MB"


def told_of(name, value):
    """A change of what a data set says of its origin."""

    def change(arrays):
        arrays["origin"] = np.array(json.dumps({**json.loads(str(arrays["origin"])), name: value}))

    return change


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda a: a["pressure_mmhg"].__setitem__((0, 5), np.inf), "pressures must be from"),
        (lambda a: a["pressure_mmhg"].__setitem__(0, np.nan), "must hold a pressure"),
        (lambda a: a["resting_sbp"].__setitem__(0, 1e308), "true pressures must be from"),
        (lambda a: a.__setitem__("samples", a["samples"] + 0.5 - 1), "samples must be whole numbers"),
        (lambda a: a.__setitem__("origin", np.array("[" * 100_000)), "nested too deeply"),
        (told_of("version", "![x](http://elsewhere.example/x.png)"), r"an origin whose version is '!\[x\]\(http"),
        (told_of("version", "1\n=1+1"), r"an origin whose version is '1\\n=1\+1'"),
        (told_of("parameters_version", "\x1b[31m"), "an origin whose parameters_version is"),
        (told_of("seed", {"a": "é"}), "an origin whose seed is"),
        (told_of("seed", 1.5), "an origin whose seed is '1.5'"),
    ],
)
def test_what_cannot_be_in_a_data_set_is_told(change, words, tmp_path):
    file = tmp_path / "a.npz"
    write_dataset(file, good())
    with np.load(file) as found:
        arrays = dict(found)
    change(arrays)
    np.savez_compressed(file, **arrays)
    with pytest.raises(FileError, match=words):
        read_dataset(file)


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


@pytest.mark.parametrize(
    "header",
    [
        f"cuff {'1' * 5000} 100 4000\n",
        f"cuff 1 100 {'9' * 5000}\n",
        f"cuff 1 100 100\ncuff.dat 16 50({'9' * 400})/mmHg 16 0 0 0 0 x\n",
        f"cuff 1 100 100\ncuff.dat 16 50(0)/mmHg 16 {'9' * 5000} 0 0 0 x\n",
        f"cuff 1 100 100\ncuff.dat {'9' * 5000} 50(0)/mmHg 16 0 0 0 0 x\n",
        "cuff ١ 100 100\ncuff.dat 16 50(0)/mmHg 16 0 0 0 0 x\n",
        "cuff 1 1_00 100\ncuff.dat 16 50(0)/mmHg 16 0 0 0 0 x\n",
    ],
)
def test_a_header_with_odd_numbers_is_told(header, tmp_path):
    file = tmp_path / "cuff.hea"
    file.write_text(header, encoding="utf-8")
    (tmp_path / "cuff.dat").write_bytes(bytes(200))
    with pytest.raises(FileError) as caught:
        read_any(file)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("cell", ["1e308", "-1e308", "1_0", "١", "inf", "nan", "0x1"])
def test_a_time_that_is_none_is_told(cell, tmp_path):
    file = tmp_path / "walk.csv"
    file.write_text(f"time_s,pressure_mmhg\n0,100\n{cell},99\n", encoding="utf-8")
    with pytest.raises(FileError, match="line 3, column 1: must be a number"):
        read_any(file)


@pytest.mark.parametrize("text", ["1_0", "١٢", "", "1e5", "0x10", "9" * 5000, "--1"])
def test_what_is_no_whole_number(text):
    with pytest.raises(ValueError, match="no whole number"):
        whole(text)


@pytest.mark.parametrize("text", ["1_0", "١٢", "", "inf", "nan", "1e999", "0x10", "9" * 5000, "1e", "."])
def test_what_is_no_number(text):
    with pytest.raises(ValueError, match="no number"):
        decimal(text)


def cuffbias(*arguments, **more):
    return subprocess.run([sys.executable, "-m", "sim", *map(str, arguments)], text=True, check=False, **more)


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs a device that is always full")
def test_a_full_disk_is_a_failure_of_one_line_and_leaves_nothing(tmp_path):
    with open("/dev/full", "w", encoding="utf-8") as out:
        full = cuffbias("measure", stdout=out, stderr=subprocess.PIPE)
    assert (full.returncode, full.stderr.count("\n")) == (1, 1)
    assert "Traceback" not in full.stderr


def test_where_a_file_grows_no_further_nothing_half_is_left(tmp_path):
    """The limit of the process stands in for the disk's."""
    script = (
        "import resource, signal, sys; signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))\n"
        "from sim.cli import main; sys.exit(main(sys.argv[1:]))"
    )
    for arguments in (
        ["recordings", "many.npz", "--subjects", "3"],
        ["recordings", "one.csv"],
        ["measure", "--figure", "a.png"],
    ):
        done = subprocess.run(
            [sys.executable, "-c", script, *arguments],
            cwd=tmp_path, capture_output=True, text=True, check=False,
            env={**os.environ, "PYTHONPATH": os.getcwd(), "PYTHONDONTWRITEBYTECODE": "1"},
        )  # fmt: skip
        assert (done.returncode, done.stderr.count("\n")) == (1, 1), done.stderr
        assert "cannot be written" in done.stderr
        assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.name == "nt", reason="a shell's way to close a stream")
def test_without_a_place_to_print_to_there_is_one_line():
    line = f'"{sys.executable}" -m sim measure >&-'
    done = subprocess.run(line, shell=True, stderr=subprocess.PIPE, text=True, check=False)
    assert (done.returncode, done.stderr.count("\n")) == (1, 1)
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ["measure", "--sbp", "1_20"],
        ["measure", "--repeat", "1_0"],
        ["measure", "--seed", "١"],
        ["app", "--port", "８０８０"],
        ["app", "--port", "8" * 5000],
        ["recordings", "a.csv", "--subjects", "1_0"],
        ["recordings", "a.csv", "--with", "slack_cm=1_0"],
    ],
)
def test_odd_digits_on_the_command_line_are_wrong_use(arguments, capsys):
    from sim.cli import main

    assert main(arguments) == 2
    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)


def test_a_file_is_written_whole_or_not_at_all(tmp_path):
    file = tmp_path / "a.txt"
    write_text(file, "one\n")
    with pytest.raises(UnicodeEncodeError):
        write_text(file, "\ud800")
    assert file.read_text() == "one\n"
    assert [p.name for p in tmp_path.iterdir()] == ["a.txt"]
    assert issubclass(DiskError, OSError)

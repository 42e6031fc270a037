"""Files that somebody made to hurt: told in one line, without unpacking what they claim to hold."""

import json
import os
import subprocess
import sys

import numpy as np
import pytest

from sim import Subject, measure
from sim.files.any_file import read_any
from sim.files.dataset import dataset, read_dataset, write_dataset
from sim.files.errors import FileError
from sim.setup import Setup
from sim.texts import decimal, whole
from tests.files.bombs import (
    bytes_for_numbers,
    good,
    long_words,
    many_wide_words,
    many_words,
    many_zeros,
    one_group,
    origin_of_lists,
    packed_by_another,
    packed_zeros,
    ragged,
    ragged_labels,
)

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
        (lambda a: a.__setitem__("samples", a["samples"][0]), "samples must be one number for each recording"),
        (lambda a: a.__setitem__("samples", a["samples"][:, None]), "samples must be one number for each recording"),
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


def test_what_is_cited_of_a_damaged_archive_is_short(tmp_path):
    """The library's own words hold a name out of the file, as long as the damage makes it."""
    file = tmp_path / "a.npz"
    write_dataset(file, good())
    content = file.read_bytes()
    at = content.index(b"PK\x03\x04", 1)  # the second entry, whose name now has no end
    file.write_bytes(content[: at + 26] + b"\xff\x0f" + content[at + 28 :])
    with pytest.raises(FileError, match="whole and unchanged") as caught:
        read_dataset(file)
    assert len(str(caught.value)) < 500


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
        "cuff 1 100 100\ncuff.dat 16 1e-320(0)/mmHg 16 0 0 0 0 x\n",
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


def test_steps_of_time_too_small_for_a_rate_are_told(tmp_path):
    file = tmp_path / "walk.csv"
    file.write_text("time_s,pressure_mmhg\n0,150\n1e-320,149\n", encoding="utf-8")
    with pytest.raises(FileError, match="samples a second, and does at inf"):
        read_any(file)


@pytest.mark.parametrize("text", ["1_0", "١٢", "", "1e5", "0x10", "9" * 5000, "--1"])
def test_what_is_no_whole_number(text):
    with pytest.raises(ValueError, match="no whole number"):
        whole(text)


@pytest.mark.parametrize("text", ["1_0", "١٢", "", "inf", "nan", "1e999", "0x10", "9" * 5000, "1e", "."])
def test_what_is_no_number(text):
    with pytest.raises(ValueError, match="no number"):
        decimal(text)


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

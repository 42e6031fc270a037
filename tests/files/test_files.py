"""Recordings in files: what is written comes back to the last bit; what is malformed is told by place."""

import pickle

import numpy as np
import pytest
import wfdb
from hypothesis import given
from hypothesis import strategies as st

from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.estimate.fixed_ratio import FixedRatio
from sim.files.csv_file import read_csv, write_csv
from sim.files.errors import FileError
from sim.files.units import from_mmhg, to_mmhg
from sim.files.wfdb_file import read_wfdb, write_wfdb
from sim.measurement import measure
from sim.results import Recording
from sim.technique import Technique


@pytest.fixture(scope="module")
def result():
    return measure(Subject(), Technique(), Instrument(sampling_hz=120), rng=np.random.default_rng(1), n=3)


@pytest.fixture
def written(tmp_path):
    """A function that writes a text and gives the file."""

    def write(text, name="walk.csv"):
        file = tmp_path / name
        file.write_bytes(text if isinstance(text, bytes) else text.encode())
        return file

    return write


def same(a, b, row=0):
    return (
        a.sampling_hz == b.sampling_hz
        and len(a) == 1
        and a.samples[0] == b.samples[row]
        and np.array_equal(a.pressure_mmhg[0], b.pressure_mmhg[row, : b.samples[row]], equal_nan=True)
    )


# --- CSV


@pytest.mark.parametrize("unit", ["mmHg", "kPa"])
@pytest.mark.parametrize("rate", [100.0, 128.0, 117.64705882352942])
def test_csv_comes_back_to_the_last_bit(tmp_path, unit, rate):
    values = np.random.default_rng(2).uniform(-20, 330, 500)
    values[[7, 8, 300]] = np.nan
    recording = Recording(rate, values[None, :], np.array([500]))
    write_csv(tmp_path / "a.csv", recording, unit=unit)
    assert same(read_csv(tmp_path / "a.csv"), recording)


@given(st.floats(-50, 400, allow_nan=False))
def test_a_pressure_passes_through_kpa_unchanged(pressure):
    assert to_mmhg(from_mmhg(pressure, "kPa"), "kPa") == pressure


def test_kpa_is_the_unit_of_the_si():
    """1 mmHg is 133.322387415 Pa (conventional; British Standard 350, and the SI brochure until 2006)."""
    assert to_mmhg("16", "kPa") == pytest.approx(16_000 / 133.322387415)


def test_a_simulated_reading_is_the_same_after_the_file(result, tmp_path):
    write_csv(tmp_path / "a.csv", result.recording, row=1)
    again = FixedRatio()(read_csv(tmp_path / "a.csv"))
    assert (again.sbp[0], again.dbp[0]) == (result.reading.sbp[1], result.reading.dbp[1])


@pytest.mark.parametrize(
    ("text", "rate", "first"),
    [
        ("Time (s),Cuff pressure [mmHg]\n0,180\n0.01,179.5\n0.02,179\n", 100, 180),
        ("time_ms;pressure_kpa\n0;24,0\n8;23,9\n16;23,8\n", 125, 24 * 1000 / 133.322387415),
        ("t_s\tp_mmhg\n\n5.00\t180\n5.01\t179.5\n# moved here\n5.02\t179\n", 100, 180),
        ("sample,time_s,pressure_mmhg\n0,0,180\n1,0.01,179.5\n2,0.02,179\n", 100, 180),
        ("n,time_s,ecg,cuff_mmhg\n7,0,x,180\n8,0.01,,179.5\n9,0.02,-3,179\n", 100, 180),
        (
            "Time,Cuff,Flow\n(s),(kPa),(L/s)\n0,24,1\n0.01,23.9,1\n0.02,23.8,1\n",
            100,
            24 * 1000 / 133.322387415,
        ),
        ("\ufeff# sampling_hz: 200\nsample,pressure_mmhg\n0,180\n1,179.5\n2,179\n", 200, 180),
    ],
)
def test_other_peoples_files(written, text, rate, first):
    recording = read_csv(written(text))
    assert recording.sampling_hz == pytest.approx(rate)
    assert recording.pressure_mmhg[0, 0] == pytest.approx(first)
    assert recording.samples.tolist() == [3]


@pytest.mark.parametrize(("signal", "first"), [("cuff_mmhg", 180), (0, 180), ("arm_kpa", 120.0098), (1, 120.0098)])
def test_one_of_several_columns_by_name_or_number(written, signal, first):
    """16 kPa are 120.0098 mmHg: 16,000 Pa over 133.322387415 (conventional mmHg)."""
    file = written("time_s,cuff_mmhg,arm_kpa\n0,180,16\n0.01,179,16\n")
    assert read_csv(file, signal=signal).pressure_mmhg[0, 0] == pytest.approx(first, abs=1e-4)
    with pytest.raises(FileError, match="has no signal 'ecg', only 0 cuff_mmhg; 1 arm_kpa"):
        read_csv(file, signal="ecg")


def test_rounded_times_tell_the_rate(written):
    """128 Hz written to the millisecond."""
    rows = [f"{k / 128:.3f},{180 - k / 100:.2f}" for k in range(4000)]
    assert read_csv(written("time_s,pressure_mmhg\n" + "\n".join(rows))).sampling_hz == 128


HEAD = "time_s,pressure_mmhg\n0,180\n0.01,179\n"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "walk.csv: must have a header such as time_s,pressure_mmhg, and holds no line"),
        ("time_s,pressure_mmhg\n", "walk.csv, line 1: must have at least two samples below the header"),
        ("time_s pressure_mmhg\n", "walk.csv, line 1: must be a header of columns"),
        ("time_s\n0\n", "walk.csv, line 1: must be a header of columns"),
        ("time_s,time_ms\n0,0\n", "walk.csv, line 1, column 2: must end with its unit, mmHg or kPa, not 'time_ms'"),
        ("time_s,cuff_mmhg,arm_kpa\n0,1,2\n", "has 2 columns in mmHg or kPa; say which to read of 0 cuff_mmhg; 1 arm"),
        ("time,pressure\ns,bar\n0,1\n", "walk.csv, line 1, column 1: must end with its unit"),
        (HEAD.replace("mmhg", "mmhg,ecg").replace("180", "180,1").replace("179", "179,x") + "0.02,178\n",
         "walk.csv, line 4: must have 3 columns as the header has, and has 2"),
        ("time,pressure_mmhg\n", "walk.csv, line 1, column 1: must end with its unit, s or ms, or be sample"),
        ("time_s,pressure\n", "walk.csv, line 1, column 2: must end with its unit, mmHg or kPa, not 'pressure'"),
        (HEAD + "0.02,abc\n", "walk.csv, line 4, column 2: must be a number, not 'abc'"),
        (HEAD + "x,178\n", "walk.csv, line 4, column 1: must be a number, not 'x'"),
        (HEAD + "0.02,inf\n", "walk.csv, line 4, column 2: must be a number, not 'inf'"),
        (HEAD + "0.02,178,3\n", "walk.csv, line 4: must have two columns, and has 3"),
        (HEAD + "0.02,900\n", "walk.csv, line 4, column 2: must be from -50 to 400 mmHg, not 900 mmHg"),
        (HEAD.replace("mmhg", "kpa"), r"walk.csv, line 2, column 2: must be .*, not 180 kPa \(1350 mmHg\)"),
        (HEAD + "0.05,178\n0.06,177\n", "line 4, column 1: must go on in even steps of 0.01, and jumps by 0.04"),
        ("# sampling_hz = 100\n" + HEAD + "0.05,178\n", "line 5, column 1: .* steps of 0.01, and jumps by 0.04"),
        (HEAD + "0,178\n", "walk.csv, line 4, column 1: must be later than the first sample"),
        ("# sampling_hz = fast\n" + HEAD, "walk.csv, line 1: sampling_hz must be a number .*, not 'fast'"),
        ("sample,pressure_mmhg\n0,1\n1,2\n", "walk.csv, column 1: counts samples: the rate must be told"),
        ("time_s,pressure_mmhg\n0,1\n1,2\n", "walk.csv, column 1: must run at .* a second, and does at 1"),
        ("time_s,pressure_mmhg\n0,\n0.01,\n", "walk.csv, column 2: must hold pressures, and every cell is empty"),
        (HEAD.encode() + b"0.02,\xff\n", "walk.csv, line 4: must be text in UTF-8"),
    ],
)  # fmt: skip
def test_a_malformed_csv_gets_its_place(written, text, words):
    with pytest.raises(FileError, match=words) as told:
        read_csv(written(text))
    assert "\n" not in str(told.value)
    assert str(pickle.loads(pickle.dumps(told.value))) == str(told.value)


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(FileError, match=r"none.csv: cannot be read: No such file"):
        read_csv(tmp_path / "none.csv")
    with pytest.raises(FileError, match=r"a.csv: cannot be written"):
        write_csv(tmp_path / "none" / "a.csv", Recording(100.0, np.ones((1, 3)), np.array([3])))


# --- WFDB


def test_wfdb_comes_back_as_the_sensor_saw_it(result, tmp_path):
    """The sensor's steps are kept; in doubles a step's multiple and its share differ by a bit at most."""
    write_wfdb(tmp_path / "cuff", result.recording, row=2)
    again = read_wfdb(tmp_path / "cuff.hea")
    length = result.recording.samples[2]
    assert np.abs(again.pressure_mmhg[0] - result.recording.pressure_mmhg[2, :length]).max() < 1e-12
    assert again.sampling_hz == 120


def test_what_was_read_is_written_byte_for_byte(tmp_path):
    values = np.random.default_rng(3).uniform(0, 300, 400)
    values[50] = np.nan
    write_wfdb(tmp_path / "a", Recording(250.0, values[None, :], np.array([400])))
    once = read_wfdb(tmp_path / "a")
    (tmp_path / "again").mkdir()
    write_wfdb(tmp_path / "again" / "a", once)
    for suffix in (".hea", ".dat"):
        assert (tmp_path / "a").with_suffix(suffix).read_bytes() == (tmp_path / "again" / "a").with_suffix(
            suffix
        ).read_bytes()
    assert same(read_wfdb(tmp_path / "again" / "a"), once)
    assert np.isnan(once.pressure_mmhg[0, 50])
    assert np.nanmax(np.abs(once.pressure_mmhg[0] - values)) <= 0.005 + 1e-9


def test_an_independent_reader_reads_what_we_write(result, tmp_path):
    write_wfdb(tmp_path / "cuff", result.recording)
    theirs = wfdb.rdrecord(str(tmp_path / "cuff"))
    length = result.recording.samples[0]
    assert theirs.fs == 120
    assert theirs.units == ["mmHg"]
    assert theirs.sig_name == ["cuff pressure"]
    assert np.abs(theirs.p_signal[:, 0] - result.recording.pressure_mmhg[0, :length]).max() < 1e-12
    # Sixteen bits, which the header may say with a sign.
    digital = wfdb.rdrecord(str(tmp_path / "cuff"), physical=False)
    assert theirs.checksum[0] % 2**16 == int(digital.calc_checksum()[0]) % 2**16


@pytest.mark.parametrize("length", [300, 301])
@pytest.mark.parametrize(
    ("form", "gain", "baseline"),
    [
        ("16", 1000, -5000),
        ("24", 1e5, 3000),
        ("32", 1e6, -5000),
        ("80", 8, -120),
        ("212", 150, -1900),
    ],
)
def test_we_read_what_an_independent_writer_writes(tmp_path, form, gain, baseline, length):
    """Two signals beside each other, one of them a pressure in kPa, with a gain and a baseline; one dropped."""
    rng = np.random.default_rng(4)
    pressure, other = np.linspace(24, 6, length) + rng.normal(0, 0.01, length), rng.normal(0, 1, length)
    pressure[77] = np.nan
    wfdb.wrsamp("two", fs=125, units=["mV", "kPa"], sig_name=["ECG", "cuff"], p_signal=np.stack([other, pressure], 1),
                fmt=[form, form], adc_gain=[25.0, gain], baseline=[0, baseline], write_dir=str(tmp_path))  # fmt: skip
    theirs = wfdb.rdrecord(str(tmp_path / "two")).p_signal[:, 1]
    assert np.isnan(theirs[77])
    ours = read_wfdb(tmp_path / "two")
    assert ours.sampling_hz == 125
    assert ours.pressure_mmhg[0] == pytest.approx(theirs * 1000 / 133.322387415, rel=1e-12, nan_ok=True)
    assert same(read_wfdb(tmp_path / "two", "cuff"), ours)
    assert same(read_wfdb(tmp_path / "two", 1), ours)
    with pytest.raises(FileError, match=r"two.hea, line 2, column 3: must be in mmHg or kPa, not mV"):
        read_wfdb(tmp_path / "two", "ECG")
    with pytest.raises(FileError, match=r"has no signal 'PPG', only 0 ECG \[mV\]; 1 cuff \[kPa\]"):
        read_wfdb(tmp_path / "two", "PPG")


GOOD = "r 1 100 3\nr.dat 16 50(0)/mmHg 16 0 9000 26950 0 cuff\n"
DATA = np.array([9000, 8980, 8970], dtype="<i2").tobytes()


@pytest.mark.parametrize(
    ("header", "words"),
    [
        ("", "r.hea: must have a record line such as"),
        ("r one 100 3\n", "r.hea, line 1, column 2: must be the number of signals, 1 to 64, not 'one'"),
        ("r/3 1 100 3\n", "r.hea, line 1, column 1: must be a record of one segment, not 'r/3'"),
        ("r 1 quick 3\n", "r.hea, line 1, column 3: must be the sampling rate in Hz, not 'quick'"),
        ("r 1 5 3\n", "r.hea, line 1, column 3: must be a sampling rate from 20 to 2000 Hz, not '5'"),
        ("r 1 100 many\n", "r.hea, line 1, column 4: must be the number of samples"),
        ("r 2 100 3\n" + GOOD.splitlines()[1], "r.hea, line 2: must be followed by 2 signal lines in all, and is by 1"),
        (GOOD.replace(" 16 50", " x 50"), "r.hea, line 2, column 2: must be the signal's format, such as 16, not 'x'"),
        (GOOD.replace(" 16 50", " 8 50"), "must be one of 16, 24, 32, 61, 80, 160, 212, not format 8"),
        (GOOD.replace(" 16 50", " 16x4 50"), "must have one sample of each signal at a time"),
        (GOOD.replace("50(0)", "fifty(0)"), "r.hea, line 2, column 3: must be steps for one unit"),
        (GOOD.replace("mmHg", "mV"), r"r.hea: has no signal in mmHg or kPa; say which to read of 0 cuff \[mV\]"),
        (GOOD.replace("r.dat", "../r.dat"), "r.hea, line 2, column 1: must be the name of a file in the same folder"),
        (GOOD.replace("r.dat", "q.dat"), "q.dat: cannot be read: No such file"),
        (GOOD.replace("100 3", "100 9"), "r.dat: must have 18 bytes, and has 6"),
        (GOOD.replace("26950", "26951"), "r.hea, line 2, column 7: says checksum 26951, and r.dat has 26950"),
        (GOOD.replace("50(0)", "5(0)"), "r.hea, line 2, column 3: gives 1800 mmHg at sample 0"),
    ],
)  # fmt: skip
def test_a_malformed_record_gets_its_place(written, header, words):
    written(DATA, "r.dat")
    with pytest.raises(FileError, match=words):
        read_wfdb(written(header, "r.hea"))


@pytest.mark.parametrize(("form", "kind", "more"), [("61", ">i2", 0), ("160", "<u2", 2**15)])
def test_formats_that_are_read_alone(written, form, kind, more):
    steps = np.array([9000, 8980, -(2**15), 8970])
    header = GOOD.replace(" 16 50", f" {form} 50").replace("100 3", "100 4").replace("26950", str(26950 - 2**15))
    written((steps + more).astype(kind).tobytes(), "r.dat")
    file = written(header, "r.hea")
    ours = read_wfdb(file).pressure_mmhg[0]
    assert ours == pytest.approx([180, 179.6, np.nan, 179.4], nan_ok=True)
    assert ours == pytest.approx(wfdb.rdrecord(str(file.with_suffix(""))).p_signal[:, 0], nan_ok=True)


def test_a_record_as_the_format_allows_it(written):
    """Remarks, a rate with a counter, no length, no checksum, no description."""
    written(DATA, "r.dat")
    text = "# made by hand\nr 1 100/100(0)\nr.dat 16 50(0)/mmHg\n# a remark\n"
    recording = read_wfdb(written(text, "r.hea"))
    assert recording.pressure_mmhg.tolist() == [[180, 179.6, 179.4]]
    assert recording.sampling_hz == 100


def test_a_record_that_cannot_be_written(tmp_path):
    recording = Recording(100.0, np.array([[1.0, 2.0]]), np.array([2]))
    with pytest.raises(FileError, match="must be named with 1 to 40 letters"):
        write_wfdb(tmp_path / "my record", recording)
    with pytest.raises(FileError, match="must hold pressures within 327 mmHg"):
        write_wfdb(tmp_path / "r", Recording(100.0, np.array([[1.0, 350.0]]), np.array([2])))

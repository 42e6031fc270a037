"""`cuffbias recordings` and `cuffbias read`."""

import pytest

from sim import PARAMETERS_VERSION, __version__
from sim.cli import main
from sim.files.dataset import read_dataset
from sim.study.plan import Study


@pytest.mark.parametrize("name", ["one.csv", "one.hea"])
def test_one_recording_there_and_back(tmp_path, capsys, name):
    assert main(["recordings", str(tmp_path / name), "--seed", "4"]) == 0
    written = capsys.readouterr().out
    assert f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}, seed 4" in written
    (truth,) = [line.split(": ")[1].split(" ")[0] for line in written.splitlines() if "True pressure" in line]
    assert main(["read", str(tmp_path / name)]) == 0
    read = capsys.readouterr().out
    assert "No medical device" in read
    assert "clinician" in read
    (shown,) = [line.split()[1] for line in read.splitlines() if "fixed-ratio" in line]
    for a, b in zip(truth.split("/"), shown.split("/"), strict=True):
        assert abs(int(a) - int(b)) < 15


def test_a_data_set_with_its_truth(tmp_path, capsys):
    file = tmp_path / "train.parquet"
    line = ["recordings", str(file), "--subjects", "3", "--with", "slack_cm=2", "--with", "bladder=thigh"]
    assert main(line) == 0
    data = read_dataset(file)
    assert len(data.recording) == 3
    assert data.inputs["technique.slack_cm"].tolist() == [2, 2, 2]
    assert data.inputs["instrument.bladder"].tolist() == ["thigh"] * 3
    capsys.readouterr()
    assert main(["read", str(file), "--rows", "2"]) == 0
    read = capsys.readouterr().out
    assert read.count("true, in the artery under the cuff") == 2
    assert "and 1 more, which --rows lists" in read
    assert f"Recorded with cuffbias {__version__}, parameters {PARAMETERS_VERSION}, seed 1" in read


def test_who_trains_an_algorithm_does_not_score_it(tmp_path, capsys):
    """The same seed, and nobody in both."""
    main(["recordings", str(tmp_path / "train.npz"), "--subjects", "100", "--seed", "7"])
    capsys.readouterr()
    trained = read_dataset(tmp_path / "train.npz").truth.resting.sbp
    scored = Study(100, seed=7, readings=1).measure(0)["resting_sbp"]
    assert not set(trained.tolist()) & set(scored.tolist())


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("recordings {0}/a.txt", "a.txt: must end in .csv, .hea, .npz, .parquet"),
        ("recordings {0}/a.csv --subjects 2", "--subjects 2: must be from 1 to 1 for a .csv file"),
        ("recordings {0}/a.npz --subjects 9999", "--subjects 9999: must be from 1 to 1000 for a .npz file"),
        ("recordings {0}/a.npz --with slack_cm=99", "--with slack_cm=99: must be from 0 to 8 cm"),
        ("recordings {0}/none/a.npz", "a.npz: cannot be written: No such file or directory"),
        ("read {0}/none.csv", "none.csv: cannot be read: No such file or directory"),
        ("read {0}/a.txt", "a.txt: must end in .csv, .hea, .npz, .parquet"),
        ("read {0}/bad.csv", "bad.csv, line 3, column 2: must be a number, not 'abc'"),
        ("read {0}/bad.csv --estimator unheard-of", "unheard-of: must be one of"),
    ],
)
def test_what_cannot_be_gets_one_line(tmp_path, capsys, line, words):
    (tmp_path / "bad.csv").write_text("time_s,pressure_mmhg\n0,100\n0.01,abc\n")
    assert main(line.format(tmp_path).split()) == 2
    out, error = capsys.readouterr()
    assert out == ""
    assert error.count("\n") == 1
    assert words in error

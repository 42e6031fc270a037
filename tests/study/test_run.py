"""Studies give the same readings on any executor, after any interruption, whatever happens to their files."""

import csv
import json
import os
import pickle
import shutil
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from sim.estimate.checked import EstimatorError
from sim.fields import FieldError
from sim.study.cohort import cohort
from sim.study.iso_rules import distribution
from sim.study.plan import Study
from sim.study.readings import Readings
from sim.study.reference import reference_cohort
from sim.study.run import Progress, run
from sim.study.store import StoreError, write_table
from sim.technique import Technique

# Small chunks: 240 people in three.
STUDY = Study(240, seed=3, readings=1, chunk=80)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A folder with the whole study."""
    folder = tmp_path_factory.mktemp("study")
    assert run(STUDY, out=folder, workers=1).complete
    return folder


@pytest.fixture(scope="module")
def readings():
    return run(STUDY, workers=1).readings()


def same(a, b):
    """Bit for bit: every column, in order; NaN equals itself."""
    return list(a) == list(b) and all(
        np.array_equal(a[name], b[name], equal_nan=a[name].dtype.kind == "f") for name in a
    )


def test_no_reading_is_missing_or_there_twice(readings):
    assert readings.rows == 240
    assert readings["subject"].tolist() == list(range(240))
    assert len(set(readings["at_measurement_sbp"])) == 240


def test_any_executor_gives_the_same_bits(readings):
    with ThreadPoolExecutor(3) as threads:
        assert same(run(STUDY, threads).readings(), readings)


def test_estimators_read_the_same_recordings(readings, tmp_path):
    mine = tmp_path / "mine.py"
    mine.write_text("from sim.estimate.fixed_ratio import FixedRatio\nother = FixedRatio(0.5, 0.8)\n")
    both = run(Study(240, ["fixed-ratio", f"{mine}:other"], seed=3, readings=1, chunk=80), workers=1).readings()
    assert both.estimators == ["fixed-ratio", f"{mine}:other"]
    assert same(both.of("fixed-ratio"), readings)
    other = both.of(f"{mine}:other")
    assert np.array_equal(other["at_measurement_sbp"], readings["at_measurement_sbp"])
    assert (other["sbp"] != readings["sbp"]).all()


def test_finished_chunks_are_not_done_again(readings, tmp_path):
    part = run(STUDY, out=tmp_path, workers=1, stop=lambda: True)
    assert not part.complete
    (first,) = (tmp_path / "readings").iterdir()
    before = first.stat().st_mtime_ns
    told: list[Progress] = []
    whole = run(STUDY, out=tmp_path, workers=1, progress=told.append)
    assert whole.complete
    assert first.stat().st_mtime_ns == before
    assert [p.chunks for p in told] == [1, 2, 3]
    assert told[-1].readings == told[-1].of_readings == 240
    assert same(whole.readings(), readings)


@pytest.mark.parametrize("damage", ["a changed byte", "half a file", "an empty file", "another chunk's name"])
def test_a_damaged_chunk_is_noticed_and_redone(readings, folder, tmp_path, damage):
    shutil.copytree(folder, tmp_path, dirs_exist_ok=True)
    file = sorted((tmp_path / "readings").iterdir())[1]
    data = file.read_bytes()
    if damage == "a changed byte":
        file.write_bytes(data[:1000] + bytes([data[1000] ^ 1]) + data[1001:])
    elif damage == "half a file":
        file.write_bytes(data[: len(data) // 2])
    elif damage == "an empty file":
        file.write_bytes(b"")
    else:
        file.rename(file.with_name(file.name.replace("000001", "000009")))
    (tmp_path / "readings" / "000002-0123.parquet.part").write_bytes(b"half written")
    again = run(STUDY, out=tmp_path, workers=1)
    assert len(again.redone) == 1
    assert again.complete
    assert same(again.readings(), readings)
    assert len(list((tmp_path / "readings").iterdir())) == 3


@pytest.mark.skipif(os.name == "nt", reason="kills as Windows cannot")
def test_a_killed_study_goes_on_where_it_was(readings, tmp_path):
    script = (
        "from pathlib import Path; from sim.study.plan import Study; from sim.study.run import run\n"
        f"run(Study(240, seed=3, readings=1, chunk=80), out={str(tmp_path)!r}, workers=1)\n"
    )
    process = subprocess.Popen([sys.executable, "-c", script])
    until = time.monotonic() + 60
    while not list((tmp_path / "readings").glob("*.parquet")) and time.monotonic() < until:
        time.sleep(0.01)
    process.send_signal(signal.SIGKILL)
    process.wait()
    done = len(list((tmp_path / "readings").glob("*.parquet")))
    assert 1 <= done < 3
    told: list[Progress] = []
    assert same(run(STUDY, out=tmp_path, workers=1, progress=told.append).readings(), readings)
    assert told[0].chunks == done


def test_two_processes_give_the_same_bits_even_where_one_dies(readings, tmp_path):
    """An estimator that kills its own worker, once: the pool is made anew."""
    mine, died = tmp_path / "mine.py", tmp_path / "died"
    mine.write_text(
        "import os, signal\nfrom multiprocessing import parent_process\nfrom pathlib import Path\n"
        "from sim.estimate.fixed_ratio import FixedRatio\n"
        f"def estimate(recording):\n    died = Path({str(died)!r})\n    if parent_process() and not died.exists():\n"
        "        died.touch()\n        os.kill(os.getpid(), signal.SIGKILL)\n    return FixedRatio()(recording)\n"
    )
    found = run(Study(240, {"fixed-ratio": f"{mine}:estimate"}, seed=3, readings=1, chunk=80), workers=2)
    assert died.exists()
    assert same(found.readings(), readings)


def test_another_study_does_not_mix_in(tmp_path):
    run(STUDY, out=tmp_path, workers=1, stop=lambda: True)
    with pytest.raises(StoreError, match="holds another study, with seed 3 instead of 4"):
        run(Study(240, seed=4, readings=1, chunk=80), out=tmp_path)
    (tmp_path / "study.json").write_text("{")
    with pytest.raises(StoreError, match=r"study\.json: is damaged"):
        run(STUDY, out=tmp_path)
    odd = {**STUDY.fingerprint(), "estimators": dict.fromkeys(STUDY.estimators, 1)}
    (tmp_path / "study.json").write_text(json.dumps(odd))
    with pytest.raises(StoreError, match="holds a study whose fixed-ratio has changed since"):
        run(STUDY, out=tmp_path)
    (tmp_path / "file").write_text("")
    with pytest.raises(StoreError, match="file: cannot be used"):
        run(STUDY, out=tmp_path / "file")


def test_a_changed_estimator_is_another_study(tmp_path):
    mine = tmp_path / "mine.py"
    mine.write_text("from sim.estimate.fixed_ratio import FixedRatio as estimate_\nestimate = estimate_()\n")
    run(Study(80, [f"{mine}:estimate"], readings=1), out=tmp_path / "out", workers=1)
    mine.write_text(mine.read_text() + "# changed\n")
    with pytest.raises(StoreError, match=r"holds a study whose .*mine.py:estimate has changed since"):
        run(Study(80, [f"{mine}:estimate"], readings=1), out=tmp_path / "out", workers=1)


def test_the_standards_people_keep_their_rules_over_all_chunks():
    found = run(Study(170, people="standard", chunk=85), workers=1).readings()
    of_subjects = found.take(found["reading"] == 0)
    rules = distribution(
        found["at_measurement_sbp"],
        found["at_measurement_dbp"],
        of_subjects["arm_circumference_cm"],
        of_subjects["sex"],
    )
    assert not [str(rule) for rule in rules if not rule.ok]


def test_a_study_with_a_mistake_in_it_shows_the_mistake():
    low = run(Study(120, readings=1, technique=Technique(cuff_below_heart_cm=10), chunk=120), workers=1)
    assert 5 < np.nanmean(low.readings().error("sbp", "resting")) < 10
    assert abs(np.nanmean(low.readings().error("sbp", "at_cuff"))) < 2
    assert "cuff_below_heart_cm 10.0" in str(low.study.origin)
    assert low.agreement(against="at_cuff").counts.readings == 120


def test_people_of_a_study_are_nobody_the_calibration_saw():
    """Even a study that started from the calibration's own number would draw from streams of its own."""
    rng = np.random.default_rng(np.random.SeedSequence(20_000, spawn_key=(81060, 0)))
    assert not set(cohort(200, rng).sbp) & set(reference_cohort(2000, np.random.default_rng(20_000)).sbp)
    with pytest.raises(FieldError, match="seed = 20000: must be outside 20000 to 29999"):
        Study(100, seed=20_000)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"subjects": 0}, "subjects = 0: must be a whole number from 1"),
        ({"subjects": 20, "people": "standard"}, "subjects = 20: must be a whole number from 40"),
        ({"people": "patients"}, "people = 'patients': must be one of population, standard"),
        ({"readings": 101}, "readings = 101: must be a whole number from 1 to 100"),
        ({"estimators": []}, "estimators = none: must be at least one"),
        ({"estimators": len}, "estimators = <built-in function len>: must be names, or a mapping from names to estim"),
        ({"estimators": [7]}, "estimators = 7: must be names, or a mapping from names to estimators"),
        ({"technique": Technique(slack_cm=[1, 2])}, "technique = 2 values: must be one for the whole study"),
    ],
)
def test_a_study_that_cannot_be(changes, words):
    with pytest.raises(FieldError, match=words):
        Study(**{"subjects": 100, **changes})


def test_an_estimator_that_cannot_be_had(tmp_path):
    mine = tmp_path / "mine.py"
    with pytest.raises(FieldError, match="must be in a file that exists"):
        Study(10, [f"{mine}:estimate"])
    mine.write_text("x = 1")
    with pytest.raises(FieldError, match="there is no 'estimate'"):
        Study(10, [f"{mine}:estimate"])
    with pytest.raises(FieldError, match="'unheard-of': must be one of fixed-ratio"):
        Study(10, ["unheard-of"])


def test_an_estimator_that_fails_is_told_in_one_line_that_comes_through_from_another_process(tmp_path):
    mine = tmp_path / "mine.py"
    mine.write_text("def estimate(recording):\n    return recording.nothing\n")
    words = r"mine.py:estimate: failed: AttributeError: .*nothing.* \(mine.py, line 2"
    with pytest.raises(EstimatorError, match=words) as failed:
        run(Study(80, [f"{mine}:estimate"]), workers=1)
    assert str(pickle.loads(pickle.dumps(failed.value))) == str(failed.value)


def test_a_number_that_there_is_not_is_an_empty_field(readings, tmp_path):
    none = Readings({**readings, "sbp": np.full(readings.rows, np.nan)})
    write_table(tmp_path / "all.csv", [none], Study(80).origin)
    assert "nan" not in (tmp_path / "all.csv").read_text(encoding="utf-8").lower()


def test_tables_for_others(readings, tmp_path):
    import pandas

    origin = Study(80, seed=5).origin
    write_table(tmp_path / "all.csv", [readings.take(slice(0, 100)), readings.take(slice(100, None))], origin)
    write_table(tmp_path / "all.parquet", [readings.take(slice(0, 100)), readings.take(slice(100, None))], origin)
    for table in (
        pandas.read_csv(tmp_path / "all.csv", float_precision="round_trip"),
        pandas.read_parquet(tmp_path / "all.parquet"),
    ):
        assert list(table.columns) == [*readings, "version", "parameters_version", "seed"]
        assert set(table["seed"]) == {5}
        assert np.array_equal(table["sbp"].to_numpy(float), readings["sbp"], equal_nan=True)  # not a digit lost
        assert table["bladder"].astype(str).tolist() == readings["bladder"].tolist()


def test_no_text_in_a_table_for_others_is_a_formula(readings, tmp_path):
    named = Readings({**readings, "estimator": np.full(readings.rows, "=1+1.py:read", dtype=object)})
    write_table(tmp_path / "all.csv", [named], Study(80).origin)
    with (tmp_path / "all.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["estimator"] for row in rows} == {"'=1+1.py:read"}
    assert [float(row["sbp"]) for row in rows if row["sbp"]] == [v for v in named["sbp"] if np.isfinite(v)]

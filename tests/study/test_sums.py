"""Reports from sums: what they say is what the whole table says, in any number of parts, in little memory."""

import contextlib
import io
import subprocess
import sys

import numpy as np
import pytest

from sim.cli import main
from sim.commands.progress import Bar
from sim.fields import FieldError
from sim.figures.tables import lines
from sim.study import sums_store
from sim.study.dependence import MOST_ONE_BY_ONE, PARTS, Along
from sim.study.flat import packed, unpacked
from sim.study.origin import Origin
from sim.study.plan import Study
from sim.study.report import report
from sim.study.run import NotKeptError, Progress, run
from sim.study.store import StoreError
from sim.study.sums import QUANTITIES, Sums, folded, tally
from sim.study.tables import comparison_table, rules_table, tables

STUDY = Study(240, ["fixed-ratio", "slope"], seed=3, readings=2, chunk=80, people="population,irregular")


@pytest.fixture(scope="module")
def done():
    return run(STUDY, workers=1)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A folder with the sums of the study."""
    folder = tmp_path_factory.mktemp("sums")
    assert run(STUDY, out=folder, only_sums=True, workers=1).complete
    return folder


def said(sums, against="at_measurement"):
    """A whole report as text, its pictures' dots too."""
    found = report(sums, Origin(3), against=against)
    shown = [rules_table(found.rules), *(table for a in found.agreements for table in tables(a))]
    shown += [comparison_table(c) for c in found.comparisons]
    dots = [np.round(s.sbp_error, 9).tolist() + np.round(s.dbp_middle, 9).tolist() for s in found.scatters]
    return [line for table in shown for line in lines(table)], dots


@pytest.mark.parametrize("against", ["at_measurement", "at_cuff", "resting"])
def test_sums_of_parts_say_what_the_whole_table_says(done, against):
    whole = done.readings()
    parts = [whole.take((whole["subject"] >= k) & (whole["subject"] < k + 3)) for k in range(0, 240, 3)]
    kept = [unpacked(Sums, packed(tally(part, show_every=1))) for part in parts]  # as a file gives them back
    assert said(folded(kept), against) == said(tally(whole, [against]), against) == said(done.sums(against), against)


def test_figures_are_those_of_the_table_by_plain_formulas(done):
    """Without a sum that was put together: numpy over all rows."""
    mine = done.readings().of("slope")
    error, ok = mine.error("sbp"), mine.ok
    found = report(done.sums(), Origin(3)).agreements[1].sbp
    assert (~ok).any()
    assert found.root_mean_square == pytest.approx(np.sqrt((error[ok] ** 2).mean()))
    assert found.agreement.bias.value == pytest.approx(
        np.mean([error[ok & (mine["subject"] == s)].mean() for s in np.unique(mine["subject"][ok])])
    )
    near = {w: (np.abs(error[ok]) <= w).sum() / len(error) for w in (5, 10, 15)}
    assert {w: share.value for w, share in found.within.items()} == near
    people = np.unique(mine["subject"][ok])
    arms = np.array([mine["arm_circumference_cm"][mine["subject"] == s][0] for s in people])
    means = np.array([error[ok & (mine["subject"] == s)].mean() for s in people])
    by_arm = next(d for d in found.by if d.name == "arm_circumference_cm")
    assert by_arm.correlation == pytest.approx(np.corrcoef(arms, means)[0, 1])
    for part, rows in zip(by_arm.parts, np.array_split(np.argsort(arms, kind="stable"), 5), strict=True):
        assert (part.low, part.high) == pytest.approx((arms[rows].min(), arms[rows].max()))
        assert (part.mean, part.sd) == pytest.approx((means[rows].mean(), means[rows].std(ddof=1)))


def test_very_many_people_are_counted_in_bins_whose_edges_are_right_to_a_bin():
    rng = np.random.default_rng(4)
    n = 4 * MOST_ONE_BY_ONE
    x = rng.normal(30, 4, n)
    y = np.stack([0.3 * (x - 30) + rng.normal(0, 5, n), rng.normal(0, 5, n)], axis=1)
    parts = [Along.of({"heart_rate": x[k::50]}, y[k::50]) for k in range(50)]
    many = Along.merged([Along.merged(parts[:30]), *parts[30:]])
    assert len(many.bins["heart_rate"].count) < 4000
    for kind in (0, 1):
        found = many.dependence("heart_rate", "heart rate", "per min", kind)
        assert found is not None
        assert found.edges_to == 0.01
        assert found.correlation == pytest.approx(np.corrcoef(x, y[:, kind])[0, 1])
        for part, rows in zip(found.parts, np.array_split(np.argsort(x), PARTS), strict=True):
            assert part.subjects == len(rows)
            assert (part.low, part.high) == pytest.approx((x[rows].min(), x[rows].max()), abs=0.01)
            assert (part.mean, part.sd) == pytest.approx((y[rows, kind].mean(), y[rows, kind].std(ddof=1)), abs=0.01)


def test_only_sums_are_kept_and_the_report_is_the_same(done, folder):
    kept = run(STUDY, out=folder, only_sums=True, workers=1)
    for against in ("at_measurement", "at_cuff", "resting"):
        assert said(kept.sums(against), against) == said(done.sums(against), against)
    assert sorted(file.name for file in folder.iterdir()) == ["study.json", "study.lock", "sums"]
    assert set(QUANTITIES) == set(kept.sums().by_estimator["slope"].along.joints)
    with pytest.raises(NotKeptError, match="only sums are kept"):
        kept.readings()
    with pytest.raises(FieldError, match="against = 'other'"):
        report(kept.sums(), Origin(3), against="other")


def test_sums_go_on_after_a_stop_and_damage_and_end_in_one_file(done, tmp_path, monkeypatch):
    monkeypatch.setattr(sums_store, "BLOCK", 2)
    assert not run(STUDY, out=tmp_path, only_sums=True, workers=1, stop=lambda: True).complete
    (first,) = (tmp_path / "sums").iterdir()
    data = first.read_bytes()
    first.write_bytes(data[:500] + bytes([data[500] ^ 1]) + data[501:])
    assert run(STUDY, out=tmp_path, only_sums=True, workers=1).redone == (first.name,)
    assert sorted(file.name[:13] for file in (tmp_path / "sums").iterdir()) == ["000000-000001", "000002-000002"]
    first.write_bytes(data)  # as if the block had been written, and a kill had come before its parts were removed
    again = run(STUDY, out=tmp_path, only_sums=True, workers=1)
    assert (again.complete, again.redone, first.exists()) == (True, (), False)
    assert said(again.sums()) == said(done.sums())


def test_a_folder_keeps_either_readings_or_sums(folder, tmp_path):
    with pytest.raises(StoreError, match="holds only the sums of this study"):
        run(STUDY, out=folder)
    run(STUDY, out=tmp_path, workers=1, stop=lambda: True)
    with pytest.raises(StoreError, match="holds this study with every reading, not its sums"):
        run(STUDY, out=tmp_path, only_sums=True)
    with pytest.raises(FieldError, match="only_sums = True: must be given with `out`"):
        run(STUDY, only_sums=True)


def test_the_command_keeps_only_sums(tmp_path, capsys):
    asked = ["study", "--subjects", "6", "--readings", "1", "--workers", "1"]
    assert main([*asked, "--only-sums"]) == 2
    assert "--only-sums: needs --out, the folder" in capsys.readouterr().err
    assert main([*asked, "--only-sums", "--csv", "--out", str(tmp_path)]) == 2
    assert "--only-sums: keeps no readings that --csv could write" in capsys.readouterr().err


def drawn(progress):
    """The bar's text on a terminal."""

    class Terminal(io.StringIO):
        def isatty(self):
            return True

    with contextlib.redirect_stderr(Terminal()) as shown:
        Bar()(progress)
    return shown.getvalue()


def test_a_study_that_goes_on_shows_the_pace_of_this_run(tmp_path, monkeypatch):
    """Two of three chunks were there; a chunk of 80 readings takes 4 s by this clock, and the first hours ago."""
    study = Study(240, seed=3, readings=1, chunk=80)
    run(study, out=tmp_path, workers=1, stop=iter([False, True]).__next__)
    clock = iter(range(10_000, 20_000, 4))
    monkeypatch.setattr("sim.study.run.time.monotonic", lambda: next(clock))
    told: list[Progress] = []
    run(study, out=tmp_path, workers=1, progress=told.append)
    before, after = told
    assert "/s" not in drawn(before)  # not "0/s"
    assert "240 of 240 readings, 10/s" in drawn(after)
    assert (before.readings, before.per_s, before.left_s) == (160, 0, None)
    assert (after.readings, after.per_s, after.left_s) == (240, 80 / 8, 0)


MILLION = """
import sys
from pathlib import Path
import numpy as np
from sim.study.plan import Study
from sim.study.readings import Readings
from sim.study.report import report
from sim.study.run import run
from sim.study.store import Store
from sim.study.sums import COLUMNS
study = Study(250_000, readings=4, chunk=10_000)
rng, store, n = np.random.default_rng(1), Store(Path(sys.argv[1]), study), study.rows(0)
made = {name: rng.normal(120 if "sbp" in name else 70, 5, n).round(1) for name in COLUMNS}
made |= {"arm_circumference_cm": np.repeat(rng.normal(32, 4, n // 4), 4), "reading": np.arange(n) % 4}
made |= {name: np.full(n, text) for name, text in {"estimator": "a", "reason": "", "sex": "male"}.items()}
for chunk in range(study.chunks):
    made["subject"] = 10_000 * chunk + np.arange(n) // 4
    store.write(chunk, Readings(made))
a = report(run(study, out=sys.argv[1]).sums("resting"), study.origin, against="resting").agreements[0]
status = Path("/proc/self/status").read_text()  # getrusage would count the process that started this one
peak_mb = int(status.split("VmHWM:")[1].split()[0]) / 1024
print(a.counts.readings, a.sbp.parts.sd, a.sbp.by[0].edges_to, peak_mb)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="asks the system for the memory used as Linux tells it")
def test_a_report_over_a_million_readings_takes_less_than_500_mb(tmp_path):
    """Held as a table, they took 470 MB more than the program."""
    found = subprocess.run([sys.executable, "-c", MILLION, str(tmp_path)], capture_output=True, text=True, check=True)
    readings, sd, edges_to, peak_mb = map(float, found.stdout.split())
    assert (readings, edges_to) == (1_000_000, 0.01)
    assert sd == pytest.approx(5 * 2**0.5, rel=0.01)  # of the difference of two such numbers
    assert peak_mb < 500

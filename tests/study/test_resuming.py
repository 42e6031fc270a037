"""A study goes on only with the algorithm that began it: its file, all that it imports, all that it reads."""

import sys
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import numpy as np
import pytest

from sim.estimate.checked import EstimatorError
from sim.estimate.door import read
from sim.estimate.fixed_ratio import FixedRatio
from sim.estimate.from_file import load
from sim.estimate.oscillogram import OscillogramBuilder, oscillogram
from sim.study import identity as identity_module
from sim.study.identity import program
from sim.study.plan import Study
from sim.study.run import run
from sim.study.store import StoreError
from sim.study.trial_recordings import people

# Two chunks of a study whose algorithm needs something else than its own file.
PLAN: dict[str, Any] = {"readings": 1, "chunk": 80}

IMPORTS = {
    "beside": ("from ratios import HIGH", "ratios.py"),
    "in a package": ("from mine.ratios import HIGH", "mine/ratios.py"),
    "through another": ("from middle import HIGH", "ratios.py"),
    "only when it reads": ("def high():\n    from ratios import HIGH\n    return HIGH", "ratios.py"),
}
READS = {
    "json when loaded": "import json\nHIGH = json.loads(FILE.read_text())",
    "json when it reads": "import json\ndef high():\n    with open(FILE) as file:\n        return json.load(file)",
    "numpy": "import numpy as np\ndef high():\n    return float(np.loadtxt(FILE))",
    "bytes": "import os\nnumber = os.open(FILE, os.O_RDONLY)\nHIGH = float(os.read(number, 100))\nos.close(number)",
    "in compiled code": "import pyarrow\nHIGH = float(pyarrow.OSFile(str(FILE.with_name('ratio.json'))).read())",
    "from elsewhere": "HIGH = float(OTHER.read_text())",
}
ESTIMATE = """
from pathlib import Path
from sim.estimate.fixed_ratio import FixedRatio
FILE, OTHER = Path(__file__).parent / ("ratio" + ".json"), Path(__file__).parent.parent / "elsewhere" / "ratio.txt"
{first}
def estimate(recording):
    return FixedRatio(high() if "high" in globals() else HIGH, 0.77)(recording)
"""


@pytest.fixture
def folder(tmp_path):
    """Where somebody's algorithm lives, with what it may need; nobody else imports from here."""
    home = tmp_path / "home"
    (home / "mine").mkdir(parents=True)
    (tmp_path / "elsewhere").mkdir()
    for name in ("ratios.py", "mine/ratios.py"):
        (home / name).write_text("HIGH = 0.55\n")
    (home / "middle.py").write_text("from ratios import HIGH\n")
    for file in (home / "ratio.json", tmp_path / "elsewhere" / "ratio.txt"):
        file.write_text("0.55\n")
    before = list(sys.path), set(sys.modules)
    yield home
    assert sys.path == before[0]
    assert not {"ratios", "mine", "mine.ratios", "middle"} & (set(sys.modules) - before[1])


def written(folder, first):
    (folder / "algorithm.py").write_text(ESTIMATE.format(first=first))
    return f"{folder / 'algorithm.py'}:estimate"


def begun(given, out, workers=1):
    """The first chunk of a study of two."""
    assert not run(Study(160, [given], **PLAN), out=out, workers=workers, stop=lambda: True).complete


@pytest.mark.parametrize("way", IMPORTS)
def test_what_it_imports_belongs_to_the_algorithm(folder, tmp_path, way):
    first, helper = IMPORTS[way]
    given = written(folder, first)
    begun(given, tmp_path / "out")
    (folder / helper).write_text("HIGH = 0.45\n")
    with pytest.raises(StoreError, match=rf"algorithm\.py:estimate has changed since \({helper}\); choose another"):
        run(Study(160, [given], **PLAN), out=tmp_path / "out", workers=1)
    (folder / helper).write_text("HIGH = 0.55\n")
    assert run(Study(160, [given], **PLAN), out=tmp_path / "out", workers=1).complete


@pytest.mark.parametrize("way", READS)
def test_what_it_reads_belongs_to_the_algorithm(folder, tmp_path, way):
    given = written(folder, READS[way])
    begun(given, tmp_path / "out")
    file = tmp_path / "elsewhere" / "ratio.txt" if "OTHER" in READS[way] else folder / "ratio.json"
    file.write_text("0.45\n")
    with pytest.raises(StoreError, match=rf"algorithm\.py:estimate has changed since \(.*{file.name}\)"):
        run(Study(160, [given], **PLAN), out=tmp_path / "out", workers=1)


def test_a_study_of_such_an_algorithm_goes_on_and_can_be_moved_as_a_whole(folder, tmp_path):
    begun(written(folder, IMPORTS["through another"][0]), tmp_path / "out")
    folder = folder.rename(tmp_path / "moved")
    moved = {f"{tmp_path / 'home' / 'algorithm.py'}:estimate": f"{folder / 'algorithm.py'}:estimate"}
    found = run(Study(160, moved, **PLAN), out=tmp_path / "out", workers=1)
    assert found.complete
    expected = run(Study(160, {"x": FixedRatio(0.55, 0.77)}, **PLAN), workers=1)
    assert np.array_equal(found.readings()["sbp"], expected.readings()["sbp"], equal_nan=True)


def test_a_changed_helper_is_read_as_it_is_now(folder):
    """The same process, the same text of the algorithm: its helper is imported anew."""
    recording = people().recording.take(slice(0, 3))
    for high in (0.55, 0.45, 0.65):
        (folder / "ratios.py").write_text(f"HIGH = {high}\n")
        for first, _ in (IMPORTS["beside"], IMPORTS["only when it reads"]):
            found = read(written(folder, first), recording).sbp
            assert found.tolist() == FixedRatio(high, 0.77)(recording).sbp.tolist()


def test_two_algorithms_may_each_have_a_helper_of_one_name(tmp_path):
    recording = people().recording.take(slice(0, 3))
    for first, _ in (IMPORTS["beside"], IMPORTS["only when it reads"]):
        loaded = {}
        for high in (0.55, 0.45):
            home = tmp_path / f"version {high}"
            home.mkdir(exist_ok=True)
            (home / "ratios.py").write_text(f"HIGH = {high}\n")
            loaded[high] = load(written(home, first))
        for high, estimator in [*loaded.items(), *loaded.items()]:
            assert read(estimator, recording).sbp.tolist() == FixedRatio(high, 0.77)(recording).sbp.tolist()


def test_threads_may_read_with_it_at_once(folder):
    estimator = load(written(folder, IMPORTS["only when it reads"][0]))
    recording = people().recording.take(slice(0, 1))
    with ThreadPoolExecutor(4) as threads:
        found = list(threads.map(lambda _: read(estimator, recording).sbp[0], range(40)))
    assert set(found) == {FixedRatio(0.55, 0.77)(recording).sbp[0]}


def test_what_it_writes_and_what_libraries_read_is_not_its_own(folder):
    first = (
        "import scipy.special, json\nLOG = Path(__file__).parent / 'log.txt'\n"
        "LOG.write_text('begun')\nLOG.read_text()\nHIGH = 0.55"
    )
    found = load(written(folder, first))
    assert (found.imports, found.files) == ((), ())


def test_a_file_that_changes_while_a_study_runs_ends_it(folder, tmp_path):
    """Each chunk asks again: the readings of one study are all of one algorithm."""
    study = Study(160, [written(folder, READS["json when it reads"])], **PLAN)
    with pytest.raises(
        EstimatorError, match=r"algorithm\.py:estimate: ratio\.json has changed since the algorithm was"
    ):
        run(study, out=tmp_path / "out", workers=1, progress=lambda p: (folder / "ratio.json").write_text("0.45"))
    assert len(list((tmp_path / "out" / "readings").iterdir())) == 1


@pytest.mark.parametrize("way", ["imported", "read"])
def test_a_worker_works_with_nothing_else_than_was_planned(folder, way):
    """Between the plan and the start of the processes, what the algorithm stands on is changed."""
    study = Study(
        160, [written(folder, IMPORTS["beside"][0] if way == "imported" else READS["json when loaded"])], **PLAN
    )
    (folder / "ratios.py").write_text("HIGH = 0.45\n")
    (folder / "ratio.json").write_text("0.45")
    name = "ratios.py" if way == "imported" else "ratio.json"
    with pytest.raises(EstimatorError, match=rf"algorithm\.py:estimate: {name} has changed since"):
        run(study, workers=2)


def test_workers_give_the_same_bits_with_a_helper_that_is_imported_late(folder):
    study = Study(160, [written(folder, IMPORTS["only when it reads"][0])], **PLAN)
    one, two = (run(study, workers=workers).readings()["sbp"] for workers in (1, 2))
    assert np.array_equal(one, two, equal_nan=True)


def _of_ones_own(recording):
    return FixedRatio()(recording)


@pytest.mark.parametrize(
    "estimator", [_of_ones_own, lambda recording: FixedRatio()(recording), FixedRatio(build=lambda r: oscillogram(r))]
)
def test_an_object_that_nobody_knows_goes_on_only_in_the_process_that_began(tmp_path, estimator, monkeypatch):
    run(Study(160, {"mine": estimator}, **PLAN), out=tmp_path, workers=1, stop=lambda: True)
    known = dict(identity_module._objects)
    monkeypatch.setattr(identity_module, "_objects", {})  # as in another process
    with pytest.raises(StoreError, match=r"whose mine was given as an object, .*: give it as file\.py:name"):
        run(Study(160, {"mine": estimator}, **PLAN), out=tmp_path, workers=1)
    monkeypatch.setattr(identity_module, "_objects", known)
    assert run(Study(160, {"mine": estimator}, **PLAN), out=tmp_path, workers=1).complete


def test_settings_of_this_programs_own_estimators_are_known(tmp_path):
    settings = FixedRatio(0.5, build=OscillogramBuilder(smoothing_mmhg=8))
    run(Study(160, {"mine": settings}, **PLAN), out=tmp_path, workers=1, stop=lambda: True)
    with pytest.raises(StoreError, match="whose mine has changed since"):
        run(Study(160, {"mine": FixedRatio(0.6)}, **PLAN), out=tmp_path, workers=1)
    again = FixedRatio(0.5, build=OscillogramBuilder(smoothing_mmhg=8))
    assert run(Study(160, {"mine": again}, **PLAN), out=tmp_path, workers=1).complete


def test_another_state_of_the_program_does_not_go_on(tmp_path, monkeypatch):
    run(Study(160, **PLAN), out=tmp_path, workers=1, stop=lambda: True)
    assert len(program()) == 64
    monkeypatch.setattr("sim.study.plan.program", lambda: "0" * 64)
    with pytest.raises(StoreError, match="holds a study made with another state of this program"):
        run(Study(160, **PLAN), out=tmp_path, workers=1)

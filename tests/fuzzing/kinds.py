"""The kinds of input that people bring: each makes a valid one, changes it, and reads it as the program does.

A change leaves most of the structure standing (`change`). What a reader may raise is named with it; anything else is
foreign, and a fault of the program.
"""

from __future__ import annotations

import functools
import io
import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq

from sim.estimate.door import read as estimate
from sim.explain.schedules import schedules
from sim.files.any_file import write_single
from sim.files.dataset import dataset, write_dataset
from sim.files.errors import FileError
from sim.files.from_bytes import opened as opened_bytes
from sim.logs.log import LogError
from sim.logs.read import read_log
from sim.logs.summary import summarise
from sim.logs.write_csv import write_csv as log_to_csv
from sim.logs.write_fhir import write_fhir
from sim.measurement import measure
from sim.results import Recording
from sim.setup import Setup
from sim.study.plan import Study
from sim.study.run import run
from sim.study.store import Store, StoreError, opened
from sim.teach.lesson import load_all, place
from sim.teach.parse import parse
from sim.teach.practice_answers import Verdict
from sim.teach.progress import Progress, Recall
from sim.teach.progress_text import NoProgressError, brought, to_code, to_text
from tests.fuzzing.change import bytes_changed, one_of, text_changed, value_changed
from tests.logs.files import week
from tests.teach.learners import finished

Files = dict[str, bytes]
Rng = np.random.Generator
# An estimator reads recordings of at least so many samples; shorter ones are only opened.
_WHOLE = 400


@dataclass(frozen=True)
class Kind:
    """changed: some files, changed;  read: reads them;  raises: what it may raise, each with one clear line."""

    changed: Callable[[Rng], Files]
    read: Callable[[Files], None]
    raises: tuple[type[Exception], ...]


@functools.cache
def _measured() -> tuple[Any, Setup]:
    setup = Setup.of(sbp=[120.0, 150.0, 135.0]).spread(3)
    setup = Setup(setup.subject, setup.technique, setup.instrument.replace(sampling_hz=50.0))
    return measure(setup.subject, setup.technique, setup.instrument, rng=np.random.default_rng(1)), setup


def _written(name: str, write: Callable[[Path], None]) -> Files:
    """The files that `write` makes of a path, by name."""
    with TemporaryDirectory() as folder:
        write(Path(folder) / name)
        return {file.name: file.read_bytes() for file in Path(folder).iterdir()}


@functools.cache
def _recordings(suffix: str) -> tuple[Files, ...]:
    """A short piece of a fall, most of the time, and a whole one, seldom."""
    result, _ = _measured()
    r = result.recording
    short = Recording(r.sampling_hz, r.pressure_mmhg[:1, 400:440], np.array([40]))
    pieces = [_written(f"r{suffix}", functools.partial(write_single, recording=each)) for each in (short, r)]
    return (pieces[0],) * 40 + (pieces[1],)


@functools.cache
def _tables() -> tuple[Files, ...]:
    """Other dialects of a table with a recording."""
    texts = [
        "time_s;pressure_mmhg;note\ns;mmHg;\n0;150;a\n0,01;149,5;\n0,02;149;b\n",
        "# sampling_hz = 100\ntime_s,pressure_kpa\n0,20\n0.01,19.9\n0.02,\n",
        "Time [ms]\tCuff [kPa]\tECG [mV]\n0\t20\t0.1\n10\t19.9\t0.2\n20\t19.8\t0.3\n",
        '"time_s","pressure_mmhg","flow_l"\n0,150,1\n0.01,149,1\n0.02,148,1\n',
        "# sampling_hz = 100\nsample,pressure_mmhg\n0,150\n1,149\n2,148\n",
    ]
    return tuple({"r.csv": text.encode()} for text in texts)


def _changed_table(rng: Rng) -> Files:
    files = one_of(_tables(), rng) if rng.random() < 0.5 else one_of(_recordings(".csv"), rng)
    return {name: text_changed(data.decode(), rng).encode() for name, data in files.items()}


def _changed_record(rng: Rng) -> Files:
    files = dict(one_of(_recordings(".hea"), rng))
    if rng.random() < 0.8:
        files["r.hea"] = text_changed(files["r.hea"].decode(), rng).encode()
    if rng.random() < 0.4:
        files["r.dat"] = bytes_changed(files["r.dat"], rng)
    return files


def _open(files: Files) -> None:
    """Open as an upload; what is a whole recording is read by an estimator."""
    name = next(name for name in files if not name.endswith(".dat"))
    recording, _ = opened_bytes(files, name)
    if recording.pressure_mmhg.shape[1] >= _WHOLE:
        estimate("fixed-ratio", recording)


@functools.cache
def _data(suffix: str) -> bytes:
    result, setup = _measured()
    short = Recording(50.0, result.recording.pressure_mmhg[:, 400:420].copy(), np.array([20, 20, 20]))
    data = dataset(short, result.truth, setup, seed=1)
    return next(iter(_written(f"d{suffix}", lambda file: write_dataset(file, data)).values()))


_TYPES = ["f2", "f4", "f8", "i1", "i8", "u2", "?"]


def _changed_array(values: np.ndarray, rng: Rng) -> np.ndarray:
    """Another shape, another type, another value, words, or nothing."""
    what = int(rng.integers(7))
    if what == 0 and values.size:
        values = values.copy()
        if values.dtype.kind == "f":
            values.flat[int(rng.integers(values.size))] = one_of((np.nan, np.inf, -1.0, 1e300, 0.0), rng)
        return values
    if what == 1:
        return values.reshape(-1)[: int(rng.integers(values.size + 1))]
    if what == 2 and values.dtype.kind in "fiu":
        with np.errstate(all="ignore"):
            return values.astype(one_of(_TYPES, rng))
    if what == 3:
        return values.astype(str)
    if what == 4:
        return values[..., None]
    if what == 5:
        return np.array(one_of((np.nan, 0, -1, 2**60, "x", ""), rng))
    return np.flip(values)


def _changed_arrays(rng: Rng) -> Files:
    if rng.random() < 0.2:
        return {"d.npz": bytes_changed(_data(".npz"), rng)}
    with np.load(io.BytesIO(_data(".npz"))) as found:
        arrays = dict(found)
    name = one_of(list(arrays), rng)
    if rng.random() < 0.2:
        del arrays[name]
    elif rng.random() < 0.25:
        arrays["origin"] = np.array(json.dumps(value_changed(json.loads(str(arrays["origin"])), rng)))
    else:
        arrays[name] = _changed_array(arrays[name], rng)
    out = io.BytesIO()
    np.savez(out, **arrays)
    return {"d.npz": out.getvalue()}


def _changed_columns(rng: Rng) -> Files:
    if rng.random() < 0.2:
        return {"d.parquet": bytes_changed(_data(".parquet"), rng)}
    table = pq.read_table(io.BytesIO(_data(".parquet")))
    name = one_of(table.column_names, rng)
    place_ = table.column_names.index(name)
    what = rng.random()
    if what < 0.15:
        table = table.drop_columns([name])
    elif what < 0.3:
        origin = json.loads(table.schema.metadata[b"origin"])
        table = table.replace_schema_metadata({"origin": json.dumps(value_changed(origin, rng))})
    elif what < 0.5:
        table = table.set_column(place_, name, pa.nulls(len(table), table.schema.field(name).type))
    elif what < 0.6:
        table = pa.concat_tables([table] * int(rng.integers(2, 4)))
    else:
        values = table.column(name).to_pylist()
        values[int(rng.integers(len(values)))] = one_of((None, values[0]), rng)
        other = one_of((values, [str(v) for v in values], [[1.0]] * len(values), [0] * len(values), [b"x"] * 3), rng)
        table = table.set_column(place_, name, pa.array(other))
    out = io.BytesIO()
    pq.write_table(table, out)
    return {"d.parquet": out.getvalue()}


@functools.cache
def _logs() -> tuple[str, ...]:
    table = week(days=2)
    diary = "date,morning,evening\n5/6/2024,143/90/72,138/85\n5/7/2024,141/88,,\n5/8/2024,139/86/70,135/84/69\n"
    return table, diary, table.replace(",", ";").replace("2024-05-0", "0"), log_to_csv(read_log(table.encode()))


def _changed_log(rng: Rng) -> Files:
    text = text_changed(one_of(_logs(), rng), rng)
    return {"log": text.encode(one_of(("utf-8", "utf-16", "latin-1", "utf-8-sig"), rng), errors="replace")}


@functools.cache
def _bundle() -> dict[str, Any]:
    return write_fhir(read_log(week(days=1).encode()))


def _changed_bundle(rng: Rng) -> Files:
    text = json.dumps(value_changed(_bundle(), rng))
    return {"log": (text_changed(text, rng) if rng.random() < 0.2 else text).encode(errors="replace")}


def _summarize(files: Files) -> None:
    summarise(read_log(files["log"]), next(iter(schedules().values())))


@functools.cache
def _lessons() -> tuple[str, ...]:
    return tuple(file.read_text(encoding="utf-8") for file in place().iterdir() if file.name[:1].isdigit())


def _changed_lesson(rng: Rng) -> Files:
    return {"our.md": text_changed(one_of(_lessons(), rng), rng).encode(errors="replace")}


def _parse(files: Files) -> None:
    lesson, faults = parse("our.md", files["our.md"].decode(errors="replace"), local=True)
    if (lesson is None) != bool(faults):
        raise AssertionError("a lesson without faults, or faults and a lesson")
    if faults:
        raise _FaultsError(max(map(str, faults), key=len))


class _FaultsError(Exception):
    """The longest of a lesson's faults, which are returned and not raised."""


@functools.cache
def _learner() -> Progress:
    lessons, _ = load_all()
    verdict = Verdict(("technique.talking",), (), (), True, True, False)
    return Progress(
        lessons={each.name: finished(each, wrong=("check-0",)) for each in lessons[:4]},
        cases={1503: verdict, 3002: verdict},
        tests={7: {1001: verdict}},
        recalls=(Recall(1000, "01-arm-height", "check-0", True),),
    )


def _changed_progress(rng: Rng) -> Files:
    learner = _learner()
    if rng.random() < 0.3:
        return {"progress": text_changed(to_code(learner), rng).encode(errors="replace")}
    changed = json.dumps(value_changed(json.loads(to_text(learner)), rng))
    return {"progress": (changed if rng.random() < 0.8 else text_changed(changed, rng)).encode(errors="replace")}


def _bring(files: Files) -> None:
    found = brought(files["progress"].decode(errors="replace"))
    if brought(to_text(found)) != found:
        raise AssertionError("progress that is read again is another")


@functools.cache
def _study() -> tuple[Study, Files]:
    study = Study(4, readings=1, chunk=80)
    with TemporaryDirectory() as folder:
        run(study, out=Path(folder) / "s", workers=1)
        files = [file for file in (Path(folder) / "s").rglob("*") if file.is_file() and file.name != "study.lock"]
        return study, {file.relative_to(Path(folder) / "s").as_posix(): file.read_bytes() for file in files}


def _changed_folder(rng: Rng) -> Files:
    files = dict(_study()[1])
    name = one_of(list(files), rng)
    what = rng.random()
    if name == "study.json" and what < 0.8:
        files[name] = json.dumps(value_changed(json.loads(files[name]), rng)).encode(errors="replace")
    elif what < 0.6:
        files[name] = bytes_changed(files[name], rng)
    elif what < 0.8:
        files[text_changed(name, rng).replace("\x00", "").replace("/", "_")[:80].strip(".") or "x"] = files.pop(name)
    else:
        del files[name]
    return files


def _resume(files: Files) -> None:
    with TemporaryDirectory() as folder:
        for name, data in files.items():
            file = Path(folder) / name
            file.parent.mkdir(exist_ok=True)
            file.write_bytes(data)
        with opened(Path(folder), _study()[0], Store) as store:
            store.read()


KINDS = {
    "table": Kind(_changed_table, _open, (FileError,)),
    "record": Kind(_changed_record, _open, (FileError,)),
    "arrays": Kind(_changed_arrays, _open, (FileError,)),
    "columns": Kind(_changed_columns, _open, (FileError,)),
    "log": Kind(_changed_log, _summarize, (LogError,)),
    "bundle": Kind(_changed_bundle, _summarize, (LogError,)),
    "lesson": Kind(_changed_lesson, _parse, (_FaultsError,)),
    "progress": Kind(_changed_progress, _bring, (NoProgressError,)),
    "folder": Kind(_changed_folder, _resume, (StoreError,)),
}

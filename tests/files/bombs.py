"""Files that claim to hold more than they should, or other things than numbers."""

import io
import json
import zipfile

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq

from sim import Subject, measure
from sim.files.dataset import dataset
from sim.setup import Setup


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

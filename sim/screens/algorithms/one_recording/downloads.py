"""What can be taken away: the recording in files that commands read back, and the table."""

from __future__ import annotations

import io
import zipfile
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import streamlit as st

from sim.files.csv_file import write_csv
from sim.files.dataset import write_dataset
from sim.files.wfdb_file import write_wfdb
from sim.screens.algorithms.one_recording import table
from sim.screens.algorithms.one_recording.chosen_algorithms import Read, Step
from sim.screens.algorithms.one_recording.source import Source

# What 16 bits hold in steps of 0.01 mmHg.
_MOST_WFDB_MMHG = 327.0


def show(source: Source, reads: list[Read], step: Step) -> None:
    """A button for each kind of file; a file is made when its button is pressed."""
    st.header("Download", anchor=False)
    fits = fits_wfdb(source)
    with st.container(horizontal=True):
        _button("Recording (CSV)", partial(recording_csv, source), f"{source.name}.csv", "text/csv")
        _button(
            "Recording (WFDB)",
            partial(recording_wfdb, source),
            f"{source.name}.zip",
            "application/zip",
            "A header and its samples in 16 bits, zipped. Exact where the sensor's steps are 0.01 mmHg or a round "
            "multiple of it; otherwise in steps of 0.01 mmHg."
            if fits
            else f"Needs at least one sample, and pressures within {_MOST_WFDB_MMHG:g} mmHg.",
            not fits,
        )
        if source.as_dataset is not None:
            words = "The recording with its truth and everything it was made from."
            for suffix, label in ((".npz", "With the truth (NPZ)"), (".parquet", "With the truth (Parquet)")):
                mime = "application/octet-stream"
                _button(label, partial(recording_dataset, source, suffix), f"{source.name}{suffix}", mime, words)
        if reads:
            file = f"{source.name}-algorithms.csv"
            _button("Table (CSV)", partial(table.as_csv, source, reads, step), file, "text/csv")
    known = "" if source.truth is not None else " A data set (NPZ, Parquet) needs the truth, which nobody knows here."
    made = f"Made with {source.origin}" if source.origin else "From your file, unchanged"
    st.caption(
        f"{made}. Every recording can be opened on this page again and with `cuffbias read` (WFDB: unzip it first)."
        f"{known}"
    )


def recording_csv(source: Source) -> bytes:
    """The recording as CSV, exact; where it is simulated, its first line says how."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "recording.csv"
        write_csv(file, source.recording)
        return (_remark(source) + file.read_text(encoding="ascii")).encode("ascii")


def recording_wfdb(source: Source) -> bytes:
    """The recording as a WFDB record, header and samples in a zip file."""
    with TemporaryDirectory() as folder:
        header = Path(folder) / f"{source.name}.hea"
        write_wfdb(header, source.recording)
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
            packed.writestr(header.name, header.read_text(encoding="ascii") + _remark(source))
            packed.write(header.with_suffix(".dat"), f"{source.name}.dat")
        return out.getvalue()


def recording_dataset(source: Source, suffix: str) -> bytes:
    """The recording with its truth, as .npz or .parquet."""
    assert source.as_dataset is not None
    with TemporaryDirectory() as folder:
        file = Path(folder) / f"recording{suffix}"
        write_dataset(file, source.as_dataset())
        return file.read_bytes()


def fits_wfdb(source: Source) -> bool:
    """Whether a WFDB record can hold these pressures."""
    known = source.recording.pressure_mmhg[np.isfinite(source.recording.pressure_mmhg)]
    return bool(len(known)) and float(np.abs(known).max()) <= _MOST_WFDB_MMHG


def _remark(source: Source) -> str:
    return f"# simulated: {source.origin}\n" if source.origin else ""


def _button(label: str, make: partial, file: str, mime: str, words: str | None = None, off: bool = False) -> None:
    st.download_button(
        label,
        make,
        file,
        mime,
        key=f"take-{label}",
        help=words,
        icon=":material/download:",
        on_click="ignore",
        disabled=off,
    )

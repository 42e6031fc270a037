"""A file of one's own: asked for, opened, kept in this browser session only."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Hashable
from functools import partial
from pathlib import Path

import numpy as np
import streamlit as st

from sim.files.dataset import Dataset
from sim.files.from_bytes import SUFFIXES, Files, openable, opened, safe, signals
from sim.results import Recording
from sim.screens.algorithms.one_recording import chosen_algorithms, example, part
from sim.screens.algorithms.one_recording.source import Source

MOST_MB = 20
_KEY, _ROUND = "recording-files", "recording-round"
PROMISE = (
    "The file is kept only while this page is open, and it is not sent on. While it is read, a copy stands in a "
    "temporary folder. No name should be in it."
)
FORMATS = """
- **CSV**: a header that names its units, such as `time_s,pressure_mmhg` (or `time_ms`, `pressure_kpa`), or a line of
  units below the names. Other columns are passed over. An empty cell of pressure is a dropped sample.
- **WFDB**: the header (`.hea`) and its file of samples (`.dat`), chosen together; formats 16, 24, 32, 61, 80, 160 and
  212, in mmHg or kPa.
- **Data set** (`.npz`, `.parquet`): many recordings with their truth, as `cuffbias recordings train.npz` writes them.
"""


def ask() -> Source | None:
    """The recording in the file of this session; None where there is no file yet. Raises FileError."""
    st.file_uploader(
        "A recording of the cuff's pressure",
        type=[suffix.removeprefix(".") for suffix in SUFFIXES],
        accept_multiple_files=True,
        max_upload_size=MOST_MB,
        key=_uploader(),
        on_change=_take,
        help="CSV, WFDB (header and samples together), or a data set.",
    )
    with st.container(horizontal=True):
        st.button("Use an example", on_click=_example, icon=":material/description:")
        st.button("Remove this file", on_click=_forget, icon=":material/delete:", disabled=_KEY not in st.session_state)
    st.caption(PROMISE)
    with st.expander("Which files can be read", icon=":material/menu_book:"):
        st.markdown(FORMATS)
    files: Files | None = st.session_state.get(_KEY)
    return _source(files) if files else None


def _source(files: Files) -> Source:
    """The recording in a file, with the widgets that say which where it has several. Raises FileError."""
    names = openable(files)
    name = names[0] if len(names) == 1 else st.selectbox("Which file", names)
    digest = hashlib.sha256(b"".join(part.encode() + b"\0" + files[part] for part in sorted(files))).hexdigest()
    signal = None
    found = signals(files, name)
    if found:
        label = "Which signal of this file"
        signal = st.selectbox(label, list(found), format_func=found.__getitem__, key=f"signal-{digest}-{name}")
    opening = digest, name, signal
    key: tuple[Hashable, ...] = opening
    recording, data = _opened(opening, files)
    if data is None:
        recording, between = part.ask(recording, f"{digest}-{name}-{signal}")
        key = (*key, *between)
        return Source(recording, None, key, _stem(name), f"the file {safe(name)}")
    row = 0
    if len(recording) > 1:
        label = f"Which of its {len(recording)} recordings"
        row = int(st.number_input(label, 1, len(recording), 1, key=f"row-{digest}-{name}")) - 1
    return row_of(data, row, (*key, row), name)


def row_of(data: Dataset, row: int, key: tuple[Hashable, ...], name: str) -> Source:
    """One recording of a data set, with its truth."""
    count = int(data.recording.samples[row])
    one = slice(row, row + 1)
    pressure = np.asarray(data.recording.pressure_mmhg[one, :count], dtype=float)
    recording = Recording(data.recording.sampling_hz, pressure, np.array([count]))
    truth = data.truth.take(one)
    inputs = {field: values[one] for field, values in data.inputs.items()}
    origin = {**data.origin, "recording": row + 1}
    came = data.origin.get
    return Source(
        recording,
        truth,
        key,
        f"{_stem(name)}-{row + 1}",
        f"recording {row + 1} of {len(data.recording)} in the data set {safe(name)}",
        f"cuffbias {came('version')}, parameters {came('parameters_version')}, seed {came('seed')}",
        partial(Dataset, recording, truth, inputs, origin),
    )


# Of this session only: the files are somebody's own.
@st.cache_resource(max_entries=3, scope="session", show_spinner=False)
def _opened(key: tuple[str, str, int | None], _files: Files) -> tuple[Recording, Dataset | None]:
    _, name, signal = key
    return opened(_files, name, signal)


def _stem(name: str) -> str:
    """What files made from this one are called; a name that a WFDB record may have."""
    return re.sub(r"[^A-Za-z0-9_-]", "-", Path(safe(name)).stem)[:30] or "recording"


def _uploader() -> str:
    return f"recording-file-{st.session_state.get(_ROUND, 0)}"


def _take() -> None:
    """What was chosen, or nothing where the last file was taken away."""
    chosen = st.session_state.get(_uploader()) or []
    _drop()
    if chosen:
        st.session_state[_KEY] = {file.name: file.getvalue() for file in chosen}


def _example() -> None:
    _forget()
    st.session_state[_KEY] = {example.NAME: example.content()}


def _forget() -> None:
    """Drop the files, what was made of them, and the uploader's own copy with a new uploader."""
    _drop()
    st.session_state[_ROUND] = st.session_state.get(_ROUND, 0) + 1


def _drop() -> None:
    st.session_state.pop(_KEY, None)
    _opened.clear()
    chosen_algorithms.forget()

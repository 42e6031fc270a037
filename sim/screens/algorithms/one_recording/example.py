"""A file for those who have none at hand: the recording of an invented arm, without its truth."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory

from sim.explain.same_arm import one_recording
from sim.files.csv_file import write_csv
from sim.setup import Setup

NAME = "invented-example.csv"
_SEED = 11


@lru_cache(maxsize=1)
def content() -> bytes:
    """The bytes of the file: nobody's arm, which moved a little."""
    setup = Setup.of(sbp=134, dbp=82, heart_rate=66, artery_b_mmhg=26, movement_mmhg=2, sampling_hz=50)
    recording, _ = one_recording(setup, _SEED)
    with TemporaryDirectory() as folder:
        file = Path(folder) / NAME
        write_csv(file, recording)
        return file.read_bytes()

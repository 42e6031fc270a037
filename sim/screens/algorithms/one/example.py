"""A file for those who have none at hand: the recording of an invented arm, without its truth."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.files.csv_file import write_csv
from sim.record import record
from sim.technique import Technique

NAME = "invented-example.csv"
_SEED = 11


@lru_cache(maxsize=1)
def content() -> bytes:
    """The bytes of the file: nobody's arm, which moved a little."""
    subject = Subject(sbp=134, dbp=82, heart_rate=66, artery_b_mmhg=26).spread(1)
    technique, instrument = Technique(movement_mmhg=2).spread(1), Instrument(sampling_hz=50).spread(1)
    recording, _ = record(subject, technique, instrument, np.random.default_rng(_SEED))
    with TemporaryDirectory() as folder:
        file = Path(folder) / NAME
        write_csv(file, recording)
        return file.read_bytes()

"""What is under the glass: one recording, where it comes from, and what is known of the truth."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass

from sim.files.dataset import Dataset
from sim.results import Recording, Truth


@dataclass(frozen=True, eq=False)
class Source:
    """One recording.

    recording: of one row;  truth: None where nobody knows it
    key: tells it from every other, for what is kept between two runs
    name: what files with it are called, without their ending
    words: where it comes from, in words
    origin: version, parameters and seed where it is simulated, else ""
    as_dataset: the recording with its truth and what it was made from; None where the truth is not known
    """

    recording: Recording
    truth: Truth | None
    key: tuple[Hashable, ...]
    name: str
    words: str
    origin: str = ""
    as_dataset: Callable[[], Dataset] | None = None

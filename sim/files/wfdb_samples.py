"""The samples in a WFDB record's signal file, by format.

Formats as in the open format's page signal(5): Moody GB. WFDB Applications Guide, PhysioNet (from memory; tests read
the files of an independent implementation).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Format:
    """bits: of a sample; unpack: from bytes to steps, at least as many as there are; dropped: the step that stands for
    a dropped sample."""

    bits: int
    unpack: Callable[[bytes], np.ndarray]
    dropped: int

    def size(self, samples: int) -> int:
        """Bytes of so many samples."""
        return -(-samples * self.bits // 8)

    def steps(self, data: bytes, samples: int) -> np.ndarray:
        """The steps (samples,) in so many bytes as they take."""
        return self.unpack(data)[:samples]


def _plain(kind: str, less: int = 0) -> Callable[[bytes], np.ndarray]:
    """Whole bytes of a type that numpy knows, less a constant."""
    return lambda data: np.frombuffer(data, dtype=kind).astype(np.int64) - less


def _three_bytes(data: bytes) -> np.ndarray:
    """Three bytes a sample, the lowest first, in two's complement."""
    low, middle, high = np.frombuffer(data, dtype=np.uint8).reshape(-1, 3).T.astype(np.int64)
    return _signed(low | middle << 8 | high << 16, 24)


def _twelve_bits(data: bytes) -> np.ndarray:
    """Two samples of twelve bits in three bytes: the middle one holds the upper bits of the first, then the second."""
    padded = np.frombuffer(data + bytes(-len(data) % 3), dtype=np.uint8).reshape(-1, 3)
    first, both, second = padded.T.astype(np.int64)
    return _signed(np.stack([first | (both & 15) << 8, second | (both >> 4) << 8], axis=1).ravel(), 12)


def _signed(values: np.ndarray, bits: int) -> np.ndarray:
    return values - ((values >> (bits - 1)) << bits)


FORMATS = {
    16: Format(16, _plain("<i2"), -(2**15)),
    24: Format(24, _three_bytes, -(2**23)),
    32: Format(32, _plain("<i4"), -(2**31)),
    61: Format(16, _plain(">i2"), -(2**15)),
    80: Format(8, _plain("u1", 2**7), -(2**7)),
    160: Format(16, _plain("<u2", 2**15), -(2**15)),
    212: Format(12, _twelve_bits, -(2**11)),
}

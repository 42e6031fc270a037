"""The folder of a study of which only sums are kept.

    study.json, study.lock   as in sim.study.store
    sums/000012-000012-3fa94c0d5e6b7a81.npz
                             sums of the readings of chunks 12 to 12 (sim.study.sums); the name ends as readings' do

When a block of chunks is complete, one file takes the place of theirs: of a study of any size few files are left.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sim.study.flat import packed, unpacked
from sim.study.plan import Study
from sim.study.store import Store
from sim.study.sums import Sums, folded, spacing, tally

# So many chunks have one file in the end. Chosen: a billion readings then leave some 400 files, of some MB each.
BLOCK = 4096


def tally_chunk(study: Study, chunk: int) -> Sums:
    """Sums of the readings [mmHg] of one chunk, against every truth, as executors want it: a function of the module."""
    return tally(study.measure(chunk), show_every=spacing(study.subjects))


class SumsStore(Store):
    """The folder of one study, made if need be. Raises StoreError where it holds something else, is not writable."""

    KEEPS, SUFFIX = "sums", ".npz"

    def write(self, chunk: int, found: Any) -> None:
        """Keep a finished chunk's Sums [mmHg]. Raises StoreError where the disk takes no more."""
        self._put(range(chunk, chunk + 1), found)
        first = chunk // BLOCK * BLOCK
        block = range(first, min(first + BLOCK, self.study.chunks))
        if len(block) > 1 and all(k in self._names for k in block):
            parts = {self._names[k] for k in block}
            self._put(block, folded(self._parts_of(block)))
            for name in parts:
                (self._parts / name).unlink()

    def sums(self) -> Sums:
        """Those of all finished chunks together [mmHg]; there is at least one."""
        return folded(self._parts_of(range(self.study.chunks)))

    def _parts_of(self, chunks: range) -> Iterator[Sums]:
        """Of each file, in order of its first chunk."""
        for name in dict.fromkeys(self._names[k] for k in chunks if k in self._names):
            yield unpacked(Sums, (self._parts / name).read_bytes())

    def _put(self, chunks: range, sums: Sums) -> None:
        self._keep(chunks, f"{chunks[0]:06d}-{chunks[-1]:06d}", packed(sums))

    def _chunks(self, stem: str) -> tuple[range, str]:
        first, _, rest = stem.partition("-")
        last, _, digits = rest.partition("-")
        known = first.isdecimal() and last.isdecimal()
        return range(int(first), int(last) + 1) if known else range(0), digits

    def _files(self) -> list[Path]:
        # Blocks before the files whose place they took.
        return sorted(super()._files(), key=lambda file: (-len(self._chunks(file.stem)[0]), file.name))

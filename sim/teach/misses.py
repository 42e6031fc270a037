"""What the model is known to miss, and why (misses.toml): effects on a reading, and figures of other kinds."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from sim.data import data


@dataclass(frozen=True)
class OtherMiss:
    """A published figure that is no effect on a reading and that the model misses.

    id: what tests call it; what: in words; published: in words; model: the model's own; unit: of both; source; reason
    """

    id: str
    what: str
    published: str
    model: float
    unit: str
    source: str
    reason: str

    @property
    def figures(self) -> str:
        """Both figures in one line."""
        return f"published {self.published}; this model {self.model:g} {self.unit}".rstrip()


@lru_cache(maxsize=1)
def known_misses() -> dict[tuple[str, str, str], str]:
    """The reason of each known miss, by lesson, label of the finding, and "sbp" or "dbp"."""
    listed = data("sim.teach", "misses.toml")["miss"]
    return {(miss["lesson"], miss["label"], miss["figure"]): miss["reason"] for miss in listed}


@lru_cache(maxsize=1)
def other_misses() -> tuple[OtherMiss, ...]:
    """Those that are no effect on a reading."""
    return tuple(OtherMiss(**entry) for entry in data("sim.teach", "misses.toml")["other"])

"""What the model leaves out, as a plain list (limits.toml)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from sim.data import data


@dataclass(frozen=True)
class Part:
    """One part of the list: its heading, and a sentence or two for each thing that is left out."""

    title: str
    items: tuple[str, ...]


@lru_cache(maxsize=1)
def left_out() -> tuple[Part, ...]:
    """The whole list."""
    return tuple(Part(part["title"], tuple(part["items"])) for part in data("sim.teach", "limits.toml")["part"])

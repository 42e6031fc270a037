"""What the model leaves out, as a plain list (limits.toml)."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources


@dataclass(frozen=True)
class Part:
    """One part of the list: its heading, and a sentence or two for each thing that is left out."""

    title: str
    items: tuple[str, ...]


@lru_cache(maxsize=1)
def left_out() -> tuple[Part, ...]:
    """The whole list."""
    text = resources.files("sim.teach").joinpath("limits.toml").read_text(encoding="utf-8")
    return tuple(Part(part["title"], tuple(part["items"])) for part in tomllib.loads(text)["part"])

"""What the model is known to miss among the lessons' published figures, and why (misses.toml)."""

from __future__ import annotations

from functools import lru_cache

from sim.data import data


@lru_cache(maxsize=1)
def known_misses() -> dict[tuple[str, str, str], str]:
    """The reason of each known miss, by lesson, label of the finding, and "sbp" or "dbp"."""
    listed = data("sim.teach", "misses.toml")["miss"]
    return {(miss["lesson"], miss["label"], miss["figure"]): miss["reason"] for miss in listed}

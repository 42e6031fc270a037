"""What the checks in this folder share."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from sim.cuff import indentation
from tests.published import chain

AS_HARD_AS_WOOD_PA = 1e13


@pytest.fixture
def hard_arm(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """An arm into which no bladder sinks: what was worked out apart was worked out for it."""
    monkeypatch.setattr(indentation, "TISSUE_PA", AS_HARD_AS_WOOD_PA)
    _forget()
    yield
    _forget()


def _forget() -> None:
    """What was worked out on the other kind of arm."""
    chain.first_envelope.cache_clear()
    chain.first_ratios.cache_clear()

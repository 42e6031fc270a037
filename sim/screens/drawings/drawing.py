"""What every drawing declares of itself, and how it takes from a reading what it shows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Any, Self

from sim.screens.drawings.shapes import Box
from sim.setup import Setup


class Told:
    """A base for dataclasses of what a drawing is told: plain numbers and words of one reading."""

    @classmethod
    def from_inputs(cls, inputs: Setup, **more: Any) -> Self:
        """The fields that go by the name of one of the reading's; `more` gives the others."""
        values: dict[str, Any] = dict(inputs.key())  # type: ignore[arg-type]
        named = {f.name: values[f.name] for f in fields(cls) if f.name in values}  # type: ignore[arg-type]
        return cls(**named | more)


@dataclass(frozen=True)
class Drawing:
    """A kind of drawing.

    told: from a reading's inputs to what is drawn
    body: that as SVG, with labels or without;  sentence: and as words
    box: x, y, width and height of it, or the part of it with this name
    card: the box on a lesson's card; None where it is the same
    labelled_from: labels are there where the box is at least so wide, as smaller ones are for looking closely
    """

    told: Callable[[Setup], Any]
    body: Callable[[Any, bool], str]
    sentence: Callable[[Any], str]
    box: Callable[[Any, str], Box]
    card: Box | None = None
    labelled_from: float = 0.0

    @classmethod
    def of_one_size(
        cls,
        told: Callable[[Setup], Any],
        body: Callable[[Any, bool], str],
        sentence: Callable[[Any], str],
        box: Box,
        card: Box,
    ) -> Self:
        """A drawing that is as large whatever it shows."""
        return cls(told, body, sentence, lambda _told, _part: box, card)

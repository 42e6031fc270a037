"""Bladder sizes, and the choice by arm circumference."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Any

import numpy as np

from sim.data import data
from sim.fields import Declared, FieldError
from sim.say import say

# In place of a size: the published one for the arm.
FITTING = "fitting"
WIDTH_CM = (5.0, 30.0)
LENGTH_CM = (8.0, 60.0)

# Share of arm circumference that a fitting bladder has, least and most: width and length.
# Muntner P, Shimbo D, Carey RM, et al. Hypertension 2019;73:e35-e66, DOI 10.1161/HYP.0000000000000087.
FITTING_WIDTH_RATIO = (0.37, 0.50)
FITTING_COVERAGE = (0.75, 1.00)
# The least that the rule asks for (the same source).
BEST_WIDTH_RATIO, BEST_COVERAGE = 0.40, 0.80


@dataclass(frozen=True)
class Bladder:
    """One size: its name, width and length [cm], and the arms it is for [cm]."""

    name: str
    width_cm: float
    length_cm: float
    arm_from_cm: float
    arm_to_cm: float

    @property
    def printed(self) -> str:
        """Its name with the size that is printed on the cuff.

        >>> bladders()[0].printed
        'small adult, 12 × 22 cm'
        """
        return f"{say(self.name)}, {self.width_cm:g} × {self.length_cm:g} cm"


@dataclass(frozen=True)
class Size(Declared):
    """A bladder: "fitting" (the published size for the arm), a published name, or width x length in cm."""

    default: str
    label: str

    @property
    def allowed(self) -> str:
        """The sizes in words."""
        return _allowed()

    def check(self, name: str, value: Any) -> np.ndarray:
        """`value` as a string array of sizes, of its own shape. Raises FieldError where one is no size."""
        array = np.array(value).astype(str)
        for size in np.unique(array):
            if size != FITTING:
                size_cm(str(size))
        return array

    def one(self, name: str, value: Any) -> str:
        """`value`, which must be a single size; raises FieldError."""
        return str(self.check(name, str(value)))

    def from_text(self, name: str, text: str) -> str:
        """The size that a text says; raises FieldError."""
        return self.one(name, text)

    def corrected(self, values: np.ndarray, subject: Any) -> np.ndarray:
        """The published size for each arm, (n,)."""
        return choose(subject.arm_circumference_cm)

    def wrong(self, values: np.ndarray, subject: Any) -> np.ndarray:
        """Which sizes do not fit their arm, (n,)."""
        return ~fits(values, subject.arm_circumference_cm)

    def everywhere(self, steps: int) -> list[Any]:
        """Every published size, named; `steps` is how many a range of numbers would have."""
        return [b.name for b in bladders()]

    def words(self, value: Any) -> str:
        """The size in words, in cm.

        >>> Size("fitting", "Bladder").words("16x30"), Size("fitting", "Bladder").words("12x23")
        ('bladder of 16 x 30 cm (adult)', 'bladder of 12 x 23 cm')
        """
        if value == FITTING:
            return say("the bladder that fits the arm")
        width, length = size_cm(value)
        size = say("bladder of {width} x {length} cm", width=f"{width:g}", length=f"{length:g}")
        name = name_of(value)
        return f"{size} ({say(name)})" if name else size


@lru_cache(maxsize=1)
def bladders() -> tuple[Bladder, ...]:
    """The published sizes [cm], smallest first (bladders.toml has the source).

    >>> [bladder.width_cm for bladder in bladders()] == sorted(bladder.width_cm for bladder in bladders())
    True
    """
    return tuple(Bladder(**entry) for entry in data("sim.cuff", "bladders.toml")["bladder"])


@lru_cache(maxsize=1)
def named() -> tuple[Bladder, ...]:
    """Every size that has a name [cm], smallest first: those of the guideline's table and those of the trial.

    >>> [bladder.name for bladder in named()][:3]
    ['small', 'small adult', 'regular']
    """
    trial = (Bladder(**entry) for entry in data("sim.cuff", "bladders.toml")["trial"])
    return tuple(sorted((*bladders(), *trial), key=lambda size: size.width_cm * size.length_cm))


def name_of(size: str) -> str:
    """The one name of a size, whether it is given by its name or as width x length; "" where it has none.

    >>> name_of("13.5x26"), name_of("regular"), name_of("12x23")
    ('regular', 'regular', '')
    """
    width, length = size_cm(size)
    return next((b.name for b in named() if (b.width_cm, b.length_cm) == (width, length)), "")


def printed(size: str) -> str:
    """A size in words, its name before the size in cm that is printed on the cuff.

    >>> printed("13.5x26"), printed("12x23")
    ('regular, 13.5 × 26 cm', '12 × 23 cm')
    """
    width, length = size_cm(size)
    name = name_of(size)
    return f"{say(name)}, {width:g} × {length:g} cm" if name else f"{width:g} × {length:g} cm"


def nearest(sizes: Sequence[str], arm_circumference_cm: float) -> str:
    """Of several sizes the one that fits an arm [cm] best: one that fits it, else the one that misses by least.

    Of several that fit, the one whose shares of the arm are nearest to the least that is asked for.

    >>> nearest(["small", "regular", "large"], 38)
    'large'
    """
    arm = arm_circumference_cm

    def misses(size: str) -> tuple[bool, float]:
        width, length = size_cm(size)
        apart = abs(math.log(width / arm / BEST_WIDTH_RATIO)) + abs(math.log(length / arm / BEST_COVERAGE))
        return not bool(fits(np.array([size]), np.array([arm]))[0]), apart

    return min(sizes, key=misses)


def size_cm(name: str) -> tuple[float, float]:
    """Width and length [cm] of a bladder: a published name, or width x length such as '12x23'.

    Raises FieldError where it is neither.

    >>> size_cm("12x23")
    (12.0, 23.0)
    """
    for bladder in named():
        if name == bladder.name:
            return bladder.width_cm, bladder.length_cm
    found = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*[x×]\s*(\d+(?:\.\d+)?)\s*", name)
    if not found:
        raise FieldError("bladder", repr(name), _allowed())
    width, length = float(found[1]), float(found[2])
    if not (WIDTH_CM[0] <= width <= WIDTH_CM[1] and LENGTH_CM[0] <= length <= LENGTH_CM[1]):
        raise FieldError("bladder", repr(name), _allowed())
    return width, length


def _allowed() -> str:
    return (
        ", ".join(repr(name) for name in (FITTING, *(b.name for b in named())))
        + f" or width x length in cm such as 12x23, width {WIDTH_CM[0]:g} to {WIDTH_CM[1]:g}"
        + f" and length {LENGTH_CM[0]:g} to {LENGTH_CM[1]:g} cm"
    )


def sizes_cm(names: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Widths and lengths [cm], each of the shape of `names`. Raises FieldError as `size_cm`.

    >>> width, length = sizes_cm(np.array(["12x23", "16x30"]))
    >>> width, length
    (array([12., 16.]), array([23., 30.]))
    """
    unique, where = np.unique(names, return_inverse=True)
    sizes = np.array([size_cm(str(name)) for name in unique])
    return sizes[where.reshape(names.shape), 0], sizes[where.reshape(names.shape), 1]


def choose(arm_circumference_cm: np.ndarray | float) -> np.ndarray:
    """The published bladder's name for each arm [cm], in the arms' shape; an arm beyond the table takes the last size.

    >>> choose(np.array([24.0, 30.0, 60.0])).tolist()
    ['small adult', 'adult', 'thigh']
    """
    table = bladders()
    limits = [(a.arm_to_cm + b.arm_from_cm) / 2 for a, b in pairwise(table)]
    names = np.array([b.name for b in table])
    return names[np.searchsorted(limits, np.asarray(arm_circumference_cm, dtype=float))]


def fitted(names: np.ndarray, arm_circumference_cm: np.ndarray) -> np.ndarray:
    """The names with the published size for each arm where "fitting" stands, of shape () or (n,).

    >>> fitted(np.array(["fitting", "12x23"]), np.array([30.0, 30.0])).tolist()
    ['adult', '12x23']
    """
    return np.where(names == FITTING, choose(arm_circumference_cm), names) if (names == FITTING).any() else names


def fits(names: np.ndarray, arm_circumference_cm: np.ndarray) -> np.ndarray:
    """Whether each bladder is right for its arm [cm], (n,): the table's choice, or sides within the published shares.

    >>> fits(np.array(["12x23", "12x23"]), np.array([28.0, 40.0]))
    array([ True, False])
    """
    names = np.asarray(names)
    arm = np.asarray(arm_circumference_cm, dtype=float)
    width, length = sizes_cm(names)
    published = np.isin(names, [b.name for b in bladders()])
    by_table = names == choose(arm)
    by_share = _within(width / arm, FITTING_WIDTH_RATIO) & _within(length / arm, FITTING_COVERAGE)
    return np.where(published, by_table, by_share)


def _within(value: np.ndarray, limits: tuple[float, float]) -> np.ndarray:
    return (value >= limits[0]) & (value <= limits[1])

"""Fields with limits: every input is declared once, as data, and checked once, where it enters.

The limits here serve validation, the sliders of the lessons, the options of the command
line and the documentation, so that none of them can disagree.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any, ClassVar, Self

import numpy as np


class FieldError(ValueError):
    """A value that a field does not take: names the field, the value and what is allowed."""

    def __init__(self, field: str, value: object, allowed: str) -> None:
        super().__init__(f"{field} = {value}: must be {allowed}")
        self.field = field
        self.value = value
        self.allowed = allowed

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.field, self.value, self.allowed)


@dataclass(frozen=True)
class Limit:
    """The range of a number: lowest, highest, default and step, in `unit`."""

    low: float
    high: float
    default: float
    step: float
    unit: str
    label: str

    @property
    def allowed(self) -> str:
        """The range in words, e.g. 'from 0 to 8 cm'."""
        return f"from {self.low:g} to {self.high:g} {self.unit}".rstrip()


@dataclass(frozen=True)
class Choice:
    """One of a few named options; `options` gives each name its label."""

    options: dict[str, str]
    default: str
    label: str

    @property
    def allowed(self) -> str:
        """The options in words, e.g. 'one of no, conversation'."""
        return "one of " + ", ".join(self.options)


class Fields:
    """Base of the input records: each field a scalar or an array of n, all checked.

    A subclass is a frozen dataclass and declares `LIMITS`, a `Limit` or `Choice` for each
    of its fields. Numbers become float arrays, choices string arrays, of shape () or (n,). They are copies for reading
    only, so that what was checked stays so.
    """

    LIMITS: ClassVar[dict[str, Limit | Choice]]

    def __post_init__(self) -> None:
        for name, limit in self.LIMITS.items():
            value = getattr(self, name)
            checked = _number(name, value, limit) if isinstance(limit, Limit) else _choice(name, value, limit)
            if checked.ndim > 1:
                raise FieldError(name, f"an array of shape {checked.shape}", "a number or a list of numbers")
            self._set(name, checked)
        self.size  # noqa: B018 - raises where two fields have different lengths

    @property
    def size(self) -> int:
        """How many readings these fields describe: 1 where all are scalars.

        Raises FieldError where two fields have different lengths.
        """
        lengths = {name: len(v) for name in self._names() if (v := getattr(self, name)).ndim}
        if not lengths:
            return 1
        longest_name = max(lengths, key=lambda name: lengths[name])
        longest = lengths[longest_name]
        for name, length in lengths.items():
            if length not in (1, longest):
                raise FieldError(name, f"{length} values", f"1 or {longest} values, as {longest_name} has {longest}")
        return longest

    def spread(self, n: int) -> Self:
        """The same record with every field an array of n; raises FieldError where it cannot be."""
        if self.size not in (1, n):
            raise FieldError(type(self).__name__.lower(), f"{self.size} values", f"1 or {n} values")
        return self._map(lambda v: np.broadcast_to(v, n))

    def take(self, rows: Any) -> Self:
        """The record of some rows (an index array, mask or slice); scalars stay as they are."""
        return self._map(lambda v: v[rows] if v.ndim else v)

    def replace(self, **changes: Any) -> Self:
        """A copy with some fields changed, checked again. Raises FieldError on an unknown name."""
        for name in changes:
            if name not in self._names():
                raise FieldError(name, changes[name], "a field of " + type(self).__name__.lower())
        return dataclasses.replace(self, **changes)  # type: ignore[type-var]

    def _names(self) -> list[str]:
        return [f.name for f in dataclasses.fields(self)]  # type: ignore[arg-type]

    def _map(self, function: Any) -> Self:
        """A copy with `function` applied to each field; values were checked already."""
        copy = object.__new__(type(self))
        for name in self._names():
            copy._set(name, function(getattr(self, name)))
        return copy

    def __setstate__(self, state: dict[str, np.ndarray]) -> None:
        """From a pickle, which does not keep that arrays are for reading only."""
        for name, array in state.items():
            self._set(name, array)

    def _set(self, name: str, array: np.ndarray) -> None:
        """Set a field of this frozen record to an array of its own."""
        array = np.asarray(array)  # a single row of a field is no array
        array.flags.writeable = False
        object.__setattr__(self, name, array)


def _number(name: str, value: Any, limit: Limit) -> np.ndarray:
    """`value` copied to a float array within `limit`."""
    try:
        array = np.array(value, dtype=float)
    except (TypeError, ValueError):
        raise FieldError(name, repr(value), f"a number {limit.allowed}") from None
    outside = ~((array >= limit.low) & (array <= limit.high))
    if outside.any():
        first = array[outside].flat[0] if array.ndim else float(array)
        raise FieldError(name, f"{first:g}", limit.allowed)
    return array


def _choice(name: str, value: Any, choice: Choice) -> np.ndarray:
    """`value` as a string array of names that `choice` has."""
    array = np.asarray(value)
    for item in np.unique(array.astype(str)):
        if item not in choice.options:
            raise FieldError(name, repr(str(item)), choice.allowed)
    return array.astype(str)


def generator(rng: object) -> np.random.Generator:
    """`rng`, which must be a generator: all chance comes from one that is passed in. Raises FieldError.

    >>> generator(42)
    Traceback (most recent call last):
    sim.fields.FieldError: rng = 42: must be a numpy.random.Generator, such as numpy.random.default_rng(1)
    """
    if not isinstance(rng, np.random.Generator):
        raise FieldError("rng", rng, "a numpy.random.Generator, such as numpy.random.default_rng(1)")
    return rng


def whole(name: str, value: object, least: int) -> int:
    """`value`, a whole number of at least `least`. Raises FieldError."""
    if isinstance(value, bool) or not isinstance(value, (int, np.integer)) or value < least:
        raise FieldError(name, repr(value), f"a whole number, {least} or more")
    return int(value)

"""Fields with limits: every input is declared once, as data, and checked once, where it enters.

A field's declaration carries its default, range and unit, what kind of mistake it is, how that mistake is said, and the
drawings that show it. Validation, sliders, options, help, lessons and drawings read it, so that none can disagree.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, Self

import numpy as np

from sim.say import say
from sim.texts import decimal, real_minus

# What a field that is not correct does: it moves the pressure itself, or only the number; or it only says how strong
# another mistake is. A setting is no mistake, whatever its value.
RESPONSE, MEASURING_ERROR, MODIFIER, SETTING = "response", "measuring error", "modifier", "setting"


class FieldError(ValueError):
    """A value that a field does not take: names the field, the value and what is allowed."""

    def __init__(self, field: str, value: object, allowed: str) -> None:
        super().__init__(f"{field} = {value}: must be {allowed}")
        self.field = field
        self.value = value
        self.allowed = allowed

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.field, self.value, self.allowed)


class Values:
    """The type of a field: given as a scalar or an array of n, held as an array of shape () or (n,)."""

    if TYPE_CHECKING:

        def __get__(self, record: Any, owner: Any) -> np.ndarray: ...
        def __set__(self, record: Any, value: Any) -> None: ...


@dataclass(frozen=True, kw_only=True)
class Declared:
    """What is declared of any field besides its values.

    kind: RESPONSE, MEASURING_ERROR, MODIFIER or SETTING
    said: the mistake in words: a text with {value}, or a function of the value and the record (fields of length 1) that
        holds it; a choice is said by its option where nothing is declared
    correct: lowest and highest value that count as correct, where more than the default does
    alone: what the option of the command line means without a value: the commonest of several mistakes
    drawn: the drawings that show the field (`sim.screens.pictures`)
    fine: rarely changed, and so last in the help
    """

    kind: str = SETTING
    said: str | Callable[[Any, Any], str] = ""
    correct: tuple[float, float] | None = None
    alone: str = ""
    drawn: tuple[str, ...] = ()
    fine: bool = False

    if TYPE_CHECKING:  # each kind of field has these in places of its own

        @property
        def default(self) -> Any: ...
        @property
        def label(self) -> str: ...
        @property
        def allowed(self) -> str: ...
        def check(self, name: str, value: Any) -> np.ndarray: ...
        def one(self, name: str, value: Any) -> Any: ...
        def from_text(self, name: str, text: str) -> Any: ...

    def mistake(self, value: Any, record: Any) -> str:
        """The mistake of having this value, as one would say it; `record`: its other fields, of length 1."""
        if callable(self.said):
            return self.said(value, record)
        return real_minus(say(self.said).format(value=value)) or self.words(value)

    def words(self, value: Any) -> str:
        """The field with a value, in words."""
        raise NotImplementedError

    def corrected(self, values: np.ndarray, subject: Any) -> np.ndarray:
        """What would be correct for this subject in place of `values`, (n,)."""
        raise NotImplementedError

    def everywhere(self, steps: int) -> list[Any]:
        """Values all over what is allowed: `steps` of a range, every one of a list."""
        raise NotImplementedError

    def within(self, values: np.ndarray) -> np.ndarray:
        """`values` moved into the range, where they are drawn and few lie outside."""
        return values

    def wrong(self, values: np.ndarray, subject: Any) -> np.ndarray:
        """Which of `values` are not correct for this subject, (n,)."""
        return values != self.corrected(values, subject)


@dataclass(frozen=True)
class Limit(Declared):
    """The range of a number: lowest, highest, default and step, in `unit`; `whole`: of whole numbers only."""

    low: float
    high: float
    default: float
    step: float
    unit: str
    label: str
    whole: bool = False

    @property
    def allowed(self) -> str:
        """The range in words, e.g. 'from 0 to 8 cm'."""
        return f"from {self.low:g} to {self.high:g} {self.unit}".rstrip()

    def check(self, name: str, value: Any) -> np.ndarray:
        """`value` as a float array within the range; raises FieldError, naming the field `name`."""
        try:
            array = np.array(value, dtype=float)  # a copy
        except (TypeError, ValueError):
            raise FieldError(name, repr(value), f"a number {self.allowed}") from None
        outside = ~((array >= self.low) & (array <= self.high))
        between = array % 1 != 0 if self.whole and not outside.any() else np.False_
        for wrong, allowed in ((outside, self.allowed), (between, f"a whole number {self.allowed}")):
            if wrong.any():
                first = array[wrong].flat[0] if array.ndim else float(array)
                raise FieldError(name, f"{first:g}", allowed)
        return array

    def one(self, name: str, value: Any) -> float:
        """`value`, which must be a single number in the range; raises FieldError."""
        if not isinstance(value, (int, float)) or isinstance(value, bool):
            raise FieldError(name, repr(value), f"a number {self.allowed}")
        if isinstance(value, int) and value.bit_length() > 64:  # more digits than a float, or a message, can take
            raise FieldError(name, "a number of many digits", self.allowed)
        return float(self.check(name, value))

    def from_text(self, name: str, text: str) -> float:
        """The number that a text says; raises FieldError."""
        try:
            number = decimal(text)
        except ValueError:
            raise FieldError(name, repr(text), f"a number {self.allowed}") from None
        return self.one(name, number)

    def corrected(self, values: np.ndarray, _: Any) -> np.ndarray:
        """What would be correct in place of `values`, (n,): the nearest correct value, or the default."""
        return np.clip(values, *self.correct) if self.correct else np.full(values.shape, self.default)

    def everywhere(self, steps: int) -> list[Any]:
        """`steps` values evenly over the range, or the whole numbers next to them."""
        even = np.linspace(self.low, self.high, steps)
        return (np.unique(np.round(even)) if self.whole else even).tolist()

    def within(self, values: np.ndarray) -> np.ndarray:
        """`values` moved into the range, where they are drawn and few lie outside."""
        return np.clip(values, self.low, self.high)

    def words(self, value: Any) -> str:
        """The field with a value, as said beside a drawing: 'slack in the wrapped cuff: 2 cm'."""
        label = say(self.label)
        return real_minus(f"{label[0].lower()}{label[1:]}: {value:g} {self.unit}".rstrip())


@dataclass(frozen=True)
class Choice(Declared):
    """One of a few named options; `options` gives each name its label."""

    options: dict[str, str]
    default: str
    label: str

    @property
    def allowed(self) -> str:
        """The options in words, e.g. 'one of no, conversation'."""
        return "one of " + ", ".join(self.options)

    def check(self, name: str, value: Any) -> np.ndarray:
        """`value` as a string array of options; raises FieldError, naming the field `name`."""
        array = np.array(value).astype(str)
        for item in np.unique(array):
            if item not in self.options:
                raise FieldError(name, repr(str(item)), self.allowed)
        return array

    def one(self, name: str, value: Any) -> str:
        """`value`, which must be one of the options; raises FieldError."""
        if not isinstance(value, str):
            raise FieldError(name, repr(value), self.allowed)
        return str(self.check(name, value))

    def from_text(self, name: str, text: str) -> str:
        """The option that a text names; raises FieldError."""
        return self.one(name, text)

    def corrected(self, values: np.ndarray, _: Any) -> np.ndarray:
        """What would be correct in place of `values`, (n,): the default."""
        return np.full(values.shape, self.default)

    def everywhere(self, steps: int) -> list[Any]:
        """Every option."""
        return list(self.options)

    def words(self, value: Any) -> str:
        """The option in words."""
        return say(self.options[value])


def declared(limit: Declared) -> Any:
    """A field of a record, with its default and all that is declared of it."""
    return dataclasses.field(default=limit.default, metadata={"declared": limit})


def number(low: float, high: float, default: float, step: float, unit: str, label: str, **more: Any) -> Any:
    """A field of a record that is a number, as `Limit` and `Declared` have it."""
    return declared(Limit(low, high, default, step, unit, label, **more))


def choice(options: dict[str, str], default: str, label: str, **more: Any) -> Any:
    """A field of a record that is one of a few options, as `Choice` and `Declared` have it."""
    return declared(Choice(options, default, label, **more))


class Fields:
    """Base of the input records: each field a scalar or an array of n, all checked.

    A subclass is a frozen dataclass whose fields are `declared`. Numbers become float arrays, choices string arrays,
    of shape () or (n,); they are copies for reading only, so that what was checked stays so. `LIMITS` holds what is
    declared of each field, by its name.
    """

    LIMITS: ClassVar[dict[str, Declared]] = {}

    def __init_subclass__(cls) -> None:
        own = {name: f.metadata["declared"] for name, f in vars(cls).items() if isinstance(f, dataclasses.Field)}
        cls.LIMITS = {**cls.LIMITS, **own}

    def __post_init__(self) -> None:
        for name, limit in self.LIMITS.items():
            checked = limit.check(name, getattr(self, name))
            if checked.ndim > 1:
                raise FieldError(name, f"an array of shape {checked.shape}", "a number or a list of numbers")
            self._set(name, checked)
        self.size  # noqa: B018 - raises where two fields have different lengths

    @property
    def size(self) -> int:
        """How many readings these fields describe: 1 where all are scalars.

        Raises FieldError where two fields have different lengths.
        """
        lengths = {name: len(v) for name in self.LIMITS if (v := getattr(self, name)).ndim}
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
            if name not in self.LIMITS:
                raise FieldError(name, changes[name], "a field of " + type(self).__name__.lower())
        return dataclasses.replace(self, **changes)  # type: ignore[type-var]

    def _map(self, function: Any) -> Self:
        """A copy with `function` applied to each field; values were checked already."""
        copy = object.__new__(type(self))
        for name in self.LIMITS:
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

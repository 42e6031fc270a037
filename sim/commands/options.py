"""Options made from the limits of the fields: one option a field, with its range, default and label."""

from __future__ import annotations

import argparse
from typing import Any

from sim.commands.parser import UsageError
from sim.cuff.bladder import FITTING, choose, named
from sim.cuff.instrument import Instrument
from sim.cuff.profile import ProfileError, names, profile
from sim.fields import MODIFIER, RESPONSE, Choice, Declared, FieldError, Limit
from sim.setup import FIELDS, Setup, group_of

PERSON, MANNER, MOVED, INSTRUMENT, FINEST = range(5)
GROUPS = (
    ("the person", "Who is measured: this pressure is the truth that the reading should find."),
    ("cuff, arm and sleeve", "Mistakes that change the number, not the pressure. Anything you omit is correct."),
    (
        "the person's state",
        "What moves the pressure itself, by published averages. Anything you omit is correct.",
    ),
    ("the instrument", "Anything you omit is correct."),
    ("finer points of artery, pulse and sensor", None),
)


def option(field: str) -> str:
    """The option of a field: '--slack-cm' for slack_cm."""
    return "--" + field.replace("_", "-")


def add_fields(parser: argparse.ArgumentParser) -> None:
    """Give `parser` an option for each field of the person, the technique and the instrument."""
    groups = [parser.add_argument_group(title, description) for title, description in GROUPS]
    add_device(groups[INSTRUMENT])
    for field, declared in FIELDS.items():
        groups[_group(field, declared)].add_argument(option(field), dest=field, **_argument(field, declared))


def add_device(group: Any) -> None:
    """Give a parser, or a group of its options, the one that names a device profile."""
    words = f"Measure with a device: {', '.join(names())}, or a file of your own, TOML with fields of the instrument"
    group.add_argument("--device", metavar="NAME|FILE.toml", help=f"{words}; other options go before it")


def device(options: argparse.Namespace) -> Instrument:
    """The instrument that --device describes, or the usual one. Raises UsageError in one line."""
    if options.device is None:
        return Instrument()
    try:
        return profile(options.device)
    except ProfileError as error:
        raise UsageError(f"--device {error}") from None


def alone(field: str) -> str | None:
    """What an option means without a value: the commonest mistake, or the only one; None where it needs a value."""
    limit = FIELDS[field]
    others = [name for name in limit.options if name != limit.default] if isinstance(limit, Choice) else []
    return limit.alone or (others[0] if len(others) == 1 else None)


def setup(options: argparse.Namespace) -> Setup:
    """The person, the technique and the instrument that the options describe.

    Without a bladder the instrument gets the published size for the arm. Raises UsageError, naming the option.
    """
    usual = Setup(instrument=device(options))
    given = {field: value for field in FIELDS if (value := getattr(options, field)) is not None}
    try:
        described = usual.replace(**given)
        if described.instrument.bladder == FITTING:
            described = described.replace(bladder=choose(described.subject.arm_circumference_cm))
        return described
    except FieldError as error:
        raise UsageError(in_options(error)) from None


def in_options(error: FieldError) -> str:
    """The error with the option in place of the field: '--slack-cm 12: must be from 0 to 8 cm'."""
    return f"{option(error.field)} {error.value}: must be {error.allowed}"


def read(field: str) -> Any:
    """A function that reads a field's value for argparse, and names the range where the text is none."""

    def read(text: str) -> Any:
        try:
            return FIELDS[field].from_text(field, text)
        except FieldError as error:
            raise UsageError(in_options(error)) from None

    return read


def _group(field: str, declared: Declared) -> int:
    if declared.fine:
        return FINEST
    if declared.kind in (RESPONSE, MODIFIER):
        return MOVED
    if field == "bladder":  # its choice is part of the technique
        return MANNER
    return {"subject": PERSON, "technique": MANNER, "instrument": INSTRUMENT}[group_of(field)]


def _argument(field: str, declared: Declared) -> dict[str, Any]:
    """What argparse is told of a field."""
    told: dict[str, Any] = {"type": read(field)}
    if isinstance(declared, Limit):
        text = f"{declared.label}, {declared.low:g} to {declared.high:g} {declared.unit}".rstrip()
        return told | {"metavar": "N", "help": _escaped(f"{text} (default {declared.default:g})")}
    if not isinstance(declared, Choice):
        return told | {"metavar": "SIZE", "help": _bladder_help()}
    words = "; ".join(f"{name}: {label}" for name, label in declared.options.items())
    given = alone(field)
    text = f"{declared.label}. {words} (default {declared.default}" + (f"; alone: {given})" if given else ")")
    more: dict[str, Any] = {"nargs": "?", "const": given} if given else {}
    return told | {"metavar": "|".join(declared.options), "help": _escaped(text), **more}


def _bladder_help() -> str:
    sizes = ", ".join(f"{b.name!r} {b.width_cm:g}x{b.length_cm:g}" for b in named())
    sizes += ", or width x length in cm such as 12x23"
    return f"The inflatable part of the cuff: {sizes} (default: the size for the arm)"


def _escaped(text: str) -> str:
    return text.replace("%", "%%")  # argparse fills % in its help texts

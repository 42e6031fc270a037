"""Options made from the limits of the fields: one option a field, with its range, default and label."""

from __future__ import annotations

import argparse
from typing import Any

from sim.body.responses import responses
from sim.body.subject import Subject
from sim.commands.parser import UsageError
from sim.cuff.bladder import bladders, choose
from sim.cuff.instrument import Instrument
from sim.fields import Choice, FieldError, Fields, Limit
from sim.technique import Technique

# Fields whose option is not their name: shorter, or the name is taken.
NAMES = {"arm_circumference_cm": "--arm", "arm": "--arm-support", "cuff_below_heart_cm": "--cuff-below-heart"}
# The commonest of several mistakes, meant where the option is given without a value.
COMMONEST = {"talking": "conversation", "legs": "knees", "back": "unsupported"}
# Fields that only say how strong a response of the body is.
OF_RESPONSES = ("quiet_min",)

# What people rarely need to change stands apart, at the end of the help.
FINER = (
    "artery_a_mmhg",
    "artery_b_mmhg",
    "artery_radius_ratio",
    "artery_scale",
    "artery_law",
    "form_factor",
    "breathing_per_min",
    "start_mmhg",
    "end_mmhg",
    "step_mmhg",
    "sampling_hz",
    "noise_mmhg",
    "resolution_mmhg",
    "polytropic_index",
    "cloth_compliance_ml_per_mmhg",
)
PERSON, MANNER, MOVED, INSTRUMENT, FINEST = range(5)
RECORDS: tuple[type[Fields], ...] = (Subject, Technique, Instrument)
GROUPS = (
    ("the person", "Who is measured: this pressure is the truth that the reading should find."),
    ("cuff, arm and sleeve", "Mistakes that change the number, not the pressure. What is left out is done correctly."),
    (
        "the person's state",
        "What moves the pressure itself, by published averages. What is left out is as it should be.",
    ),
    ("the instrument", "What is left out is as it should be."),
    ("finer points of artery, pulse and sensor", None),
)


def option(field: str) -> str:
    """The option of a field: '--slack-cm' for slack_cm."""
    return NAMES.get(field, "--" + field.replace("_", "-"))


def add_fields(parser: argparse.ArgumentParser) -> None:
    """Give `parser` an option for each field of the person, the technique and the instrument."""
    groups = [parser.add_argument_group(title, description) for title, description in GROUPS]
    groups[MANNER].add_argument(option("bladder"), dest="bladder", metavar="SIZE", help=_bladder_help())
    for record in RECORDS:
        for field, limit in record.LIMITS.items():
            groups[_group(record, field)].add_argument(option(field), dest=field, **_argument(field, limit))


def alone(field: str) -> str | None:
    """What an option means without a value: the commonest mistake, or the only one; None where it needs a value."""
    limit = next(record.LIMITS[field] for record in RECORDS if field in record.LIMITS)
    others = [name for name in limit.options if name != limit.default] if isinstance(limit, Choice) else []
    return COMMONEST.get(field, others[0] if len(others) == 1 else None)


def records(options: argparse.Namespace) -> tuple[Subject, Technique, Instrument]:
    """The person, the technique and the instrument that the options describe.

    Without --bladder the instrument gets the published size for the arm. Raises UsageError, naming the option.
    """
    try:
        subject = Subject(**_given(options, Subject))
        technique = Technique(**_given(options, Technique))
        bladder = options.bladder if options.bladder is not None else str(choose(subject.arm_circumference_cm))
        return subject, technique, Instrument(bladder=bladder, **_given(options, Instrument))
    except FieldError as error:
        raise UsageError(in_options(error)) from None


def in_options(error: FieldError) -> str:
    """The error with the option in place of the field: '--slack-cm 12: must be from 0 to 8 cm'."""
    return f"{option(error.field)} {error.value}: must be {error.allowed}"


def number(field: str, limit: Limit) -> Any:
    """A function that reads one number for argparse, and names the range where the text is none."""

    def read(text: str) -> float:
        try:
            return float(text)
        except ValueError:
            raise UsageError(f"{option(field)} {text!r}: must be a number {limit.allowed}") from None

    return read


def _given(options: argparse.Namespace, record: type[Fields]) -> dict[str, Any]:
    return {field: value for field in record.LIMITS if (value := getattr(options, field)) is not None}


def _group(record: type[Fields], field: str) -> int:
    if field in FINER:
        return FINEST
    if field in responses() or field in OF_RESPONSES:
        return MOVED
    return {Subject: PERSON, Technique: MANNER, Instrument: INSTRUMENT}[record]


def _argument(field: str, limit: Limit | Choice) -> dict[str, Any]:
    """What argparse is told of a field."""
    if isinstance(limit, Limit):
        text = f"{limit.label}, {limit.low:g} to {limit.high:g} {limit.unit}".rstrip() + f" (default {limit.default:g})"
        return {"type": number(field, limit), "metavar": "N", "help": _escaped(text)}
    words = "; ".join(f"{name}: {label}" for name, label in limit.options.items())
    given = alone(field)
    text = f"{limit.label}. {words} (default {limit.default}" + (f"; alone: {given})" if given else ")")
    more: dict[str, Any] = {"nargs": "?", "const": given} if given else {}
    return {"metavar": "|".join(limit.options), "help": _escaped(text), **more}


def _bladder_help() -> str:
    sizes = ", ".join(f"{b.name!r} {b.width_cm:g}x{b.length_cm:g}" for b in bladders())
    sizes += ", or width x length in cm such as 12x23"
    return f"The inflatable part of the cuff: {sizes} (default: the size for the arm)"


def _escaped(text: str) -> str:
    return text.replace("%", "%%")  # argparse fills % in its help texts

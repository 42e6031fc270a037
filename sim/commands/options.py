"""Options made from the limits of the fields: one option a field, with its range, default and label."""

from __future__ import annotations

import argparse
from typing import Any

from sim.body.subject import Subject
from sim.commands.parser import UsageError
from sim.cuff.bladder import bladders, choose
from sim.cuff.instrument import Instrument
from sim.fields import Choice, FieldError, Fields, Limit
from sim.technique import Technique

# Fields whose option is shorter than their name.
SHORT = {"arm_circumference_cm": "--arm", "cuff_below_heart_cm": "--cuff-below-heart"}
# What a choice means where its option is given without a value.
ALONE = {"talking": "conversation", "sleeve_rolled_up": "yes"}

# What people rarely need to change stands apart, at the end of the help.
FINER = (
    "artery_a_mmhg",
    "artery_b_mmhg",
    "artery_radius_ratio",
    "artery_scale",
    "form_factor",
    "breathing_per_min",
    "start_mmhg",
    "end_mmhg",
    "sampling_hz",
    "noise_mmhg",
    "resolution_mmhg",
    "polytropic_index",
    "cloth_compliance_ml_per_mmhg",
)
RECORDS: tuple[type[Fields], ...] = (Subject, Technique, Instrument)
GROUPS = (
    ("the person", "Who is measured: this pressure is the truth that the reading should find."),
    ("how it was taken", "What is left out is done correctly."),
    ("the instrument", "What is left out is as it should be."),
)


def option(field: str) -> str:
    """The option of a field: '--slack-cm' for slack_cm."""
    return SHORT.get(field, "--" + field.replace("_", "-"))


def add_fields(parser: argparse.ArgumentParser) -> None:
    """Give `parser` an option for each field of the person, the technique and the instrument."""
    groups = [parser.add_argument_group(title, description) for title, description in GROUPS]
    finer = parser.add_argument_group("finer points of artery, pulse and sensor")
    groups[1].add_argument(option("bladder"), dest="bladder", metavar="SIZE", help=_bladder_help())
    for group, record in zip(groups, RECORDS, strict=True):
        for field, limit in record.LIMITS.items():
            (finer if field in FINER else group).add_argument(option(field), dest=field, **_argument(field, limit))


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


def _argument(field: str, limit: Limit | Choice) -> dict[str, Any]:
    """What argparse is told of a field."""
    if isinstance(limit, Limit):
        text = f"{limit.label}, {limit.low:g} to {limit.high:g} {limit.unit}".rstrip() + f" (default {limit.default:g})"
        return {"type": number(field, limit), "metavar": "N", "help": _escaped(text)}
    words = "; ".join(f"{name}: {label}" for name, label in limit.options.items())
    more: dict[str, Any] = {"nargs": "?", "const": ALONE[field]} if field in ALONE else {}
    alone = f"; alone: {ALONE[field]}" if field in ALONE else ""
    text = f"{limit.label}. {words} (default {limit.default}{alone})"
    return {"metavar": "|".join(limit.options), "help": _escaped(text), **more}


def _bladder_help() -> str:
    sizes = ", ".join(f"{b.name!r} {b.width_cm:g}x{b.length_cm:g}" for b in bladders())
    sizes += ", or width x length in cm such as 12x23"
    return f"The inflatable part of the cuff: {sizes} (default: the size for the arm)"


def _escaped(text: str) -> str:
    return text.replace("%", "%%")  # argparse fills % in its help texts

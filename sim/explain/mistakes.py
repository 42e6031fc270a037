"""The mistakes in a technique or an instrument: what each is called, of which kind it is, and what is correct."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.body.responses import responses
from sim.body.subject import Subject
from sim.cuff.bladder import choose, fits
from sim.cuff.instrument import Instrument
from sim.fields import Choice, Fields
from sim.technique import Technique

RESPONSE, MEASURING_ERROR = "response", "measuring error"

# Deflation rates that count as correct [mmHg/s]: Muntner P, et al. Hypertension 2019;73:e35-e66,
# DOI 10.1161/HYP.0000000000000087.
CORRECT_DEFLATION_MMHG_PER_S = (2.0, 3.0)


@dataclass(frozen=True, eq=False)
class Mistake:
    """One mistake in n readings.

    field: the input that holds it; cause: in words; kind: "response" or "measuring error";
    correct: the input's correct values, (n,)
    """

    field: str
    cause: str
    kind: str
    correct: np.ndarray


def mistakes(subject: Subject, technique: Technique, instrument: Instrument) -> list[Mistake]:
    """Every mistake that at least one of n readings has; each field of the inputs is an array of n."""
    found: list[Mistake] = []
    for name, limit in technique.LIMITS.items():
        if name in _MODIFIERS:
            continue
        values = getattr(technique, name)
        correct = np.full(values.shape, limit.default)
        kind = RESPONSE if name in responses() else MEASURING_ERROR
        _add(found, name, values, correct, (values != correct) & _acts(name, technique), kind, technique)
    for name in _INSTRUMENT:
        values = getattr(instrument, name)
        correct, wrong = _correct_instrument(name, subject, instrument)
        _add(found, name, values, correct, wrong, MEASURING_ERROR, instrument)
    return found


def _add(
    found: list[Mistake],
    name: str,
    values: np.ndarray,
    correct: np.ndarray,
    wrong: np.ndarray,
    kind: str,
    record: Fields,
) -> None:
    if not wrong.any():
        return
    first = int(np.argmax(wrong))
    alike = np.unique(values[wrong]).size == 1
    label = record.LIMITS[name].label if name in record.LIMITS else "Bladder"
    cause = _words(name, values[first], record.take([first])) if alike else label[0].lower() + label[1:]
    found.append(Mistake(name, cause, kind, np.where(wrong, correct, values)))


def _words(name: str, value: Any, record: Fields) -> str:
    """The mistake as one would say it."""
    limit = record.LIMITS.get(name)
    if name in _SAID:
        return _SAID[name](value, record)
    assert isinstance(limit, Choice)
    return limit.options[str(value)]


def _acts(name: str, technique: Technique) -> np.ndarray:
    """Whether a field acts at all: talk that has ended long ago changes nothing, and is no mistake."""
    if name != "talking":
        return np.ones(len(technique.talking), dtype=bool)
    after = np.array([responses()[name][k].after_effect_min if k != "no" else 0.0 for k in technique.talking])
    return technique.quiet_min < after


def _correct_instrument(name: str, subject: Subject, instrument: Instrument) -> tuple[np.ndarray, np.ndarray]:
    """Correct values, and where the instrument differs from them."""
    values = getattr(instrument, name)
    if name == "bladder":
        return choose(subject.arm_circumference_cm), ~fits(values, subject.arm_circumference_cm)
    if name == "course":
        # Reading while the cuff fills or empties by steps is a way of measuring, no mistake of the person who measures;
        # it is counted as what it adds to a reading taken on a steady fall.
        return np.full(values.shape, "deflating"), values != "deflating"
    if name == "deflation_mmhg_per_s":
        correct = np.clip(values, *CORRECT_DEFLATION_MMHG_PER_S)
    else:
        correct = np.zeros_like(values)
    return correct, values != correct


def _height(cm: float, _: Fields) -> str:
    return f"cuff {abs(cm):g} cm {'below' if cm > 0 else 'above'} the heart"


def _talk(kind: str, technique: Fields) -> str:
    quiet = float(technique.quiet_min[0])  # type: ignore[attr-defined]
    return responses()["talking"][str(kind)].label + (f", silent for {quiet:g} min since" if quiet else "")


def _reading_number(number: float, _: Fields) -> str:
    return responses()["reading_number"][f"{number:g}"].label


def _bladder(name: str, instrument: Fields) -> str:
    width, length = instrument.bladder_width_cm[0], instrument.bladder_length_cm[0]  # type: ignore[attr-defined]
    size = f"bladder of {width:g} x {length:g} cm"
    return (size if name[0].isdigit() else f"{size} ({name})") + ", wrong for this arm"


# Fields that only say how strong another mistake is.
_MODIFIERS = ("quiet_min",)
_INSTRUMENT = ("bladder", "course", "deflation_mmhg_per_s", "zero_error_mmhg", "gain_error_percent")
# Mistakes that are said with a number in them; the others are named by their option.
_SAID: dict[str, Callable[..., str]] = {
    "cuff_below_heart_cm": _height,
    "slack_cm": lambda cm, _: f"cuff wrapped with {cm:g} cm of slack",
    "cuff_turned_deg": lambda degrees, _: f"cuff turned {abs(degrees):g}° off the artery",
    "sleeve_mm": lambda mm, _: f"{mm:g} mm of cloth under the cuff",
    "sleeve_rolled_up": lambda *_: "sleeve rolled up tightly above the cuff (empirical)",
    "elbow_crease": lambda *_: "cuff over the crease of the elbow (empirical)",
    "wrinkle_cm": lambda cm, _: f"a wrinkle of {cm:g} cm over the artery",
    "talking": _talk,
    "movement_mmhg": lambda *_: "movement of the arm",
    "rest_min": lambda minutes, _: f"{minutes:g} min of rest instead of 5",
    "reading_number": _reading_number,
    "bladder": _bladder,
    "course": lambda how, _: {"steps": "cuff emptied by steps", "inflating": "read while the cuff fills"}[str(how)],
    "deflation_mmhg_per_s": lambda rate, _: f"cuff pressure changed by {rate:g} mmHg/s",
    "zero_error_mmhg": lambda mmhg, _: f"sensor shows {mmhg:+g} mmHg with no pressure in the cuff",
    "gain_error_percent": lambda percent, _: f"sensor reads {abs(percent):g} % {'high' if percent > 0 else 'low'}",
}

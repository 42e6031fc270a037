"""The mistakes in a technique or an instrument: what each is called, of which kind it is, and what is correct."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

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
    for name, words in _TECHNIQUE.items():
        values, correct = getattr(technique, name), np.full_like(getattr(technique, name), _default(technique, name))
        kind = RESPONSE if name == "talking" else MEASURING_ERROR
        # Talk that has ended long ago changes nothing, and is no mistake.
        wrong = values != correct if name != "talking" else (values != correct) & ~_faded(technique)
        _add(found, name, values, correct, wrong, words, kind, technique)
    for name, words in _INSTRUMENT.items():
        values = getattr(instrument, name)
        correct, wrong = _correct_instrument(name, subject, instrument)
        _add(found, name, values, correct, wrong, words, MEASURING_ERROR, instrument)
    return found


def _add(
    found: list[Mistake],
    name: str,
    values: np.ndarray,
    correct: np.ndarray,
    wrong: np.ndarray,
    words: Callable[..., str],
    kind: str,
    record: Fields,
) -> None:
    if not wrong.any():
        return
    first = int(np.argmax(wrong))
    alike = np.unique(values[wrong]).size == 1
    limit = record.LIMITS.get(name)
    cause = words(values[first], record.take([first])) if alike or limit is None else limit.label.lower()
    found.append(Mistake(name, cause, kind, np.where(wrong, correct, values)))


def _default(technique: Technique, name: str) -> object:
    limit = technique.LIMITS[name]
    assert isinstance(limit, Choice) or limit.low <= limit.default <= limit.high
    return limit.default


def _faded(technique: Technique) -> np.ndarray:
    after = np.array([responses()[k].after_effect_min if k != "no" else 0.0 for k in technique.talking])
    return technique.quiet_min >= after


def _correct_instrument(name: str, subject: Subject, instrument: Instrument) -> tuple[np.ndarray, np.ndarray]:
    """Correct values, and where the instrument differs from them."""
    values = getattr(instrument, name)
    if name == "bladder":
        return choose(subject.arm_circumference_cm), ~fits(values, subject.arm_circumference_cm)
    if name == "deflation_mmhg_per_s":
        correct = np.clip(values, *CORRECT_DEFLATION_MMHG_PER_S)
    else:
        correct = np.zeros_like(values)
    return correct, values != correct


def _height(cm: float, _: Fields) -> str:
    return f"cuff {abs(cm):g} cm {'below' if cm > 0 else 'above'} the heart"


def _talk(kind: str, technique: Fields) -> str:
    quiet = float(technique.quiet_min[0])  # type: ignore[attr-defined]
    return responses()[str(kind)].label + (f", silent for {quiet:g} min since" if quiet else "")


def _bladder(name: str, instrument: Fields) -> str:
    width, length = instrument.bladder_width_cm[0], instrument.bladder_length_cm[0]  # type: ignore[attr-defined]
    size = f"bladder of {width:g} x {length:g} cm"
    return (size if "x" in name and name[0].isdigit() else f"{size} ({name})") + ", wrong for this arm"


_TECHNIQUE: dict[str, Callable[..., str]] = {
    "cuff_below_heart_cm": _height,
    "slack_cm": lambda cm, _: f"cuff wrapped with {cm:g} cm of slack",
    "cuff_turned_deg": lambda degrees, _: f"cuff turned {abs(degrees):g}° off the artery",
    "sleeve_mm": lambda mm, _: f"{mm:g} mm of cloth under the cuff",
    "sleeve_rolled_up": lambda *_: "sleeve rolled up tightly above the cuff (empirical)",
    "talking": _talk,
    "movement_mmhg": lambda *_: "movement of the arm",
}
_INSTRUMENT: dict[str, Callable[..., str]] = {
    "bladder": _bladder,
    "deflation_mmhg_per_s": lambda rate, _: f"cuff emptied at {rate:g} mmHg/s",
    "zero_error_mmhg": lambda mmhg, _: f"sensor shows {mmhg:+g} mmHg with no pressure in the cuff",
    "gain_error_percent": lambda percent, _: f"sensor reads {abs(percent):g} % {'high' if percent > 0 else 'low'}",
}

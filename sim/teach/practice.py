"""Cases to practise on: a setup with mistakes that nobody announces, or with none; a number is a case.

A case is drawn from its number alone: the same number gives the same case wherever the same model runs. Its first digit
is the level: 1 one plain mistake or none, 2 two mistakes, 3 three of which some cancel. How far the mistakes move the
mean is worked out by the model, and a case is kept only where each of them moves it by at least LEAST_MMHG: as its
share of the whole, and when it alone is put right.

With a patient or cuffs of one's own (`sim.teach.own_patient`) a case follows from both: the number and the patient.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

import numpy as np

from sim.cuff.bladder import Bladder, bladders, choose, fits, named, printed
from sim.data import data
from sim.explain.breakdown import Breakdown, breakdown
from sim.explain.mistakes import Mistake, mistakes
from sim.explain.same_arm import READINGS
from sim.fields import FieldError
from sim.measurement import measure
from sim.say import say
from sim.setup import Setup
from sim.teach.own_patient import NOBODY, OwnPatient

LEVELS = {1: "one mistake, or none", 2: "two mistakes", 3: "three mistakes that partly cancel"}
FIRST, LAST = 1000, 3999
# What a mistake that is asked for adds to the mean at least, systolic or diastolic [mmHg]: less is lost among readings
# that differ from each other by as much (about 3 to 4 mmHg within a sitting).
LEAST_MMHG = 3.0
# Bands of size that a learner chooses from, systolic [mmHg]; no case lies within _CLEAR_MMHG of an edge.
BANDS = (3.0, 8.0, 15.0)
_CLEAR_MMHG = 0.7
_NO_MISTAKE_SHARE = 0.2
_TRIES = 400
# With a patient of one's own, before it is said that there is no such case. Chosen: of a hundred cases of an ordinary
# patient none took as many, and to say no takes a few seconds.
_TRIES_OWN = 120
_STREAM = 81070


@dataclass(frozen=True)
class Possible:
    """A mistake that a case may hold (practice.toml)."""

    name: str
    field: str
    values: tuple[Any, ...]
    put_right: str
    why: str
    tell: str = ""
    tell_right: str = ""
    wait: bool = False
    weight: int = 1


@dataclass(frozen=True, eq=False)
class Case:
    """One case.

    possible: the mistakes made; bias_mmhg: mean of such readings minus resting pressure, systolic and diastolic [mmHg]
    """

    number: int
    setup: Setup
    possible: tuple[Possible, ...]
    bias_mmhg: tuple[float, float]

    @property
    def words(self) -> tuple[str, ...]:
        """What is told of the case, in the language that is spoken."""
        return _words(self.setup, self.possible)

    @property
    def level(self) -> int:
        """1 to 3."""
        return self.number // 1000

    @property
    def direction(self) -> str:
        """How the mean of such readings compares with the resting pressure, systolic: "higher", "lower", "alike"."""
        sbp = self.bias_mmhg[0]
        return "alike" if abs(sbp) < BANDS[0] else "higher" if sbp > 0 else "lower"

    @property
    def band(self) -> int:
        """The band of its size: 0 below the first edge of BANDS, up to len(BANDS)."""
        return band_of(self.bias_mmhg[0])

    def readings(self) -> Breakdown:
        """Twenty readings taken in this way, and what each mistake added."""
        return breakdown(self.setup, rng=readings_rng(self.number), n=READINGS, average_person=True)


def readings_rng(number: int) -> np.random.Generator:
    """The chance of a case's readings."""
    return np.random.default_rng([_STREAM, number, 1])


def band_of(difference_mmhg: float) -> int:
    """The band of a difference's size: 0 below the first edge of BANDS, up to len(BANDS)."""
    return int(np.searchsorted(BANDS, abs(difference_mmhg), side="right"))


@cache
def possible() -> tuple[Possible, ...]:
    """All mistakes that a case may hold."""
    listed = data("sim.teach", "practice.toml")["mistake"]
    return tuple(Possible(**entry | {"values": tuple(entry["values"])}) for entry in listed)


class NoCaseError(ValueError):
    """No case of a number can be made for this patient with these cuffs: its text says so."""


@lru_cache(maxsize=200)
def case(number: int, own: OwnPatient = NOBODY) -> Case:
    """The case of a number from 1000 to 3999. Raises FieldError, and NoCaseError for a patient who has none."""
    if isinstance(number, bool) or not isinstance(number, int) or not FIRST <= number <= LAST:
        raise FieldError("case", number, f"a whole number from {FIRST} to {LAST}; its first digit is the level")
    rng = np.random.default_rng([_STREAM, number])
    for _ in range(_TRIES_OWN if own.set else _TRIES):
        found = _drawn(number, rng, own)
        if found is not None:
            return found
    if own.set:
        raise NoCaseError(say("case {number} cannot be made for this patient with these cuffs", number=number))
    raise AssertionError(f"no case was found for {number}")  # a test goes through a thousand


def _drawn(number: int, rng: np.random.Generator, own: OwnPatient) -> Case | None:
    """A case, or None where its mistakes are too small, or its size is too near the edge of a band."""
    right = person(rng, own)
    wrong = _wrong(number // 1000, rng)
    if right is None:
        return None
    setup = right
    for mistake in wrong:
        value = _value(mistake, right, rng, own)
        if value is None:
            return None
        setup = setup.replace(**{mistake.field: value})
    bias = _bias(setup, wrong)
    if bias is None or not _twenty_agree(number, setup, bias[0]):
        return None
    return Case(number, setup, wrong, bias)


def person(rng: np.random.Generator, own: OwnPatient = NOBODY) -> Setup | None:
    """Somebody with a fitting cuff and correct technique, with the own patient's numbers where these are set.

    None where the pressures do not go together, or none of the clinic's cuffs fits an arm that was drawn. Where none
    fits the own patient's arm, it is the guideline's size that fits.
    """
    dbp = float(np.clip(round(rng.normal(80, 9)), 60, 100))
    sbp = float(np.clip(dbp + round(rng.normal(50, 8)), dbp + 32, 165))
    arm = float(rng.integers(23, 47))
    drawn = {"sbp": sbp, "dbp": dbp, "heart_rate": float(rng.integers(58, 92)), "arm_circumference_cm": arm}
    fields = drawn | own.changes
    arm = fields["arm_circumference_cm"]
    cuff = own.cuff_for(arm)
    if own.cuffs and not cuff and own.arm_circumference_cm is None:
        return None
    try:
        return Setup.of(**fields, bladder=cuff or str(choose(arm)))
    except FieldError:
        return None


def _wrong(level: int, rng: np.random.Generator) -> tuple[Possible, ...]:
    """Which mistakes: never two in the same field."""
    count = 0 if level == 1 and rng.random() < _NO_MISTAKE_SHARE else level
    weights = np.array([mistake.weight for mistake in possible()], dtype=float)
    order = [possible()[i] for i in rng.choice(len(weights), len(weights), replace=False, p=weights / weights.sum())]
    chosen: list[Possible] = []
    for mistake in order:
        if len(chosen) < count and mistake.field not in [c.field for c in chosen]:
            chosen.append(mistake)
    return tuple(chosen)


def cupboard(own: OwnPatient = NOBODY) -> tuple[Bladder, ...]:
    """The bladders that there are to choose from, smallest first: the clinic's, or the guideline's."""
    return tuple(size for size in named() if size.name in own.cuffs) or bladders()


def _value(mistake: Possible, right: Setup, rng: np.random.Generator, own: OwnPatient) -> Any:
    """A wrong value; None where this arm has none."""
    value = mistake.values[int(rng.integers(len(mistake.values)))]
    if mistake.field != "bladder":
        return value
    return _wrong_size(str(right.instrument.bladder), float(right.subject.arm_circumference_cm), value, own)


def _wrong_size(right: str, arm_cm: float, way: str, own: OwnPatient) -> str | None:
    """The next size, "smaller" or "larger", that does not fit the arm; None where there is none."""
    names = [size.name for size in (cupboard(own) if own.cuff_for(arm_cm) else bladders())]
    place = names.index(right)
    others = names[place + 1 :] if way == "larger" else names[:place][::-1]
    return next((name for name in others if not fits(np.array([name]), np.array([arm_cm]))[0]), None)


def _bias(setup: Setup, wrong: tuple[Possible, ...]) -> tuple[float, float] | None:
    """Steady reading minus resting pressure; None where a mistake is too small to ask for, or another is made."""
    spread = setup.spread(1)
    made = mistakes(spread)
    if sorted(m.field for m in made) != sorted(m.field for m in wrong):
        return None
    bias, moved = _steady(spread, made)
    clear = min(abs(abs(bias[0]) - edge) for edge in BANDS) >= _CLEAR_MMHG
    if not clear or not (moved >= LEAST_MMHG).all() or (not wrong and abs(bias[0]) > BANDS[0]):
        return None
    return bias if len(wrong) < 2 or _shares_show(setup) else None


def _steady(spread: Setup, made: list[Mistake]) -> tuple[tuple[float, float], np.ndarray]:
    """Steady reading minus resting pressure, and by how much putting each mistake right moves it; NaN without one."""
    changed = {
        m.field: [(m.correct if m is other else spread.values()[m.field])[0].item() for other in (None, *made)]
        for m in made
    }
    result = measure(spread.take(0).replace(**changed), ideal=True)
    moved = [np.abs(values[1:] - values[0]) for values in (result.reading.sbp, result.reading.dbp)]
    return (float(result.bias.sbp[0]), float(result.bias.dbp[0])), np.maximum(*moved)


def _shares_show(setup: Setup) -> bool:
    """Whether each mistake's share is large enough, too; and of three, whether they partly cancel."""
    shares = [(float(c.sbp[0]), float(c.dbp[0])) for c in breakdown(setup, ideal=True).contributions if c.field]
    signs = {np.sign(sbp) for sbp, _ in shares}
    large = bool(shares) and all(max(map(abs, share)) >= LEAST_MMHG for share in shares)
    return large and (len(shares) < 3 or len(signs) > 1)


def _twenty_agree(number: int, setup: Setup, bias_mmhg: float) -> bool:
    """Whether the mean of the case's readings, in whole mmHg, lies in the same band as that of very many would."""
    result = measure(setup, rng=readings_rng(number), n=READINGS, average_person=True)
    ok = result.reading.ok
    if not ok.any():
        return False
    shown = round(float(result.reading.sbp[ok].mean())) - round(float(result.truth.resting.sbp[0]))
    return band_of(shown) == band_of(bias_mmhg) and (not band_of(shown) or shown * bias_mmhg > 0)


def _words(setup: Setup, wrong: tuple[Possible, ...]) -> tuple[str, ...]:
    """The few words of the case: the same things are told of every case, right or wrong."""
    made = {m.field: m for m in wrong}
    arm = float(setup.subject.arm_circumference_cm)
    told = [
        say("The arm measures {arm} cm round, half-way up the upper arm.", arm=f"{arm:g}"),
        say(
            "Printed on the cuff: {printed}, the size of the bladder.",
            printed=printed(str(setup.instrument.bladder)),
        ),
    ]
    for mistake in possible():
        if mistake.field in made and made[mistake.field] is mistake:
            value = setup.values()[mistake.field].item()
            told.append(say(mistake.tell).format(value=value))
        elif mistake.field not in made:
            told.append(say(mistake.tell_right))
    return tuple(sentence for sentence in told if sentence)

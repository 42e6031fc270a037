"""How often the intervals that a report prints hold the true value: made-up errors, whose truth is known.

python -m sim.study.coverage      works out the table of docs/studies.md again and prints it (some minutes)

Every interval claims 95 %. Errors are drawn, scored by the functions that a report is made with, and the true value is
looked for in the interval. Laws of errors are chosen to try the intervals, not to be like any algorithm.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.fields import FieldError, generator
from sim.study.bland_altman import LIMIT_SDS, bland_altman
from sim.study.compare import compare
from sim.study.components import components
from sim.study.dependence import dependence
from sim.study.intervals import CONFIDENCE, Estimate, share
from sim.study.origin import Origin
from sim.study.paired import CLOSE_MMHG
from sim.study.readings import Readings
from sim.study.standard import TOLERABLE_MMHG, tolerable

# Chosen: 2000 studies know a coverage of 95 % to 0.5 points, 500 to 1.0, 8000 to 0.25.
TRIALS, SEED = 2_000, 1
# So many people stand for all when the true values are worked out. Chosen: their own error, 0.1 % of an SD, is a
# hundredth of what a study of 85 people leaves open; four times as many would halve it.
ALL_PEOPLE = 1_000_000
# Errors [mmHg]: the first algorithm's bias; what one SD of the arm adds to its errors; the second's share of what
# differs between people, and its own scatter over the first's. Chosen, so that the two differ and share much.
BIAS_MMHG, BY_ARM_MMHG, SHARED, CALMER = 1.0, 1.5, 0.8, 0.8
# A study loses readings of a few people: each person's chance of no number is drawn from this beta law, 5 % on average.
LOST = (0.25, 4.75)


@dataclass(frozen=True)
class Design:
    """A study that is repeated: people with so many readings each, their errors in two layers [mmHg].

    words: what it is; counts: readings each, one after another from the first person on and again
    freedom: of the t law of the scatter within people, which has heavy tails where it is small; None: normal
    """

    words: str
    people: int
    counts: tuple[int, ...]
    between: float
    within: float
    freedom: int | None = None


# Chosen: SDs of 4 mmHg, as errors of usual algorithms have here; 1 and 5 where people hardly differ. 85 people with 3
# readings each are the standard's; the others have fewer, unequally many, or as many as those of Bland and Altman 2007.
DESIGNS = (
    Design("85 people, 3 readings", 85, (3,), 4.0, 4.0),
    Design("85 people, 1 to 5", 85, (1, 2, 3, 4, 5), 4.0, 4.0),
    Design("12 people, 3 to 6", 12, (5, 4, 6, 5, 6, 4, 4, 6, 3, 5, 6, 6), 4.0, 4.0),
    Design("30 people, 1 to 5, scatter mostly within", 30, (1, 2, 3, 4, 5), 1.0, 5.0),
    Design("85 people, 1 reading", 85, (1,), 4.0, 4.0),
    Design("85 people, 3 readings, heavy tails", 85, (3,), 4.0, 4.0, 4),
)


@dataclass(frozen=True, eq=False)
class Coverage:
    """What became of one design's intervals, by their names, in the order in which they come.

    found: share of the trials whose interval held the true value, for the limits of agreement the mean share of a new
    person's differences between them; error: its Monte Carlo standard error
    """

    design: Design
    trials: int
    found: Mapping[str, float]
    error: Mapping[str, float]


@dataclass(frozen=True, eq=False)
class _Errors:
    """Errors of two algorithms (m,) [mmHg], NaN where there is no number, whose they are, and arms (m,) in SDs."""

    subject: np.ndarray
    arm: np.ndarray
    first: np.ndarray
    second: np.ndarray


def coverage(design: Design, rng: np.random.Generator, trials: int = TRIALS) -> Coverage:
    """Repeat a study so many times and count how often each holds the truth [mmHg], as shares. Raises FieldError.

    >>> found = coverage(DESIGNS[4], np.random.default_rng(1), trials=5)
    >>> 0 <= found.found["bias"] <= 1
    True
    """
    generator(rng)
    if trials < 2:
        raise FieldError("trials", trials, "2 or more")
    truth, new = true_values(design), _new(design)
    rows = [list(_held(_drawn(design, design.people, rng), truth, new)) for _ in range(trials)]
    names = [name for name, _ in rows[0]]
    held = np.array([[value for _, value in row] for row in rows])
    spread = held.std(axis=0, ddof=1) / np.sqrt(trials)
    means = held.mean(axis=0)
    return Coverage(
        design,
        trials,
        dict(zip(names, means.tolist(), strict=True)),
        dict(zip(names, spread.tolist(), strict=True)),
    )


@lru_cache(maxsize=16)
def true_values(design: Design) -> dict[str, float]:
    """The true value of each figure [mmHg, or a share], over very many people, by the name of its interval.

    >>> truth = true_values(DESIGNS[0])
    >>> round(truth["bias"], 1), round(truth["SD of a single reading"], 2)
    (1.0, 5.85)
    """
    e = _drawn(design, ALL_PEOPLE, np.random.default_rng(SEED), (1,))
    a, b = e.first, e.second
    known, other = (x[np.isfinite(x)] for x in (a, b))
    bias, sd = float(known.mean()), float(known.std())
    shares = [float((np.abs(x) <= CLOSE_MMHG).mean()) for x in (a, b)]
    return {
        "bias": bias,
        "SD of a single reading": sd,
        "lower limit of agreement": bias - LIMIT_SDS * sd,
        "upper limit of agreement": bias + LIMIT_SDS * sd,
        f"share within {CLOSE_MMHG} mmHg": shares[0],
        "share without a number": LOST[0] / sum(LOST),
        "probability of a tolerable error": _tolerable(design),
        "error against arm circumference": BY_ARM_MMHG,
        "two algorithms: mean error": bias - float(other.mean()),
        "two algorithms: mean size of the error": float(np.abs(known).mean() - np.abs(other).mean()),
        "two algorithms: SD, difference": sd - float(other.std()),
        "two algorithms: SD, ratio": sd / float(other.std()),
        "two algorithms: root mean square, ratio": float(np.sqrt(np.mean(known**2) / np.mean(other**2))),
        f"two algorithms: share within {CLOSE_MMHG} mmHg": shares[0] - shares[1],
        "two algorithms: share without a number": 0.0,
    }


def table(found: list[Coverage]) -> str:
    """The designs' coverages beside each other, in %, as a table of Markdown; more than three Monte Carlo errors from
    95 % in bold. found: one Coverage a design, (designs,)."""
    lines = ["| interval | " + " | ".join(c.design.words for c in found) + " |", "|---" * (len(found) + 1) + "|"]
    for name in found[0].found:
        cells = (_cell(c.found[name], c.error[name], c.trials) for c in found)
        lines.append(f"| {name} | " + " | ".join(cells) + " |")
    return "\n".join(lines)


def _cell(value: float, error: float, trials: int) -> str:
    # Of the error at 95 %, which does not vanish where every interval held.
    far = abs(value - CONFIDENCE) > 3 * max(error, np.sqrt(CONFIDENCE * (1 - CONFIDENCE) / trials))
    return f"**{100 * value:.1f}**" if far else f"{100 * value:.1f}"


def _held(e: _Errors, truth: Mapping[str, float], new: np.ndarray) -> Iterator[tuple[str, float]]:
    """Each interval of one study, and whether it holds the true value (1 or 0); `new`: sorted errors of new people."""
    read = np.isfinite(e.first)
    found = bland_altman(e.first[read], e.subject[read])
    low, high = np.searchsorted(new, (found.lower.value, found.upper.value)) / len(new)
    yield "limits: share of a new person's differences between them", float(high - low)
    intervals = {
        "bias": found.bias,
        "SD of a single reading": found.sd,
        "lower limit of agreement": found.lower,
        "upper limit of agreement": found.upper,
        **_shares(e),
        "probability of a tolerable error": _tolerable_error(e),
        "error against arm circumference": _slope(e),
        **_compared(e),
    }
    for name, interval in intervals.items():
        yield name, float(interval.low <= truth[name] <= interval.high)


def _shares(e: _Errors) -> dict[str, Estimate]:
    return {
        f"share within {CLOSE_MMHG} mmHg": share(np.abs(e.first) <= CLOSE_MMHG, e.subject),
        "share without a number": share(np.isnan(e.first), e.subject),
    }


def _tolerable_error(e: _Errors) -> Estimate:
    """Over the people with every reading, as a score has it."""
    _, where, planned = np.unique(e.subject, return_inverse=True, return_counts=True)
    whole = (np.bincount(where, np.isfinite(e.first)) == planned.max())[where]
    parts = components(e.first[whole], e.subject[whole])
    return tolerable(parts.mean, parts.sd_of_means, parts.subjects).probability


def _slope(e: _Errors) -> Estimate:
    read = np.isfinite(e.first)
    _, where, counts = np.unique(e.subject[read], return_inverse=True, return_counts=True)
    arm, error = (np.bincount(where, values[read]) / counts for values in (e.arm, e.first))
    found = dependence("arm", "arm", "SD", arm, error)
    assert found is not None
    return found.slope


def _compared(e: _Errors) -> dict[str, Estimate]:
    names = ("first", "second")
    shown = {name: _columns(name, e.subject, getattr(e, name)) for name in names}
    both = Readings({c: np.concatenate([shown[name][c] for name in names]) for c in shown["first"]})
    found = compare(both, *names, Origin(None))
    return {
        "two algorithms: mean error": found.sbp.mean_error,
        "two algorithms: mean size of the error": found.sbp.mean_absolute,
        "two algorithms: SD, difference": found.sbp.sd_apart,
        "two algorithms: SD, ratio": found.sbp.sd,
        "two algorithms: root mean square, ratio": found.sbp.root_mean_square,
        f"two algorithms: share within {CLOSE_MMHG} mmHg": found.sbp.within,
        "two algorithms: share without a number": found.failed_share,
    }


def _columns(name: str, subject: np.ndarray, error: np.ndarray) -> dict[str, np.ndarray]:
    """A table of readings with these errors, as a comparison wants it."""
    truth = {"sbp": np.full(len(error), 120.0), "dbp": np.full(len(error), 80.0)}
    return {
        "subject": subject,
        "reading": np.arange(len(error)),
        "estimator": np.full(len(error), name),
        "reason": np.where(np.isfinite(error), "", "lost"),
        **{p: values + error for p, values in truth.items()},
        **{f"at_measurement_{p}": values for p, values in truth.items()},
    }


def _drawn(design: Design, people: int, rng: np.random.Generator, counts: tuple[int, ...] = ()) -> _Errors:
    """The errors of one study, of so many people."""
    subject = np.repeat(np.arange(people), np.resize(counts or design.counts, people))
    m = len(subject)
    arm = rng.standard_normal(people)
    shared = BY_ARM_MMHG * arm + design.between * rng.standard_normal(people)
    lost = rng.beta(*LOST, people)[subject]
    first = BIAS_MMHG + shared[subject] + design.within * _scatter(design, m, rng)
    second = SHARED * shared[subject] + CALMER * design.within * _scatter(design, m, rng)
    return _Errors(subject, arm[subject], *(np.where(rng.random(m) < lost, np.nan, x) for x in (first, second)))


def _scatter(design: Design, m: int, rng: np.random.Generator) -> np.ndarray:
    """m draws with an SD of 1."""
    if design.freedom is None:
        return rng.standard_normal(m)
    return rng.standard_t(design.freedom, m) * np.sqrt((design.freedom - 2) / design.freedom)


def _tolerable(design: Design) -> float:
    """True probability that the mean error of a person with every reading is tolerable."""
    rng, most = np.random.default_rng(SEED), max(design.counts)
    of_person = BIAS_MMHG + np.hypot(BY_ARM_MMHG, design.between) * rng.standard_normal(ALL_PEOPLE)
    own = np.mean([_scatter(design, ALL_PEOPLE, rng) for _ in range(most)], axis=0)
    return float((np.abs(of_person + design.within * own) <= TOLERABLE_MMHG).mean())


@lru_cache(maxsize=16)
def _new(design: Design) -> np.ndarray:
    """Errors of people who are in no study, sorted."""
    errors = _drawn(design, ALL_PEOPLE, np.random.default_rng(SEED + 1), (1,)).first
    return np.sort(errors[np.isfinite(errors)])


def table_of_all(trials: int = TRIALS, seed: int = SEED) -> str:
    """The table of every design: of errors [mmHg], `trials` studies each, in %. Raises FieldError."""
    return table([coverage(design, np.random.default_rng([seed, k]), trials) for k, design in enumerate(DESIGNS)])


if __name__ == "__main__":
    print(table_of_all())  # noqa: T201 - a script's answer

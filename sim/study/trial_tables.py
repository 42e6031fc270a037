"""The luck of trials as tables of words."""

from __future__ import annotations

from sim.estimate.named import flattered
from sim.study.figures_as_text import NONE, percent, plain, plus
from sim.study.standard import MEAN_MMHG, SD_MMHG, SUBJECTS
from sim.study.tables import Table
from sim.study.trial import Luck, Trials
from sim.study.trial_pool import MOST_SPAN_MMHG, REFERENCES, Pool
from sim.texts import real_minus

BAD = "*"


def pool_table(pool: Pool) -> Table:
    """Whom the trials are drawn from, how many."""
    systolic, diastolic = MOST_SPAN_MMHG
    return Table(
        f"{pool.estimator}: the people of whom trials are drawn",
        ("", "number"),
        (
            ("people measured", str(pool.asked)),
            ("left out: a reading without a number", str(pool.unread)),
            (f"against two observers also left out: {_WAVERING}", str(pool.wavering)),
        ),
        f"Measured once. Each trial draws {SUBJECTS} of them with replacement, so the same person can be in many "
        f"trials. Left out as the standard does, as we understand it: highest less lowest reading of the observers "
        f"over {systolic:g} mmHg systolic or {diastolic:g} diastolic. {flattered(pool.estimator)}".rstrip(),
    )


_WAVERING = "the observers' readings too far apart"


def as_it_is_table(found: tuple[Trials, ...]) -> Table:
    """How the algorithm as it is fares against each reference [mmHg]."""
    return Table(
        "The algorithm as it is",
        ("against", "true mean error, mmHg", "true SD of people's means, mmHg", "truly within", "trials passed"),
        tuple(
            (
                REFERENCES[one.against],
                " / ".join(plus(mean) for mean in one.as_it_is.device.mean),
                " / ".join(plain(sd, 2) for sd in one.as_it_is.device.sd_of_means),
                "yes" if one.as_it_is.device.good else "no",
                _shares(one.as_it_is),
            )
            for one in found
        ),
        "Systolic / diastolic; trials passed: systolic / diastolic / both together, %. An algorithm that is right "
        "about the artery is not right about a listener: the published difference of the two, −5.7/+5.5 mmHg on "
        "average with an SD of about 10/8 over people, counts as its error here. How much of that SD real devices "
        "share with a listener is not known.",
    )


def luck_table(found: Trials) -> Table:
    """Share of trials passed, in %, by what is true of the device [mmHg]."""
    return Table(
        f"Trials passed, %, against {REFERENCES[found.against]}",
        ("true SD, mmHg", *(f"bias {_bias(bias)}" for bias in found.biases)),
        tuple((f"{sd:g}", *(_cell(cell) for cell in row)) for sd, row in zip(found.sds, found.cells, strict=True)),
        f"Systolic / diastolic / both together, both criteria each; {BAD}: a bad device, truly outside the criteria. "
        "The device is the algorithm with an extra bias and an extra error that stays with each person, so that its "
        "mean error and the SD of people's mean errors are truly as the table says, in both pressures"
        f"{_following(found)}. {NONE}: the algorithm's own SD is larger. {_noise(found)}",
    )


def in_words(found: Trials) -> str:
    """The bad device that passes most often, and the good one that fails most often."""
    bad = [one for one in found.played if not one.device.good]
    good = [one for one in found.played if one.device.good]
    said = [f"Against {REFERENCES[found.against]}."]
    if bad:
        most = max(bad, key=lambda one: one.together)
        said.append(f"The bad device with most luck, {_named(most)}, passes {percent(most.together)} of the trials.")
    if good:
        least = min(good, key=lambda one: one.together)
        said.append(f"The good device with least luck, {_named(least)}, fails {percent(1 - least.together)} of them.")
    if not bad and not good:
        said.append("Nothing to play: the algorithm's own SD is larger than every SD asked for.")
    return " ".join(said)


def _named(one: Luck) -> str:
    return f"bias {_bias(float(one.device.mean[0]))} with SD {one.device.sd_of_means[0]:g} mmHg"


def _following(found: Trials) -> str:
    if found.against != "listener":
        return ""
    return (
        ", about the level at which these observers hear each person; so only the observers' own errors and the change "
        "from reading to reading come on top"
    )


def _noise(found: Trials) -> str:
    count = found.as_it_is.trials
    return f"{count:,} trials of {SUBJECTS} people: a share is sure to {100 * 0.98 / count**0.5:.1f} % (95 %, at most)."


def _cell(one: Luck | None) -> str:
    return NONE if one is None else _shares(one) + BAD * (not one.device.good)


def _shares(one: Luck) -> str:
    return " / ".join(f"{100 * share:.0f}" for share in (*one.passed, one.together))


def _bias(mmhg: float) -> str:
    return real_minus(f"{mmhg:+g}") if mmhg else "0"


RULES = (
    f"Passed: mean error within {MEAN_MMHG:g} mmHg and SD at most {SD_MMHG:g} over all readings, and the SD of "
    "people's mean errors at most the limit for that mean error. Rules as we understand ISO 81060-2; check them "
    "against the standard."
)

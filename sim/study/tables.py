"""A study's figures as tables of words: text, pages and paper show the same ones."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from sim.estimate.named import flattered
from sim.study.agreement import Agreement, Score
from sim.study.bland_altman import ALL_ALIKE, all_alike
from sim.study.compare import Comparison, Difference
from sim.study.contract import Finding
from sim.study.figures_as_text import interval, mmhg, percent, plain, plus, ratio, share
from sim.study.iso_rules import Rule
from sim.study.paired import CLOSE_MMHG
from sim.study.readings import TRUTHS
from sim.study.standard import MEAN_MMHG, SD_MMHG, SUBJECTS, TOLERABLE_MMHG, TOLERABLE_SHARE, passing_together
from sim.study.stress import StressMap
from sim.study.sums import WITHIN_MMHG

PRESSURES = ("systolic", "diastolic")


@dataclass(frozen=True)
class Table:
    """A title, a header and rows of text, the first column naming each row; a note says how to read it."""

    title: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""


def tables(agreement: Agreement) -> tuple[Table, ...]:
    """Everything about one estimator, in words, pressures in mmHg."""
    return (
        _counts(agreement),
        _standard(agreement),
        _universal(agreement),
        _shares(agreement),
        _limits(agreement),
        _dependence(agreement),
    )


def rules_table(rules: tuple[Rule, ...]) -> Table:
    """How the people were distributed, in %, against what ISO 81060-2 asks: shares of readings or of subjects."""
    return Table(
        "People, as ISO 81060-2 asks for them",
        ("", "reached", "at least", ""),
        tuple(
            (rule.name, percent(rule.reached), percent(rule.least), "ok" if rule.ok else "not reached")
            for rule in rules
        ),
        "Rules as we understand ISO 81060-2; check them against the standard. Pressures: true ones during the "
        "readings.",
    )


def contract_table(findings: tuple[Finding, ...], estimator: str) -> Table:
    """How many requirements an estimator kept, of those that any must keep."""
    kept = sum(finding.ok for finding in findings)
    return Table(
        f"{estimator}: {kept} of {len(findings)} requirements passed",
        ("", "", ""),
        tuple((f.name, "passed" if f.ok else "FAILED", f.wrong or f.asked) for f in findings),
        "Tried on difficult recordings (sim.study.contract).",
    )


def comparison_table(c: Comparison) -> Table:
    """Two estimators on the same recordings, in mmHg."""

    def row(name: str, value: str) -> tuple[str, str, str]:
        def of(d: Difference) -> str:
            estimate = getattr(d, value)
            if value == "within":
                return interval(estimate.scaled(100), "+.1f")
            return ratio(estimate) if value in ("root_mean_square", "sd") else mmhg(estimate)

        return name, of(c.sbp), of(c.dbp)

    failed = c.failed_share.scaled(100)
    return Table(
        f"{c.first} against {c.second}, on the same recordings",
        ("", *PRESSURES),
        (
            row("mean error, first minus second, mmHg", "mean_error"),
            row("mean |error|, first minus second, mmHg", "mean_absolute"),
            row("root mean square error, first over second", "root_mean_square"),
            row("SD of errors, first minus second, mmHg", "sd_apart"),
            row("SD of errors, first over second", "sd"),
            row(f"within {CLOSE_MMHG} mmHg, first minus second, % of recordings", "within"),
            (
                "recordings that both read; only the first; only the second",
                f"{c.both}; {c.first_only}; {c.second_only}",
                "",
            ),
            ("without a number, first minus second, % of recordings", interval(failed, "+.1f"), ""),
        ),
        "95 % intervals over people, who are independent where their readings are not. A mean |error| or an "
        f"SD below 0, a ratio below 1, a share within {CLOSE_MMHG} mmHg above 0: the first is better; an interval that "
        "holds 0, or 1, leaves it open. The "
        "algorithms built in were tuned on simulated people like these, never these themselves: a lead over one that "
        f"was tuned elsewhere may not carry over to real arms. {_truth(c)}",
    )


def stress_table(found: StressMap) -> Table:
    """A stress map: for each pair of values the share of tolerable readings, and of those without a number."""
    rows = tuple(
        (_named(y), *(f"{100 * t:.0f} / {100 * f:.0f}" for t, f in zip(*cells, strict=True)))
        for y, *cells in zip(found.y.values, found.tolerable, found.failed, strict=True)
    )
    return Table(
        f"Stress map of {found.estimator}: readings within 10 mmHg / without a number, %",
        (f"{found.y.name} by {found.x.name}", *(_named(x) for x in found.x.values)),
        rows,
        f"Within 10 mmHg: systolic and diastolic error against {TRUTHS[found.against]}. {found.origin}. "
        f"{flattered(found.estimator)}".rstrip(),
    )


def _counts(a: Agreement) -> Table:
    c = a.counts
    rows = [
        ("readings", str(c.readings)),
        ("subjects", str(c.subjects)),
        ("readings without a number", f"{c.failed}, {share(c.failed_share)}"),
        *((f"  {reason}", str(count)) for reason, count in c.reasons.items()),
        ("subjects with every reading", str(c.complete)),
        ("subjects without any", str(c.without_any)),
    ]
    return Table(f"{a.estimator}: readings", ("", "number"), tuple(rows), _truth(a))


def _standard(a: Agreement) -> Table:
    def row(name: str, text: Callable[[Score], str], required: str) -> tuple[str, ...]:
        return (name, *(text(s) for s in a.scores), required)

    return Table(
        "ISO 81060-2, over subjects with every reading",
        ("", *PRESSURES, "required"),
        (
            ("subjects with every reading", *[percent(a.complete_share)] * 2, f"at least {TOLERABLE_SHARE:.0%}"),
            row("mean error, mmHg", lambda s: plus(s.parts.mean), f"within {MEAN_MMHG:g}"),
            row("SD of errors, mmHg", lambda s: plain(s.parts.sd), f"at most {SD_MMHG:g}"),
            row("criterion 1", lambda s: _judged(s, s.criterion_1), "met"),
            row("SD of subjects' mean errors, mmHg", lambda s: plain(s.parts.sd_of_means, 2), "at most the next line"),
            row("  the limit at this mean error", lambda s: plain(s.limit_2, 2), ""),
            row("criterion 2", lambda s: _judged(s, s.criterion_2), "met"),
            row(f"{SUBJECTS} such people would pass 1 with probability", lambda s: percent(s.passing.criterion_1), ""),
            row(f"{SUBJECTS} such people would pass 2 with probability", lambda s: percent(s.passing.criterion_2), ""),
            row(f"{SUBJECTS} such people would pass both with probability", lambda s: percent(s.passing.both), ""),
        ),
        "Probabilities: for normal errors that truly have these means and spreads, each pressure on its own"
        f"{_together(a)}. The limit of criterion 2 is the SD at which |error| <= 10 mmHg has probability 0.85; the "
        "printed table of the standard agrees within 0.02 mmHg. Subjects who lack a reading are left out, as the "
        f"standard does; where they are more than {1 - TOLERABLE_SHARE:.0%}, the algorithm has not passed (our rule: "
        f"who gets no number has no tolerable error). {_truth(a)}",
    )


def _together(a: Agreement) -> str:
    """What follows for both pressures, as the end of a sentence."""
    low, high = passing_together(a.sbp.passing, a.dbp.passing)
    if not math.isfinite(high):
        return ""
    return f"; in both pressures, whatever binds their errors, between {percent(low)} and {percent(high)}"


def _universal(a: Agreement) -> Table:
    return Table(
        "The universal rule: errors that are tolerable",
        ("", *PRESSURES, "required"),
        (
            (
                f"probability that a subject's mean error is within {TOLERABLE_MMHG:g} mmHg",
                *(share(s.tolerable.probability) for s in a.scores),
                f"at least {TOLERABLE_SHARE:.0%}",
            ),
            ("probability that the true one is enough", *(percent(s.tolerable.confidence) for s in a.scores), ""),
        ),
        f"Stergiou GS, et al. J Hypertens 2018;36:472-478. 95 % intervals, for normal errors. {_truth(a)}",
    )


def _shares(a: Agreement) -> Table:
    return Table(
        "Share of all readings with an error within",
        ("", *PRESSURES),
        (
            *((f"{w} mmHg", *(share(s.within[w]) for s in a.scores)) for w in WITHIN_MMHG),
            ("grade (British Hypertension Society, historical)", *(s.grade for s in a.scores)),
        ),
        "95 % intervals over people, who are independent where their readings are not. Readings without a number count "
        f"as outside. Grades: A 60/85/95, B 50/75/90, C 40/65/85 %, otherwise D. {_truth(a)}",
    )


def _limits(a: Agreement) -> Table:
    return Table(
        "Bland-Altman, over all readings with numbers, mmHg",
        ("", *PRESSURES),
        (
            ("bias", *(mmhg(s.agreement.bias) for s in a.scores)),
            ("lower limit of agreement", *(mmhg(s.agreement.lower) for s in a.scores)),
            ("upper limit of agreement", *(mmhg(s.agreement.upper) for s in a.scores)),
            *_alike(a),
            ("SD of a single reading of a new person", *(interval(s.agreement.sd, ".1f") for s in a.scores)),
            ("SD between people, within a person", *(_layers(s) for s in a.scores)),
            ("root mean square error", *(plain(s.root_mean_square) for s in a.scores)),
            *_covered(a),
        ),
        f"95 % intervals; {_methods(a)} {_truth(a)}",
    )


def _unequal(a: Agreement) -> bool:
    """Whether some people have more readings with numbers than others, and each reading has its own true value."""
    counts = [s.spread for s in a.scores if s.spread.subjects]
    return a.against != "resting" and any(not math.isclose(c.readings / c.subjects, c.harmonic) for c in counts)


def _alike(a: Agreement) -> tuple[tuple[str, ...], ...]:
    """What the method of 2007 finds, where it finds something else."""
    if not _unequal(a):
        return ()
    return (("bias; limits, where every reading weighs the same", *(_in_a_row(s) for s in a.scores)),)


def _methods(a: Agreement) -> str:
    """Which methods the limits are from, as sentences."""
    return f"{a.sbp.agreement.method}." + f" Without intervals, {ALL_ALIKE}." * _unequal(a)


def _in_a_row(s: Score) -> str:
    bias, lower, upper = map(plus, all_alike(s.spread))
    return f"{bias}; {lower} to {upper}"


def _covered(a: Agreement) -> tuple[tuple[str, ...], ...]:
    """How honest an estimator's own uncertainties are, where it gives any: 95 % would be."""
    if not any(math.isfinite(s.covered) for s in a.scores):
        return ()
    return (("errors within 1.96 of its own SDs (95 % if its SDs are right)", *(percent(s.covered) for s in a.scores)),)


def _dependence(a: Agreement) -> Table:
    rows = []
    for s, d in zip(a.sbp.by, a.dbp.by, strict=True):
        rows.append(
            (
                f"{s.label}, {s.unit}",
                mmhg(s.per_sd),
                mmhg(d.per_sd),
                f"to {s.parts[0].high:.3g}: {plus(s.parts[0].mean)}/{plus(d.parts[0].mean)}",
                f"from {s.parts[-1].low:.3g}: {plus(s.parts[-1].mean)}/{plus(d.parts[-1].mean)}",
            )
        )
    return Table(
        "Error against what differs between people, mmHg for one SD of it",
        ("", *PRESSURES, "lowest fifth", "highest fifth"),
        tuple(rows),
        "Straight lines through the subjects' mean errors, one quantity at a time, with 95 % intervals; mean errors, "
        "systolic/diastolic, in the fifth of people with the lowest and the highest values. "
        f"{_edges(a)}{_truth(a)}",
    )


def _edges(a: Agreement) -> str:
    """How exact the edges of the fifths are, where they are not."""
    inexact = [f"{s.edges_to:g} {s.unit} ({s.label})" for s in a.sbp.by if s.edges_to]
    if not inexact:
        return ""
    return (
        f"So many people are counted in bins: the edges of the fifths are right to {', '.join(inexact)}. "
        "Exact ones can be had only from a table of all readings. "
    )


def _truth(found: Agreement | Comparison) -> str:
    """What errors are held against, and whom they flatter: every table of errors says it."""
    names = (found.estimator,) if isinstance(found, Agreement) else (found.first, found.second)
    return f"Errors are readings minus {TRUTHS[found.against]}. {flattered(*names)}".rstrip()


def _named(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.4g}"


def _layers(s: Score) -> str:
    return f"{plain(s.spread.between)}, {plain(s.spread.within)}"


def _judged(s: Score, met: bool) -> str:
    return _met(met) if math.isfinite(s.parts.sd) else "cannot be judged"


def _met(value: bool) -> str:
    return "met" if value else "not met"

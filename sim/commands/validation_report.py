"""The model beside published effects, in words and as one JSON object."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import Any

from sim import PARAMETERS_VERSION, __version__
from sim.commands.report import SAFETY, WIDTH
from sim.figures.numbers import signed
from sim.teach.evidence import BAND, Effect
from sim.teach.lesson_record import FROM_HERE
from sim.teach.limits import left_out
from sim.teach.mechanisms import Without, apart_mmhg
from sim.teach.misses import other_misses
from sim.teach.parts import SURE
from sim.teach.verdicts import (
    BUILT_IN,
    GROUPS,
    INSIDE,
    NAMES,
    NO_FIGURE,
    NOT_COMPARABLE,
    OUTSIDE,
    UNTESTED,
    Finding,
    comparable_figures,
    count,
    grouped,
    verdict,
)
from sim.texts import real_minus

_WORDS = {
    OUTSIDE: "OUTSIDE",
    INSIDE: "inside",
    BUILT_IN: "built in",
    NOT_COMPARABLE: "not comparable",
    UNTESTED: "",
    NO_FIGURE: "",
}


@dataclass(frozen=True)
class Asked:
    """What was compared: the findings of so many lessons, each over so many people drawn from the seed.

    switched_off: what becomes of the tested figures without each mechanism of the model
    """

    findings: tuple[Finding, ...]
    lessons: int
    people: int
    seed: int
    switched_off: tuple[Without, ...] = ()


def text(asked: Asked) -> str:
    """The whole report, lines of at most 78 characters."""
    low, high = BAND
    head = (
        f"{len(asked.findings)} published findings of {asked.lessons} lessons beside the model, in mmHg: with the "
        f"mistake minus without it. (from to): the published interval. [from to]: the model's "
        f"{low}th and {high}th percentile over {asked.people} people, who differ in their arteries and responses."
    )
    lines = [*_wrap(head), "", *_wrap(count(asked.findings).sentence)]
    for group, some in grouped(asked.findings).items():
        lines += ["", "", *_wrap(GROUPS[group].upper())]
        for each in some:
            lines += ["", *_finding(each)]
    lines += ["", "", "MISSES OF OTHER KINDS: FIGURES THAT ARE NO EFFECT ON A READING"]
    for other in other_misses():
        lines += ["", *_wrap(f"{other.what}: {other.figures}.", "  ", "    ")]
        lines += [*_wrap(f"{other.source}.", "    ", "    "), *_wrap(f"Why: {other.reason}", "    ", "    ")]
    if asked.switched_off:
        lines += ["", "", *_mechanisms(asked)]
    lines += ["", "", "WHAT THE MODEL LEAVES OUT"]
    for part in left_out():
        lines += ["", part.title, *(line for item in part.items for line in _wrap(f"- {item}", "  ", "    "))]
    lines += ["", *(line for words in SAFETY for line in _wrap(words)), _origin(asked)]
    return real_minus("\n".join(lines))


def document(asked: Asked) -> dict[str, Any]:
    """The same as plain values that json writes, nothing rounded; null where there is no number.

    `counts`: systolic and diastolic figures each for itself; `findings`: the misses first, each with `group` and, for
    `sbp` and `dbp`, what was published, the model's mean with its percentiles, and the verdict; `other_misses`: figures
    that are no effect on a reading.
    """
    counts = count(asked.findings)
    ordered = [each for some in grouped(asked.findings).values() for each in some]
    return {
        "version": __version__,
        "parameters_version": PARAMETERS_VERSION,
        "note": SAFETY[0],
        "seed": asked.seed,
        "people": asked.people,
        "percentiles": list(BAND),
        "lessons": asked.lessons,
        "counts": {"tested": counts.tested} | vars(counts),
        "groups": GROUPS,
        "mean_distance_mmhg": apart_mmhg(comparable_figures(asked.findings).values()),
        "mechanisms_switched_off": [
            {
                "mechanism": one.mechanism.name,
                "instead": one.mechanism.without,
                "inside": one.inside,
                "tested": one.of,
                "mean_distance_mmhg": one.apart_mmhg,
                "then_missed": list(one.lost),
                "then_inside": list(one.won),
            }
            for one in asked.switched_off
        ],
        "findings": [_entry(each) for each in ordered],
        "other_misses": [vars(other) for other in other_misses()],
        "left_out": [{"title": part.title, "items": list(part.items)} for part in left_out()],
    }


def _finding(each: Finding) -> list[str]:
    evidence = each.evidence
    mark = f" ({FROM_HERE[:1].lower()}{FROM_HERE[1:]})" if each.lesson.local else ""
    lines = _wrap(f"{each.lesson.name}{mark}: {evidence.label}", "  ", "    ")
    if evidence.finding:
        lines += _wrap(evidence.finding, "    ", "    ")
    shown = {name: e for name, e in each.effects.items() if e.published is not None or e.model is not None}
    lines += [_effect(NAMES[name], effect) for name, effect in shown.items()]
    n = f", n = {evidence.n:,}" if evidence.n else ""
    lines += _wrap(f"{evidence.source}, {evidence.identifier}{n}; {SURE[evidence.sure]}.", "    ", "    ")
    why = dict.fromkeys(each.reasons.values())
    for reason in (*why, *filter(None, [evidence.not_comparable, each.comparison.reason])):
        lines += _wrap(f"Why: {reason}", "    ", "    ")
    return lines


def _mechanisms(asked: Asked) -> list[str]:
    """A table: how many tested figures are inside, and how far off the model is, without each mechanism."""
    kept = comparable_figures(asked.findings)
    whole = f"{sum(effect.inside is True for effect in kept.values())} of {len(kept)}"
    lines = [
        *_wrap(
            "EACH MECHANISM SWITCHED OFF: TESTED FIGURES THAT ARE STILL INSIDE, AND THE MEAN DISTANCE IN MMHG BETWEEN "
            "MODEL AND PUBLISHED VALUE"
        ),
        "",
        f"  {'the whole model':58} {whole:>8} {apart_mmhg(kept.values()):6.2f}",
    ]
    for one in asked.switched_off:
        lines.append(f"  {one.mechanism.name:58} {f'{one.inside} of {one.of}':>8} {one.apart_mmhg:6.2f}")
        for word, those in (("then missed", one.lost), ("then inside", one.won)):
            lines += [line for each in those for line in _wrap(f"{word}: {each}", "    ", "      ")]
    return lines


def _effect(name: str, effect: Effect) -> str:
    published = "not published"
    if effect.published is not None:
        p = effect.published
        value = "" if p.value is None else signed(p.value)
        published = f"{value:>5}" + ("" if p.low is None or p.high is None else f" ({p.low:.1f} to {p.high:.1f})")
    model = "no figure"
    if effect.model is not None:
        m = effect.model
        model = f"{signed(m.mean):>5} [{m.low:.1f} to {m.high:.1f}]"
    word = _WORDS[verdict(effect)] + (", built in" if verdict(effect) == OUTSIDE and effect.built_in else "")
    return f"   {name:9} {published:20} model {model:20} {word}".rstrip()


def _entry(each: Finding) -> dict[str, Any]:
    e = each.evidence
    return {
        "lesson": each.lesson.name,
        "local": each.lesson.local,
        "label": e.label,
        "finding": e.finding or None,
        "group": each.group,
        **{name: _effect_entry(each, name) for name in NAMES},
        "n": e.n,
        "population": e.population,
        "source": e.source,
        "identifier": e.identifier,
        "link": e.link or None,
        "sure": SURE[e.sure],
        "people": each.comparison.people,
        "no_figure_because": each.comparison.reason or None,
        "not_comparable_because": e.not_comparable or None,
        "assumed": e.assumed or None,
        "note": e.note or None,
    }


def _effect_entry(each: Finding, name: str) -> dict[str, Any]:
    effect = each.effects[name]
    return {
        "published": None if effect.published is None else dict(vars(effect.published)),
        "model": None if effect.model is None else dict(vars(effect.model)),
        "inside": effect.inside,
        "built_in": effect.built_in,
        "verdict": verdict(effect),
        "why_missed": each.reasons.get(name),
    }


def _origin(asked: Asked) -> str:
    return f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}, seed {asked.seed}, {asked.people} people"


def _wrap(words: str, first: str = "", later: str = "") -> list[str]:
    return textwrap.wrap(words, WIDTH, initial_indent=first, subsequent_indent=later, break_on_hyphens=False)

"""One finding as a piece of the page: published figure and model on one scale, verdict, reason, source."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from urllib.parse import urlencode

from sim.figures.numbers import signed
from sim.screens.words import NO_FIGURE as NO_FIGURE_BECAUSE
from sim.screens.words import sentence
from sim.teach.evidence import Effect
from sim.teach.parts import SURE
from sim.teach.verdicts import (
    BUILT_IN,
    INSIDE,
    NAMES,
    NO_FIGURE,
    NOT_COMPARABLE,
    OUTSIDE,
    UNTESTED,
    Finding,
    verdict,
)

_VERDICTS = {
    OUTSIDE: "✕ outside",
    INSIDE: "✓ inside",
    BUILT_IN: "= built in",
    NOT_COMPARABLE: "not comparable",
    UNTESTED: "no interval",
    NO_FIGURE: "",
}


@dataclass(frozen=True)
class Scale:
    """The ends of the scale that all findings share [mmHg]."""

    low: float
    high: float

    def at(self, value: float) -> float:
        """The place of a value on the scale [%]."""
        return 100 * (min(max(value, self.low), self.high) - self.low) / (self.high - self.low)


def scale(found: list[Finding]) -> Scale:
    """A scale that holds all figures."""
    values = [0.0]
    for each in found:
        for effect in each.effects.values():
            for figure in (effect.published, effect.model):
                if figure is not None:
                    values += [v for v in (figure.low, figure.high) if v is not None]
            values += [effect.model.mean] if effect.model else []
            values += [effect.published.value] if effect.published and effect.published.value is not None else []
    return Scale(5 * (min(values) // 5), 5 * -(-max(values) // 5))


def finding(each: Finding, on: Scale) -> str:
    """The finding as HTML."""
    evidence = each.evidence
    words = f'<p class="words">{escape(evidence.finding)}</p>' if evidence.finding else ""
    rows = "".join(_row(NAMES[name], effect, on) for name, effect in each.effects.items() if _any(effect))
    reasons = [*dict.fromkeys(each.reasons.values()), *filter(None, [evidence.not_comparable])]
    why = "".join(f'<p class="why">Why: {escape(reason)}</p>' for reason in reasons)
    return (
        f'<article class="finding"><h2>{escape(evidence.label)}</h2>{words}{rows}{why}'
        f'<p class="source">{_source(each)}</p></article>'
    )


def _any(effect: Effect) -> bool:
    return effect.published is not None or effect.model is not None


def _row(name: str, effect: Effect, on: Scale) -> str:
    word = _VERDICTS[verdict(effect)] + (" (built in)" if effect.built_in and verdict(effect) == OUTSIDE else "")
    return (
        f'<div class="effect"><span class="name">{name}</span><span class="published">○ {_published(effect)}</span>'
        f'<span class="model">■ {_model(effect)}</span><span class="verdict">{word}</span>{_bars(effect, on)}</div>'
    )


def _published(effect: Effect) -> str:
    p = effect.published
    if p is None:
        return "not published"
    interval = "" if p.low is None or p.high is None else f" ({_plain(p.low)} to {_plain(p.high)})"
    return ("" if p.value is None else signed(p.value)) + interval


def _model(effect: Effect) -> str:
    m = effect.model
    return "no figure" if m is None else f"{signed(m.mean)} [{_plain(m.low)} to {_plain(m.high)}]"


def _plain(value: float) -> str:
    return signed(value).removeprefix("+")


def _bars(effect: Effect, on: Scale) -> str:
    """The figures on the scale; said in words beside it, so not again to a screen reader."""
    marks = [f'<i class="zero" style="left:{on.at(0):.2f}%"></i>']
    p, m = effect.published, effect.model
    if m is not None:
        marks.append(_span("band", m.low, m.high, on))
    if p is not None and p.low is not None and p.high is not None:
        marks.append(_span("interval", p.low, p.high, on))
    if m is not None:
        marks.append(f'<i class="square" style="left:{on.at(m.mean):.2f}%"></i>')
    if p is not None and p.value is not None:
        marks.append(f'<i class="ring" style="left:{on.at(p.value):.2f}%"></i>')
    return f'<span class="scale" aria-hidden="true">{"".join(marks)}</span>'


def _span(kind: str, low: float, high: float, on: Scale) -> str:
    left, right = on.at(low), on.at(high)
    return f'<i class="{kind}" style="left:{left:.2f}%;width:{right - left:.2f}%"></i>'


def _source(each: Finding) -> str:
    """Lesson, who measured it in whom, where to read it, how sure we are, what was assumed."""
    e = each.evidence
    query = urlencode({"lesson": each.lesson.name, "predicted": "none", "step": "why"})
    lesson = f'Lesson <a href="lesson?{query}" target="_self">{escape(each.lesson.title)}</a>'
    identifier = f'<a href="{escape(e.link)}">{escape(e.identifier)}</a>' if e.link else escape(e.identifier)
    parts = f"{escape(e.source)}, {identifier}", escape(e.studied), SURE[e.sure], *map(escape, each.comparison.bases)
    first = "; ".join(filter(None, parts))
    more = [e.assumed and f"Assumed: {e.assumed}", e.note]
    more.append(each.comparison.reason and NO_FIGURE_BECAUSE + each.comparison.reason)
    return f"{lesson}. {first}. " + " ".join(escape(sentence(words)) for words in more if words)

"""A whole population: who is labelled, wrongly labelled and missed, by bias and by chance."""

from __future__ import annotations

from html import escape

import numpy as np
import streamlit as st

from sim.explain.averaging import Law, mean_error
from sim.explain.population import Effect, Labels, Share, effect, population, populations, published
from sim.explain.schedules import schedules
from sim.explain.variation import usual
from sim.say import mark, say
from sim.screens import url_widgets
from sim.screens.averages import mislabelled_chart, technique_choice
from sim.screens.charts.shown import draw
from sim.screens.words import plain

PEOPLE = 200_000
_ENGINE_PEOPLE = 150
_SEED = 5
THRESHOLDS = {"140-90": (140.0, 90.0), "135-85": (135.0, 85.0), "130-80": (130.0, 80.0)}
NUMBER = "number"
_TOO_HIGH = mark("5 mmHg too high: **{theirs} million** US adults wrongly as published, **{ours:.0f} million** here")
_TOO_LOW = mark("5 mmHg too low: **{theirs} million** US adults missed as published, **{ours:.0f} million** here")


def show() -> None:
    """Levers, the shares, and the published effect of five mmHg."""
    st.markdown(
        say(
            "The same small error in every reading moves many people across a threshold. Random variation does so too, "
            "in both directions, and repeating makes it smaller. Repeating does not remove a bias."
        )
    )
    hands, eyes = st.columns([9, 11], gap="large")
    with hands:
        mistakes = {k: say(v[0]) for k, v in technique_choice.MISTAKES.items() if k != "none"}
        how = url_widgets.choose(
            "error", say("The error in every reading"), {NUMBER: say("a number of mmHg")} | mistakes
        )
        number = float(url_widgets.slider("bias", say("Bias"), -15, 15, 5, unit="mmHg")) if how == NUMBER else 0.0
        named = {n: say(p.label) for n, p in schedules().items()}
        name = url_widgets.choose("by", say("Measured by"), named, start="office-one")
        words = {n: n.replace("-", "/") for n in THRESHOLDS}
        threshold = url_widgets.choose("from", say("Labelled from"), words)
        who = url_widgets.choose("population", say("Population"), {n: say(p.label) for n, p in populations().items()})
    with st.spinner(say("Measuring people with this mistake …")):
        found = _effect(how, number, name, threshold, who)
    with eyes:
        said = mislabelled_chart.sentence(found)
        draw(mislabelled_chart.shares(found), said, "shares")
        st.caption(said)
    st.html(_table(found))
    st.caption(
        say(
            "{people:,} people drawn; ± is the standard error that this number leaves. True pressures: the variation "
            "of one visit is taken out of the measured ones. What first readings add counts as random variation here.",
            people=found.people,
        )
    )
    _known(who)


@st.cache_resource(max_entries=100, show_spinner=False)
def _effect(how: str, number: float, schedule: str, threshold: str, who: str) -> Effect:
    rng = np.random.default_rng(_SEED)
    sbp, dbp = population(who).of_usual_pressures().draw(PEOPLE, rng)
    plan = schedules()[schedule]
    chance = mean_error(plan, usual(plan.place))
    added: tuple[np.ndarray | float, np.ndarray | float] = (number, number)
    if how != NUMBER:
        # Each person has the effect of one of those whom the engine measured.
        effects = technique_choice.effect_over_people(how, _ENGINE_PEOPLE)
        one = rng.integers(len(effects[0]), size=PEOPLE)
        added = effects[0][one], effects[1][one]
    return effect(sbp, dbp, *added, chance, THRESHOLDS[threshold], rng)


def _table(found: Effect) -> str:
    rows = (
        (say("no error at all"), found.neither),
        (say("bias alone"), found.bias),
        (say("random variation alone"), found.chance),
        (say("bias and random variation"), found.both),
    )
    body = "".join(f"<tr><td>{escape(name)}</td>{_cells(labels)}</tr>" for name, labels in rows)
    columns = (say("of 1,000 people"), say("labelled"), say("wrongly"), say("missed"))
    head = "".join(f"<th>{column}</th>" for column in columns)
    return f'<table class="steps"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'


def _cells(labels: Labels) -> str:
    return "".join(f"<td>{_thousand(share)}</td>" for share in (labels.labelled, labels.wrongly, labels.missed))


def _thousand(share: Share) -> str:
    return f"{1000 * share.value:.0f}<small>±{1000 * share.error:.1f}</small>" if share.value else "0"


def _known(who: str) -> None:
    """The published effect of five mmHg, and how far our distributions come to it; where the population comes from."""
    jones = published()["jones-2003"]
    st.header(say("Five mmHg, as published"), anchor=False)
    lines = []
    lines_of = (
        (_TOO_HIGH, 5.0, "wrongly"),
        (_TOO_LOW, -5.0, "missed"),
    )
    for line, shift, share in lines_of:
        ours = getattr(_five(shift), share).value * jones["adults_million"]
        theirs = jones["overestimate_million" if shift > 0 else "underestimate_million"]
        lines.append("- " + say(line, theirs=theirs, ours=ours))
    st.markdown("\n".join(lines))
    st.markdown(
        say(
            "From the distribution of one survey alone, without random variation, and with 140/90. The direction "
            "agrees, and so does the larger number for reading too high. The size falls short by a quarter to a third. "
            "We show the shortfall; we did not adjust for it. The text that quotes the figure does not say which "
            "people and which pressures were counted then, and more people are treated today."
        )
    )
    st.caption(plain(f"{say(jones['source'])}; {say(jones['sure'])}. {say(jones['note'])}"))
    p = population(who)
    told_of = say(
        "Population: {source}; {id}; {sure}. {note}",
        source=say(p.source),
        id=say(p.id),
        sure=say(p.sure),
        note=say(p.note),
    )
    st.caption(plain(told_of))


@st.cache_resource(max_entries=4, show_spinner=False)
def _five(shift: float) -> Labels:
    rng = np.random.default_rng(_SEED)
    sbp, dbp = population("us-2017").draw(PEOPLE, rng)
    return effect(sbp, dbp, shift, shift, Law(0, 0, 0, 0), THRESHOLDS["140-90"], rng).bias

"""All schedules beside each other, and the published figures that they stand on."""

from __future__ import annotations

from html import escape

import streamlit as st

from sim.explain.averaging import Systematic, mean_error
from sim.explain.schedules import schedules
from sim.explain.variation import Variation, figures, usual
from sim.figures.numbers import signed
from sim.say import all_said, mark, say
from sim.screens.words import plain

_HOW = {
    "seen": mark("seen"),
    "quoted": mark("quoted by another source"),
    "from memory": mark("from memory"),
    "derived": mark("worked out"),
}


def show(
    variation: Variation, bias: Systematic, over: str, margin: float, sbp: float, dbp: float, factor: float
) -> None:
    """The table of schedules, then where the figures come from."""
    st.header(say("The schedules side by side"), anchor=False)
    st.html(_table(bias, over, margin, sbp, dbp, factor))
    with st.expander(say("Where these figures come from"), icon=":material/menu_book:"):
        st.markdown(
            say(
                "A reading differs from the resting pressure by period (weeks that are higher or lower), day, session "
                "and the reading itself, each with its own standard deviation. At home these are taken from the "
                "figures below. We assume that morning and evening of one day share half of the day's variance."
            )
        )
        st.markdown(_levels(variation))
        for name, plan in schedules().items():
            doi = f", [DOI {plan.doi}](https://doi.org/{plan.doi})" if plan.doi else ""
            note = f" {say(plan.note)}" if plan.note else ""
            st.caption(f"**{plain(name)}**: {plain(say(plan.source))}{doi}; {plain(say(plan.sure))}.{plain(note)}")
        for figure in figures().values():
            values = f"{figure.sbp:g}" + (f"/{figure.dbp:g}" if figure.dbp is not None else "") + f" {figure.unit}"
            st.caption(
                plain(
                    f"{say(figure.what)}: {values}. {say(figure.source)}, {say(figure.id)}; {say(figure.population)}; "
                    f"{say(_HOW.get(figure.sure, figure.sure))}. {say(figure.note)}"
                )
            )


def _table(bias: Systematic, over: str, margin: float, sbp: float, dbp: float, factor: float) -> str:
    rows = []
    for plan in schedules().values():
        law = mean_error(plan, usual(plan.place, sbp, dbp).scaled(factor), bias, over=over)
        count = say("{counted} of {taken} readings count", counted=plan.counted, taken=plan.taken)
        rows.append(
            f"<tr><td>{escape(say(plan.label))}<small>{count}</small></td>"
            f"<td>{signed(law.sbp)}</td><td>{law.sd_sbp:.1f}</td><td>{100 * law.within(margin):.0f} %</td></tr>"
        )
    return (
        f'<table class="steps"><thead><tr><th>{say("systolic, mmHg")}</th><th>{say("bias")}</th>'
        f"<th>{say('scatter')}</th><th>{say('within {margin:g}', margin=margin)}</th></tr></thead>"
        f"<tbody>{''.join(rows)}</tbody></table>"
    )


def _levels(variation: Variation) -> str:
    s, d = variation.sbp, variation.dbp
    named = all_said(
        {"period": mark("period"), "day": mark("day or visit"), "session": mark("session"), "reading": mark("reading")}
    )
    listed = ", ".join(f"{label} {getattr(s, name):.1f}/{getattr(d, name):.1f}" for name, label in named.items())
    return say("Here, as SD of systolic/diastolic in mmHg: {listed}.", listed=listed)

"""Repeat and average: what a schedule's mean is off, what dropping the first buys, and what stays."""

from __future__ import annotations

import numpy as np
import streamlit as st

from sim.explain.averaging import OVER, Law, Systematic, error_of, mean_error, reading_error, simulate
from sim.explain.choosing import dropped, first_day_worth_dropping, needed
from sim.explain.schedules import Layout, Schedule, schedules
from sim.explain.variation import Variation, usual
from sim.figures.numbers import signed
from sim.say import all_said, mark, say
from sim.screens import url_widgets
from sim.screens.averages import fan_chart, schedules_table, technique_choice
from sim.screens.charts.shown import draw
from sim.screens.numbers_panel import simulated

_PEOPLE = 8
_SHADES = mark("Dark: half of all people; light: 95 %; thin lines: some people's own means.")
OWN = "own"


def show() -> None:
    """Levers, the fan, and the schedules side by side."""
    st.markdown(
        say(
            "One reading differs from the next although nothing is done wrong. Averaging makes this smaller. It does "
            "not remove what is the same in every reading."
        )
    )
    hands, eyes = st.columns([9, 11], gap="large")
    with hands:
        plan = _schedule()
        sbp = float(url_widgets.slider("sbp", say("Systolic resting pressure"), 100, 180, 130, unit="mmHg"))
        mistake = url_widgets.choose(
            "wrong", say("How every reading is taken"), {k: say(v[0]) for k, v in technique_choice.MISTAKES.items()}
        )
        factor = url_widgets.slider("vary", say("Variability (1 = average)"), 0.5, 2.0, 1.0, 0.1, unit="×")
        over = url_widgets.choose("over", say("Compared with"), all_said(OVER))
        margin = float(url_widgets.slider("margin", say("Close enough: within"), 2, 15, 5, unit="mmHg"))
    dbp = round(sbp * 0.62)
    variation = usual(plan.place, sbp, dbp).scaled(factor)
    with st.spinner(say("Measuring with this mistake …")):
        bias = technique_choice.bias(mistake, sbp, dbp)
    found = _fan(plan, variation, bias, over, sbp)
    one, mean = reading_error(variation, bias, over=over), mean_error(plan, variation, bias, over=over)
    with eyes:
        st.html(_panel(one, mean, margin, plan))
        words = fan_chart.sentence(found)
        draw(fan_chart.fan(found), words, "fan")
        st.caption(f"{words} {say(_SHADES)}")
        st.button(say("Draw other people"), icon=":material/refresh:", on_click=_others)
    _answers(plan, variation, bias, over, margin)
    schedules_table.show(variation, bias, over, margin, sbp, dbp, factor)


def _others() -> None:
    st.session_state["fan-seed"] = st.session_state.get("fan-seed", 1) + 1


def _schedule() -> Schedule:
    """A published schedule, or one's own."""
    known = schedules()
    named = {n: say(p.label) for n, p in known.items()} | {OWN: say("Your own schedule (home)")}
    name = url_widgets.choose("schedule", say("Schedule"), named)
    if name != OWN:
        return known[name]
    days = int(url_widgets.slider("days", say("Days"), 1, 30, 7))
    readings = int(url_widgets.slider("readings", say("Readings each morning and evening"), 1, 4, 2))
    drop = int(url_widgets.slider("drop", say("Days left out at the beginning"), 0, 2, 0))
    return Schedule(days, 2, readings, drop_days=min(drop, days - 1))


def _fan(plan: Schedule, variation: Variation, bias: Systematic, over: str, usual_sbp: float) -> fan_chart.Fan:
    layout = plan.layout()
    counting = np.flatnonzero(layout.kept)
    laws = []
    for count in range(1, len(counting) + 1):
        kept = np.zeros(len(layout), bool)
        kept[counting[:count]] = True
        laws.append(error_of(Layout(layout.day, layout.session, layout.number, kept), variation, bias, over=over))
    rng = np.random.default_rng(st.session_state.get("fan-seed", 1))
    drawn = simulate(plan, variation, bias, usual_sbp=usual_sbp, rng=rng, people=_PEOPLE, over=over)
    return fan_chart.Fan(laws, usual_sbp, usual_sbp + bias.sbp, drawn.running())


def _panel(one: Law, mean: Law, margin: float, plan: Schedule) -> str:
    """The numbers that matter, large."""
    cells = [
        (
            "display",
            say("One reading <small>within {margin:g} mmHg</small>", margin=margin),
            f"{100 * one.within(margin):.0f}<i> %</i>",
        ),
        (
            "display",
            say("The mean <small>of {n}, within {margin:g}</small>", n=plan.counted, margin=margin),
            f"{100 * mean.within(margin):.0f}<i> %</i>",
        ),
        (
            "difference",
            say("Bias of the mean <small>repeating does not remove it</small>"),
            f"{signed(mean.sbp)}<i> mmHg</i>",
        ),
    ]
    inside = "".join(
        f'<div class="number {kind}"><p class="tag">{tag}</p><p class="big"><span class="pair">{big}</span></p>'
        f"{simulated()}</div>"
        for kind, tag, big in cells
    )
    return f'<section class="numbers" role="status" aria-live="polite">{inside}</section>'


def _answers(plan: Schedule, variation: Variation, bias: Systematic, over: str, margin: float) -> None:
    """How many readings it takes, and whether leaving out the first helps."""
    left, right = st.columns(2, gap="large")
    with left:
        st.header(say("How many readings?"), anchor=False)
        found = needed(plan, bias, variation=variation, margin=margin, over=over)
        unit = say("days" if plan.place == "home" else "visits")
        if found.days:
            st.markdown(
                say(
                    "**{days} {unit}** of this schedule put the mean within {margin:g} mmHg with 95 % probability.",
                    days=found.days,
                    unit=unit,
                    margin=margin,
                )
            )
        else:
            st.markdown(say("**No number of {unit} in a row is enough**: {why}.", unit=unit, why=found.why))
            if found.repeats and found.repeats > 1:
                st.markdown(
                    say(
                        "Repeating the whole schedule **{times} times, months apart**, would be enough.",
                        times=found.repeats,
                    )
                )
    with right:
        st.header(
            say(
                "Does leaving out the first readings help?"
                if plan.drop_readings
                else "Does leaving out the first day help?"
            ),
            anchor=False,
        )
        if not plan.drop_days and not plan.drop_readings:
            st.markdown(say("This schedule counts every reading, the first ones as well."))
            return
        what = dropped(plan, bias, variation=variation)
        st.markdown(
            say(
                "The bias falls by **{less_bias:.1f} mmHg**. The scatter rises by **{more_sd:.1f} mmHg**, because "
                "fewer readings are left. Together, the typical error {changes} by {change:.1f} mmHg.",
                less_bias=what.less_bias,
                more_sd=what.more_sd,
                changes=say("falls" if what.gain > 0 else "grows"),
                change=abs(what.gain),
            )
        )
        if plan.drop_days and not bias.sbp:
            worth = first_day_worth_dropping(plan, variation)
            st.markdown(
                say(
                    "It helps people whose first day is more than {worth:.1f} mmHg higher than the others; the "
                    "published mean is {published:g}.",
                    worth=worth,
                    published=variation.sbp.first_day,
                )
            )

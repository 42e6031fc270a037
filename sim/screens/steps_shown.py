"""What added what, from resting pressure to display: two charts and a table."""

from __future__ import annotations

from html import escape

import streamlit as st

from sim.explain.breakdown import Breakdown
from sim.figures.colours import KINDS
from sim.figures.numbers import signed, whole
from sim.figures.steps import ROUNDING, Step, difference, sentence, steps
from sim.say import say
from sim.screens.charts import steps as steps_chart
from sim.screens.charts.shown import draw
from sim.screens.words import plain
from sim.screens.words import sentence as as_sentence


def show(mean: Breakdown, key: str, display: str = "", in_full: bool = False) -> None:
    """The steps of a reading or a mean.

    display: what they lead to;  in_full: with the kind of each step, and with a last row that adds them up
    """
    display, found = display or say("display"), steps(mean)
    if not found:
        st.info(
            plain(as_sentence(say("No breakdown: ") + (mean.reason or say("there is no reading")))),
            icon=":material/info:",
        )
        return
    resting = mean.result.truth.resting
    for column, name in zip(st.columns(2, gap="large"), ("sbp", "dbp"), strict=True):
        with column:
            spec = steps_chart.steps(found, name, int(whole(getattr(resting, name)[0])), display)
            draw(spec, sentence(mean), f"{key}-{name}")
    sums = "".join(f"<td>{signed(difference(mean, name))}</td>" for name in ("sbp", "dbp"))
    foot = (
        f"<tfoot><tr><td>{say('{display}, minus resting pressure', display=display)}</td>{sums}</tr></tfoot>"
        if in_full
        else ""
    )
    st.html(
        f'<table class="steps"><thead><tr><th>{say("step, mmHg")}</th><th>{say("systolic")}</th>'
        f"<th>{say('diastolic')}</th></tr></thead>"
        f"<tbody>{''.join(_row(step, in_full) for step in found)}</tbody>{foot}</table>"
    )


def _row(step: Step, with_kind: bool) -> str:
    colour = KINDS[step.kind].words if step.kind in KINDS else "inherit"
    words = f"{say(step.kind)}: {step.plain}" if with_kind and step.kind != ROUNDING else step.plain
    return (
        f'<tr><td><span class="kind" style="color:{colour}" aria-hidden="true">{step.symbol}</span> '
        f"{escape(step.cause)}<small>{escape(words)}</small></td>"
        f"<td>{signed(step.sbp)}</td><td>{signed(step.dbp)}</td></tr>"
    )

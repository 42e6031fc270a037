"""A study: planned, run, read, downloaded."""

from __future__ import annotations

import streamlit as st

from sim.fields import FieldError
from sim.screens.algorithms.study import plan_form, progress
from sim.screens.words import plain
from sim.study.background.plan import MOST_IN_APP, Plan
from sim.study.background.runner import runner
from sim.study.origin import NOT_CLINICAL

# What a field of the plan is called on the page.
_CALLED = {
    "subjects": "Number of people",
    "readings": "Readings of each",
    "seed": "Seed",
    "estimators": "Algorithms",
    "input": "Map over two inputs:",
}


def show() -> None:
    """Ask for a plan, then carry it out."""
    st.markdown(
        "Simulated people whose true pressure is known are measured several times each, and every algorithm reads the "
        "same recordings. Its errors are scored as ISO 81060-2 scores a device."
    )
    st.caption(NOT_CLINICAL)
    plan = plan_form.ask()
    if plan is None:
        st.warning("A number is missing in the plan.", icon=":material/info:")
        return
    if not plan.algorithms:
        st.warning("Choose at least one algorithm.", icon=":material/info:")
        return
    try:
        study = plan.study
        plan.mappable()
    except FieldError as error:
        name = _CALLED.get(error.field, error.field)
        st.error(plain(f"{name} {error.value}: must be {error.allowed}."), icon=":material/block:")
        return
    _in_words(plan)
    if study.subjects > MOST_IN_APP:
        st.info(
            f"The app measures up to {MOST_IN_APP:,} people. The command below runs this study in a terminal, with a "
            f"progress bar. If it is stopped, the same command continues it.",
            icon=":material/terminal:",
        )
        _command(plan, expanded=True)
        _own()
        return
    progress.show(plan, runner())
    _command(plan)
    _own()


def _in_words(plan: Plan) -> None:
    readings = plan.subjects * plan.readings
    by = "one algorithm" if len(plan.algorithms) == 1 else f"{len(plan.algorithms)} algorithms"
    st.markdown(
        f"**This study:** {plan.subjects:,} people, {plan.readings} readings each: {readings:,} recordings, each read "
        f"by {by}."
    )
    if plan.changed:
        st.markdown(f"**Everybody is measured with:** {plain(plan.changed)}.")


def _command(plan: Plan, expanded: bool = False) -> None:
    with st.expander("The same study from the command line", icon=":material/terminal:", expanded=expanded):
        st.markdown(
            "The same readings to the last digit, kept with the report in a folder of their own. For more people, set "
            "the number after `--subjects`."
        )
        st.code(plan.command, language=None, wrap_lines=True)


def _own() -> None:
    with st.expander("Score an algorithm of your own", icon=":material/code:"):
        st.markdown(
            "The app never runs code that is sent to it. On your own machine, a file with a function from "
            "`Recording` to `Reading` is tried on difficult recordings, and scored beside fixed ratios:"
        )
        st.code(OWN, language=None, wrap_lines=True)
        st.caption("`cuffbias score --help` shows how such a function looks and what else can be asked.")


OWN = "cuffbias score my_algorithm.py:estimate --subjects 255 --people standard --out my-study"

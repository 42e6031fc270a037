"""A plan carried out in front of the reader: start, progress, cancel, go on; then what it says."""

from __future__ import annotations

from functools import partial

import streamlit as st

from sim.screens import language
from sim.screens.algorithms.study import results
from sim.screens.words import plain, sentence
from sim.study.background.job import MAPPING, MEASURING, UNWATCHED_S, Job, Stand
from sim.study.background.pace import TRIED, expected, spoken
from sim.study.background.plan import Plan
from sim.study.background.runner import BusyError, Runner

# How often the progress is told [s].
EVERY_S = 0.7


def show(plan: Plan, runner: Runner) -> None:
    """Where the plan stands, and what can be done now."""
    running = runner.running
    if running is not None:
        if running.plan.digest != plan.digest:
            st.info(
                f"Another study is running ({plain(_short(running.plan))}); one runs at a time.",
                icon=":material/hourglass_top:",
            )
        _progress(running)
    job = runner.find(plan)
    if job is None or not job.stand.complete:
        _begin(plan, runner, job, busy=running is not None)
        return
    if running is None and not job.has_map(plan):
        _start(plan, runner, "Draw the map")
    if job.stand.error:
        st.error(plain(sentence(job.stand.error)), icon=":material/error:")
    results.show(plan, job)


def _begin(plan: Plan, runner: Runner, job: Job | None, busy: bool) -> None:
    """The button that starts or goes on, and what ended the study last time."""
    if job is not None and job.stand.running:
        return
    stand = Stand() if job is None else job.stand
    if stand.error:
        st.error(plain(sentence(stand.error)), icon=":material/error:")
    elif stand.done:
        why = f"this page was closed for {UNWATCHED_S / 60:.0f} minutes" if stand.unwatched else "as you asked"
        st.info(
            f"Stopped, {why}: {stand.done:,} of {stand.of:,} recordings are done and kept.",
            icon=":material/pause_circle:",
        )
    if busy:
        return
    if not stand.done:
        pace = expected(plan, runner)
        source = "as in the last such study here" if pace.from_study else f"from a trial of {TRIED} a moment ago"
        st.markdown(
            f"About **{spoken(pace.seconds)}** on this machine: an estimate at {pace.per_s:,.0f} recordings a second, "
            f"{source}."
        )
    _start(plan, runner, "Continue" if stand.done else "Run the study")


def _start(plan: Plan, runner: Runner, label: str) -> None:
    if st.button(label, type="primary", icon=":material/play_arrow:", key="start-study"):
        try:
            runner.start(plan)
        except BusyError:
            st.toast("Another study has just begun: one runs at a time.")
        st.rerun()


def _progress(job: Job) -> None:
    """The bar, which looks again by itself, and the button that stops."""

    @partial(language.fragment, run_every=EVERY_S)
    def bar() -> None:
        job.watch()
        stand = job.stand
        if not stand.running:
            st.rerun()
        st.progress(min(1.0, stand.done / stand.of) if stand.of else 0.0, text=words(stand))
        st.button("Cancel", icon=":material/stop:", key="cancel-study", on_click=job.cancel, disabled=stand.stopping)

    bar()
    st.caption(
        f"It continues while you read other pages. If this page stays closed for {UNWATCHED_S / 60:.0f} minutes, it "
        f"stops. What is done is kept, and this address opens it again."
    )


def words(stand: Stand) -> str:
    """How far a study is."""
    if stand.stopping:
        return f"Stopping after what is being measured now; {stand.done:,} of {stand.of:,} are done and kept"
    left = "" if stand.left_s is None else f", about {spoken(stand.left_s)} left"
    if stand.doing == MEASURING:
        if not stand.per_s:
            return f"Starting: {stand.done:,} of {stand.of:,} recordings"
        return f"{stand.done:,} of {stand.of:,} recordings, {stand.per_s:,.0f} a second{left}"
    if stand.doing == MAPPING:
        return f"Map: {stand.done} of {stand.of} pairs of values{left}"
    return "Scoring the readings"


def _short(plan: Plan) -> str:
    return f"{plan.subjects:,} people, {plan.readings} readings each, {', '.join(plan.algorithms)}, seed {plan.seed}"

"""What a finished study says, one question at a time."""

from __future__ import annotations

from functools import lru_cache
from importlib import resources

import streamlit as st

from sim.estimate.named import flattered
from sim.screens import url_widgets
from sim.screens.algorithms.study import answers, downloads
from sim.screens.words import plain
from sim.study.background.job import Job
from sim.study.background.plan import Plan
from sim.study.readings import TRUTHS

QUESTIONS = {
    "pass": "Would it pass?",
    "far": "How far off?",
    "where": "Where does it fail?",
    "better": "Which is better?",
}
_ANSWERS = {"pass": answers.passing, "far": answers.far, "where": answers.where, "better": answers.better}


def show(plan: Plan, job: Job) -> None:
    """The questions, the chosen one's answer, and the files to take away."""
    with st.spinner("Scoring the readings"):
        found = job.report(plan)
    st.html(f"<style>{_style()}</style>")
    st.header("What the study says", anchor=False)
    question = url_widgets.segments("ask", "What to ask", QUESTIONS)
    st.caption(f"Errors: reading minus {TRUTHS[plan.against]}.")
    if said := flattered(*plan.algorithms):
        st.caption(said)
    _ANSWERS[question](found, plan)
    downloads.show(plan, job, found)
    st.caption(plain(f"{found.origin}."))


@lru_cache(maxsize=1)
def _style() -> str:
    return resources.files("sim.screens.algorithms.study").joinpath("many.css").read_text(encoding="utf-8")

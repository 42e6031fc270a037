"""The score so far, by kind of mistake; only the first answer to a case counts."""

from __future__ import annotations

import streamlit as st

from sim.say import say
from sim.screens import page_links
from sim.screens.progress import learner
from sim.teach.practice_score import tally
from sim.teach.summary import score_line


def show() -> None:
    """The score; nothing before the first answer."""
    progress = learner.progress()
    answers = len(progress.cases) + len(progress.own)
    if not answers:
        return
    with st.expander(say("Your score so far: {answers} answered", answers=answers), icon=":material/leaderboard:"):
        st.markdown(say("Only the first answer to a case counts. The score is kept in this browser."))
        st.markdown("\n".join(f"- {score_line(count)}" for count in tally(progress.cases, progress.own)))
        page_links.link(page_links.page("progress"), label=say("My progress"), icon=":material/arrow_forward:")

"""The score so far in this session, by kind of mistake; only the first answer to a case counts."""

from __future__ import annotations

import streamlit as st

from sim.screens.practice import session_answers
from sim.teach.practice_score import Count, tally


def show() -> None:
    """The score; nothing before the first answer."""
    first = session_answers.first_answers()
    if not first:
        return
    score = tally(first)
    with st.expander(f"Your score so far: {len(first)} answered", icon=":material/leaderboard:"):
        st.markdown("Only the first answer to a case counts. The score ends when you close this page.")
        st.markdown("\n".join(f"- {_line(count)}" for count in score))


def _line(count: Count) -> str:
    more = f"; named {count.falsely} × where it was not there" if count.falsely else ""
    return f"{count.what}: {count.right} of {count.asked}{more}"

"""Summary and checklist: shown as they are printed, and as files."""

from __future__ import annotations

import streamlit as st

from sim.say import say
from sim.screens import cache
from sim.screens.progress import browser_store, learner
from sim.teach.document import Document, body, to_html, to_text
from sim.teach.summary import CHECKLIST_FILE, SUMMARY_FILE
from sim.teach.summary import checklist as make_checklist
from sim.teach.summary import summary as make_summary


def summary() -> None:
    """What is handed to the teacher."""
    with st.container(key="no-print-asked"):
        name = st.text_input(say("Your name, if it should stand there"), max_chars=80, key="progress/name")
        st.caption(say("The name is kept nowhere: it is gone when you leave this page."))
    lessons, _ = cache.lessons()
    _show(make_summary(learner.progress(), lessons, name, browser_store.today()), SUMMARY_FILE)


def checklist() -> None:
    """What to heed at the bedside."""
    _show(make_checklist(learner.progress(), browser_store.today()), CHECKLIST_FILE)


def _show(document: Document, file: str) -> None:
    with st.container(key="no-print-files", horizontal=True):
        for words, made, end, kind in (
            (say("Page to print"), to_html(document), "html", "text/html"),
            (say("Plain text"), to_text(document), "txt", "text/plain"),
        ):
            st.download_button(
                words,
                made,
                f"{file}.{end}",
                kind,
                on_click="ignore",
                icon=":material/download:",
                key=f"progress/{file}/{end}",
            )
    with st.container(key="sheet"):
        st.html(body(document, 2))
    st.caption(say("Printed from here, only the sheet comes out, without the buttons."))

"""Take the progress to another browser, bring it from there, delete it here."""

from __future__ import annotations

import streamlit as st

from sim.say import mark, say
from sim.screens.progress import browser_store, learner
from sim.screens.words import plain
from sim.teach.progress import Progress, merge
from sim.teach.progress_text import FILE_NAME, LONGEST, NoProgressError, brought, to_code, to_text

_CODE, _FILE, _SAID, _SURE = "progress/code", "progress/file", "progress/said", "progress/sure"


def show() -> None:
    """The three of them."""
    st.header(say("Take my progress with me"), anchor=False)
    if learner.progress() == Progress():
        st.markdown(say("There is nothing to take along yet."))
    else:
        _take()
    st.header(say("Bring my progress"), anchor=False)
    st.markdown(say("It is added to what is here. Where both have a first answer, the worse one counts."))
    st.text_area(say("The code"), key=_CODE, height=100)
    st.file_uploader(say("Or the file"), type=["json", "txt"], key=_FILE)
    st.button(say("Bring it in"), on_click=_bring, type="primary", key="progress/bring")
    _said()
    st.header(say("Delete my progress here"), anchor=False)
    st.markdown(say("All answers, scores and tests in this browser are deleted. Nobody can bring them back."))
    sure = st.checkbox(say("Yes, delete all of it"), key=_SURE)
    st.button(say("Delete my progress here"), on_click=browser_store.delete, disabled=not sure, key="progress/delete")


def _take() -> None:
    st.markdown(say("Copy this code, or save the file. In the other browser, open this page and bring it in."))
    st.code(to_code(learner.progress()), language=None, wrap_lines=True)
    st.download_button(
        say("Save as a file"),
        to_text(learner.progress()),
        FILE_NAME,
        "application/json",
        on_click="ignore",
        icon=":material/download:",
        key="progress/save",
    )


def _bring() -> None:
    file, code = st.session_state.get(_FILE), str(st.session_state.get(_CODE) or "")
    given = file.getvalue()[: LONGEST + 1].decode("utf-8-sig", errors="replace") if file is not None else code
    if not given.strip():
        st.session_state[_SAID] = (False, mark("Copy a code into the field, or choose a file."))
        return
    try:
        learner.keep(merge(learner.progress(), brought(given)))
    except NoProgressError as error:
        st.session_state[_SAID] = (False, str(error))
        return
    st.session_state[_CODE] = ""
    st.session_state[_SAID] = (True, mark("Your progress is here now."))


def _said() -> None:
    """What came of bringing it, once."""
    said = st.session_state.pop(_SAID, None)
    if said is not None:
        (st.success if said[0] else st.warning)(plain(say(said[1])))

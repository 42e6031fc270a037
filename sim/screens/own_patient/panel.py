"""The panel: numbers and cuffs to set, and what becomes of them here."""

from __future__ import annotations

import streamlit as st

from sim.cuff.bladder import bladders, named
from sim.say import mark, say
from sim.screens.own_patient import in_link
from sim.screens.words import plain
from sim.teach import own_patient
from sim.teach.own_patient import CUFFS, NUMBERS, PREFIX, OwnPatient

TITLE = mark("My patient, my cuffs")
_ROUND = "own/round"
_LABELS = {
    "sbp": mark("Systolic at rest, mmHg"),
    "dbp": mark("Diastolic at rest, mmHg"),
    "heart_rate": mark("Heart rate, beats/min"),
    "arm_circumference_cm": mark("Arm, cm round"),
    "age_years": mark("Age, years"),
}
_TOLD = mark(
    "Set the numbers of a person you teach with, and tick the cuffs that your clinic has. What you leave empty stays "
    "as the lesson or the case has it. The link of this page keeps it all: do not set what would tell who a real "
    "person is."
)
_AGE = mark(
    "Age says only how stiff the artery is: its width of compliance grows by a third from 25 to 75 years (assumed)."
)
_SIZES = mark(
    "Small adult, adult, large adult and thigh: Pickering TG, et al. Hypertension 2005;45:142, DOI "
    "10.1161/01.HYP.0000150859.47929.8e. The others have names and arms of a trial (Ishigami J, et al. JAMA Intern "
    "Med 2023;183:1061, DOI 10.1001/jamainternmed.2023.3264); their width and length are assumed."
)


def show() -> None:
    """The panel, closed at first; what could not be taken from the link stands above it."""
    for problem in in_link.problems():
        st.warning(plain(problem), icon=":material/link_off:")
    patient = in_link.current()
    label = f"{say(TITLE)}: {plain(patient.words)}" if patient.set else say(TITLE)
    with st.expander(label, icon=":material/person_edit:", key="own-patient"):
        st.markdown(say(_TOLD))
        _form(patient)
        st.button(
            say("Take all of it out"), on_click=_clear, disabled=not patient.set, key="own/clear", type="tertiary"
        )


def _form(patient: OwnPatient) -> None:
    turn = st.session_state.setdefault(_ROUND, 0)
    with st.form(f"own/form/{turn}", border=False):
        with st.container(horizontal=True, key="own-numbers"):
            for name in NUMBERS:
                _number(name, getattr(patient, name), _key(name, turn))
        st.caption(say(_AGE))
        st.markdown(say("**Cuffs that the clinic has**, by name and the size of the bladder that is printed on them"))
        halves = st.columns(2)
        for column, sizes in zip(halves, (bladders(), [b for b in named() if b not in bladders()]), strict=True):
            with column, st.container(gap=None):
                for size in sizes:
                    st.checkbox(size.printed, size.name in patient.cuffs, key=_key(f"{CUFFS}/{size.name}", turn))
        st.caption(say(_SIZES))
        st.form_submit_button(
            say("Use this patient and these cuffs"), on_click=_take, type="primary", key=f"own/use/{turn}"
        )


def _number(name: str, value: float | None, key: str) -> None:
    """A field for a number; empty where it is not set."""
    limit = NUMBERS[name]
    ends = float(limit.low), float(limit.high)
    step = limit.step if limit.step < 1 else 1.0
    st.number_input(say(_LABELS[name]), *ends, value, step, format="%g", key=key, width=170)


def _take() -> None:
    """Take over what stands in the form, by the same way as out of a link."""
    turn = st.session_state[_ROUND]
    numbers = {name: st.session_state.get(_key(name, turn)) for name in NUMBERS}
    given = {PREFIX + name: f"{value:g}" for name, value in numbers.items() if value is not None}
    cuffs = [size.name for size in named() if st.session_state.get(_key(f"{CUFFS}/{size.name}", turn))]
    if cuffs:
        given[PREFIX + CUFFS] = ",".join(cuffs)
    in_link.take(*own_patient.read(given))
    st.session_state[_ROUND] = turn + 1


def _clear() -> None:
    in_link.take(OwnPatient())
    st.session_state[_ROUND] = st.session_state.get(_ROUND, 0) + 1


def _key(name: str, turn: int) -> str:
    return f"own/{turn}/{name}"

"""Readings of a log that cannot be as written: shown one by one, and the person who keeps the log decides."""

from __future__ import annotations

import streamlit as st

from sim.figures.numbers import pair
from sim.logs.aside import DECISIONS, MEND, Aside, set_aside
from sim.logs.log import Log
from sim.logs.told import place, short
from sim.say import mark, say
from sim.screens.words import plain, sentence

_PREFIX = "decide/"
_MOST = 30
_OPEN = ""
_ONE = mark(
    "**{n} reading is set aside.** It cannot be right as written. Look at the paper or in the device's memory, then "
    "say here what is right. Until then no mean is shown that would depend on it. Nothing is deleted."
)
_SEVERAL = mark(
    "**{n} readings are set aside.** They cannot be right as written. Look at the paper or in the device's memory, "
    "then say here what is right. Until then no mean is shown that would depend on them. Nothing is deleted."
)
_TOO_MANY = mark("Only the first {most} are asked about. If there are so many, change the file and open it again.")


def ask(log: Log) -> dict[str, str]:
    """What was decided so far, by the reading's place in its file."""
    asides = set_aside(log)
    if not asides:
        return {}
    told = say(_ONE if len(asides) == 1 else _SEVERAL, n=len(asides))
    st.warning(f"{told} {say(MEND)}", icon=":material/rule:")
    if len(asides) > _MOST:
        st.caption(say(_TOO_MANY, most=_MOST))
    return {a.entry.where: decision for a in asides[:_MOST] if (decision := _one(a))}


def forget() -> None:
    """Drop what was decided, with the log."""
    for key in [key for key in st.session_state if str(key).startswith(_PREFIX)]:
        del st.session_state[key]


def _one(aside: Aside) -> str:
    """One reading and what is decided about it; "" while nothing is."""
    e = aside.entry
    when = short(e.day, year=True) + (f" {e.when:%H:%M}" if e.timed else f" {say(e.part)}".rstrip())
    labels = {_OPEN: say("not decided yet"), **{name: say(DECISIONS[name]) for name in aside.choices}}
    named = f"{place(e.where)}, {when}: {pair(e.sbp, e.dbp)}"
    st.markdown(f"**{plain(named)}** {plain(sentence(aside.reason))}")
    # A name is heard as it stands, with all signs that Markdown would need.
    return st.radio(
        named,
        list(labels),
        format_func=labels.__getitem__,
        label_visibility="collapsed",
        # By what stands there, too: what was decided about line 7 of one file says nothing of line 7 of another.
        key=f"{_PREFIX}{e.where}/{e.when}/{e.sbp}/{e.dbp}/{aside.choices}",
    )

"""Readings of a log that cannot be as written: shown one by one, and the person who keeps the log decides."""

from __future__ import annotations

import streamlit as st

from sim.figures.numbers import pair
from sim.logs.aside import DECISIONS, MEND, Aside, set_aside
from sim.logs.log import Log
from sim.logs.reasons import many
from sim.screens.words import plain, sentence

_PREFIX = "decide/"
_MOST = 30
_OPEN = ""


def ask(log: Log) -> dict[str, str]:
    """What was decided so far, by the reading's place in its file."""
    asides = set_aside(log)
    if not asides:
        return {}
    one = len(asides) == 1
    st.warning(
        f"**{many(len(asides), 'reading')} {'is' if one else 'are'} set aside.** {'It' if one else 'They'} cannot be "
        f"right as written. Look at the paper or in the device's memory, then say here what is right. Until then no "
        f"mean is shown that would depend on {'it' if one else 'them'}. Nothing is deleted. {MEND}",
        icon=":material/rule:",
    )
    if len(asides) > _MOST:
        st.caption(f"Only the first {_MOST} are asked about. If there are so many, change the file and open it again.")
    return {a.entry.where: decision for a in asides[:_MOST] if (decision := _one(a))}


def forget() -> None:
    """Drop what was decided, with the log."""
    for key in [key for key in st.session_state if str(key).startswith(_PREFIX)]:
        del st.session_state[key]


def _one(aside: Aside) -> str:
    """One reading and what is decided about it; "" while nothing is."""
    e = aside.entry
    when = f"{e.day:%d %b %Y}" + (f" {e.when:%H:%M}" if e.timed else f" {e.part}".rstrip())
    labels = {_OPEN: "not decided yet", **{name: DECISIONS[name] for name in aside.choices}}
    named = f"{e.where}, {when}: {pair(e.sbp, e.dbp)}"
    st.markdown(f"**{plain(named)}** {plain(sentence(aside.reason))}")
    # A name is heard as it stands, with all signs that Markdown would need.
    return st.radio(
        named,
        list(labels),
        format_func=labels.__getitem__,
        label_visibility="collapsed",
        # By what stands there, too: what was decided about line 7 of one file says nothing of line 7 of another.
        key=f"{_PREFIX}{e.where}/{e.when}/{e.sbp}/{e.dbp}/{aside.reason}",
    )

"""What to do at 180/120, for a log: above everything else, for every pressure in it that can be one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

import streamlit as st

from sim.explain.impossible import words
from sim.logs.aside import Aside
from sim.logs.log import Log
from sim.logs.told import place, short
from sim.logs.urgent import Urgent, urgent
from sim.say import say
from sim.screens.words import plain

_MOST = 5


def show(log: Log, decisions: Mapping[str, str]) -> bool:
    """The advice, where a pressure of the log calls for it; whether it does."""
    high = urgent(log, decisions)
    if high:
        listed = "; ".join(_said(one) for one in high[:_MOST])
        more = say(" and {n} more", n=len(high) - _MOST) if len(high) > _MOST else ""
        _say(say("Readings of 180/120 or more: {listed}.", listed=listed + more))
    return bool(high)


def if_so(asides: Sequence[Aside], said_before: bool) -> None:
    """The advice for readings set aside that would be high if they were really so, or the other way round."""
    if not asides:
        return
    listed = ", ".join(place(aside.entry.where) for aside in asides[:_MOST])
    if said_before:
        st.markdown(
            plain(
                say(
                    "If {listed} is right, or if only its two numbers were swapped, it is one more reading of 180/120 "
                    "or more.",
                    listed=listed,
                )
            )
        )
    else:
        words = say(
            "If {listed} is right, or if only its two numbers were swapped, it is 180/120 or more.", listed=listed
        )
        _say(words)


def _say(what: str) -> None:
    people = words()["people"]
    st.warning(
        f"**{plain(what)}** {say('How does the person feel now?')} {say(people['unwell'])} {say(people['high'])}",
        icon=":material/emergency:",
    )


def _said(one: Urgent) -> str:
    if not one.when:
        return f"{place(one.where)}, {one.pair}"
    day = date.fromisoformat(one.when[:10])
    return f"{short(day, year=True)}{one.when[10:]} {one.pair}"

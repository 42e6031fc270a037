"""Evidence and limits: how many published figures the model meets, the misses first, and what it leaves out."""

from __future__ import annotations

from functools import lru_cache
from importlib import resources

import streamlit as st

from sim.screens import cache, heading
from sim.screens.cautions.texts import LISTENER, ONE_READING, SHORT
from sim.screens.evidence.finding import Scale, finding, scale
from sim.screens.words import plain
from sim.teach.evidence import BAND, PEOPLE
from sim.teach.lesson import Lesson
from sim.teach.limits import left_out
from sim.teach.misses import other_misses
from sim.teach.sources import incomplete
from sim.teach.verdicts import GROUPS, OUTSIDE, Counts, Finding, count, grouped
from sim.teach.verdicts import finding as with_reasons


def show() -> None:
    """The page."""
    st.html(f"<style>{_style()}</style>")
    heading.title("Evidence and limits", "Evidence and limits")
    st.markdown(
        "Every published effect that the lessons name, beside the model's own figure. "
        "The misses come first; [values without a complete source](#incomplete) and "
        "[what the model leaves out](#left-out) stand at the end."
    )
    found = _findings()
    if found:
        st.html(_summary(count(found)))
        on = scale(found)
        st.html(_legend(on))
        _groups(found, on)
    _other_misses()
    _without_source()
    _limits()
    st.markdown(f"**{ONE_READING}** {SHORT}")
    st.caption(LISTENER)


def _findings() -> list[Finding]:
    """All findings of the built-in lessons, whose answers are kept (`sim.teach.kept_answers`)."""
    entries = [(lesson, number) for lesson in _built_in() for number in range(len(lesson.evidence))]
    return [with_reasons(lesson, cache.comparison(lesson, number)) for lesson, number in entries]


def _built_in() -> list[Lesson]:
    """The lessons that this page answers for; those of one's own show their evidence themselves."""
    return [lesson for lesson in cache.lessons()[0] if not lesson.local]


def _summary(counts: Counts) -> str:
    return (
        f'<section class="counts"><p class="large"><b>{counts.inside}</b> of <b>{counts.tested}</b></p>'
        f"<p>{counts.sentence}</p></section>"
    )


def _legend(on: Scale) -> str:
    low, high = BAND
    return (
        '<p class="effects-legend"><span class="published">○ published</span>, with its interval as a line; '
        f'<span class="model">■ this model</span>: mean of {PEOPLE} people, with a band from the {low}th to the '
        f"{high}th percentile. All with the mistake minus without it, on one scale from "
        f"{on.low:.0f} to {on.high:.0f} mmHg; the upright line is zero.</p>"
    )


def _groups(found: list[Finding], on: Scale) -> None:
    for group, some in grouped(found).items():
        with st.expander(f"{GROUPS[group]} ({len(some)} findings)", expanded=group == OUTSIDE):
            st.html("".join(finding(each, on) for each in some))


def _other_misses() -> None:
    """Published figures that are no effect on a reading, and that the model misses."""
    listed = other_misses()
    with st.expander(f"Misses of other kinds: figures that are no effect on a reading ({len(listed)})", expanded=True):
        st.markdown(
            "\n".join(
                f"- **{plain(m.what)}**: {plain(m.figures)}. {plain(m.reason)} {plain(m.source)}." for m in listed
            )
        )


def _without_source() -> None:
    """Sources that no number leads to, and values from memory, each with the reason and where it is used."""
    listed = incomplete(_built_in())
    st.header("Values without a complete source", anchor="incomplete")
    with st.container(key="incomplete-list"):
        st.markdown(
            "\n".join(
                f"- {plain(each.source)}: {plain(each.reason)} ({plain(', '.join(each.where))})" for each in listed
            )
        )


def _limits() -> None:
    st.header("What the model leaves out", anchor="left-out")
    with st.container(key="left-out-list"):
        for part in left_out():
            st.markdown(f"**{plain(part.title)}**\n\n" + "\n".join(f"- {plain(item)}" for item in part.items))


@lru_cache(maxsize=1)
def _style() -> str:
    return resources.files("sim.screens.evidence").joinpath("evidence.css").read_text(encoding="utf-8")

"""The buttons at the foot of the wall. Each has its key, and the keys press these buttons."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import streamlit as st

from sim.say import say
from sim.screens import language, page_links, web_address
from sim.screens.lesson import changed_lessons
from sim.screens.present import keys, queue
from sim.screens.present.room import Room
from sim.screens.words import plain


def press(
    name: str,
    label: str,
    does: Callable[..., Any],
    arguments: tuple = (),
    words: str = "",
    off: bool = False,
    main: bool = False,
) -> None:
    """A button that a key presses, too: name of a `keys.Key`.

    words: what it does, where the label is too short to say it;  off: it can do nothing now
    """
    with st.container(key=keys.button_key(name), width="content"):
        st.button(
            label,
            on_click=does,
            args=arguments,
            key=f"room/press/{name}",
            help=words or None,
            disabled=off,
            type="primary" if main else "secondary",
        )


def show(room: Room) -> None:
    """Steps, hold, blank; keys and lessons behind a click; the way out."""
    ahead = not room.can_reveal
    with st.container(horizontal=True, vertical_alignment="center", key="room-bar"):
        press("back", say("← Back"), room.go_back, off=not room.can_go_back)
        press("reveal", say("Reveal"), room.reveal, off=not room.can_reveal, main=not ahead)
        press("next", say("Next →"), room.go_on, off=not room.can_go_on, main=ahead)
        press("hold", say("Hold" if room.held is None else "Let go"), room.hold, off=not room.can_hold)
        press("blank", say("Blank"), _blank, (room,))
        keys_shown()
        _others(room)
        leave("lesson", {"lesson": room.lesson.name})


def keys_shown() -> None:
    """Which key does what."""
    with st.container(key=keys.button_key("keys"), width="content"), st.popover(say("Keys")):
        st.markdown(keys.table())


def leave(page: str, query: dict[str, str]) -> None:
    """The way back from the wall."""
    with st.container(key="leave", width="content"):
        page_links.link(page_links.page(page), label=say("Close"), query_params=query)


def blank(room: Any) -> None:
    """Nothing on the wall; a click anywhere, or the key again, brings it back."""
    with st.container(key="blanked"):
        press("blank", say("Show the screen again"), _show_again, (room,))


def _blank(room: Room) -> None:
    room.blank = True


def _show_again(room: Room) -> None:
    room.blank = False


def _others(room: Room) -> None:
    """Another queue of lessons, as one link."""
    known = {lesson.name: lesson for lesson in changed_lessons.with_kept()}
    with st.container(key="others", width="content"), st.popover(say("Lessons")):
        here = [lesson.name for lesson in room.lessons]
        names = st.multiselect(
            say("Lessons of a class, in this order"),
            list(known),
            here,
            format_func=lambda name: known[name].title,
            key=f"room/others/{','.join(here)}",
        )
        if names:
            asked = queue.query([known[name] for name in names])
            page_links.link(
                page_links.page("present"),
                label=say("Show these lessons"),
                icon=":material/slideshow:",
                query_params=asked,
            )
            web_address.copyable(web_address.whole("present", asked), "link-queue")
        for problem in queue.wanted(language.parameters(), list(known.values()))[1]:
            st.caption(plain(problem))

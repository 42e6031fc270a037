"""Watch a reading happen: the page. Its address holds the reading, as that of the lesson does."""

from __future__ import annotations

import streamlit as st

from sim.explain.same_arm import READINGS
from sim.fields import FieldError
from sim.say import mark, say
from sim.screens import cache, heading, language, lesson_faults, numbers_panel, page_links
from sim.screens.cautions.texts import LISTENER, ONE_READING, SHORT
from sim.screens.lesson import address, share_links
from sim.screens.own_patient import in_link, panel
from sim.screens.watch import player
from sim.screens.watch.sides import sides
from sim.screens.watch.watched_reading import Watched, caption, watch
from sim.screens.words import plain, sentence
from sim.teach.lesson import Lesson


def show() -> None:
    """The reading that the address names."""
    heading.title(say("Watch a reading happen"), say("Watch a reading"))
    lesson = lesson_faults.wanted()
    if lesson is None:
        lesson_faults.missing()
    else:
        _reading(lesson)


def _reading(lesson: Lesson) -> None:
    panel.show()
    in_link.keep()
    for note in in_link.fitted(lesson).notes:
        st.warning(plain(note), icon=":material/straighten:")
    lesson = in_link.for_lesson(lesson)
    state, problems = address.read(language.parameters(), lesson)
    for problem in problems:
        st.warning(plain(problem), icon=":material/link_off:")
    with st.container(horizontal=True, vertical_alignment="center", key="watching"):
        st.markdown(say("From the lesson **{title}**", title=plain(lesson.title)))
        page_links.link(
            page_links.page("lesson"),
            label=say("Back to the lesson"),
            icon=":material/arrow_back:",
            query_params=in_link.linked(address.write(state, lesson)),
        )
        share_links.to_a_room(in_link.linked(address.write(state, lesson) | {"view": "watch"}))
    try:
        played = watched(lesson, state)
        crowds = [cache.readings(each.side.inputs, state.seed, state.ideal, state.reading) for each in played]
    except FieldError as error:
        st.warning(plain(sentence(str(error))), icon=":material/tune:")
        return
    if not state.ideal:
        st.caption(
            say(
                "Reading number {number} of the {count} of this arm that the lesson shows.",
                number=state.reading,
                count=READINGS,
            )
        )
    player.show(played)
    # Behind a click: the player keeps the display back until the cuff has emptied.
    with st.expander(say("In words, with the numbers"), icon=":material/notes:"):
        st.markdown(plain(caption(played)))
    urgent = next(filter(None, (numbers_panel.urgent(each) for each in crowds)), "")
    if urgent:
        st.html(urgent)
    st.markdown(f"**{say(ONE_READING)}** {say(SHORT)}")
    with st.expander(say("What the pictures show"), icon=":material/menu_book:"):
        st.markdown(say(_EXPLAINED))
        st.caption(say(LISTENER))


def watched(lesson: Lesson, state: address.State) -> tuple[Watched, ...]:
    """The sides of the player; both readings begin with the same draws."""
    inputs = lesson.inputs(state.values)
    return tuple(watch(side, state.seed, state.ideal, state.reading) for side in sides(lesson, inputs))


_EXPLAINED = mark("""
- **Pressure in the cuff**: the dark line, with the pressure in the artery under it in blue (●). Where the pressure that
  reaches the artery differs from that in the cuff by more than a little, it has a dotted line.
- **The artery**, seen across, under the middle of the cuff. Its area is to scale: it opens where the pressure in it is
  above the pressure on it.
- **Pulses in it**: the same recording, each pulse over the line from its foot to the next. The cuff feels the artery
  open and close. These pulses are all that the algorithm has.
- **Height of each beat** (○; × where it was set aside) over the pressure in the cuff. When the recording is over, the
  algorithm draws the smooth curve and takes its pressures from it (◆). The work is shown slowly; a device needs no
  time for it.
- The two readings begin with the same breath and the same beats, so what differs is what was done differently. A
  longer recording holds more beats.
""")

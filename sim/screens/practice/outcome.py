"""After the answer: what was found, missed and named falsely; truth beside display; what added what, and why."""

from __future__ import annotations

import streamlit as st

from sim.say import say
from sim.screens import cache, steps_shown
from sim.screens.practice import cards, session_answers
from sim.screens.progress import lesson_links
from sim.setup import group_of
from sim.teach.lesson import Lesson
from sim.teach.own_patient import NOBODY, OwnPatient
from sim.teach.practice import Case, possible
from sim.teach.practice_answers import (
    DIRECTIONS,
    NEXT,
    NOTHING,
    Answer,
    Verdict,
    band_words,
    following,
    reply,
    verdict,
)


def show(found: Case, answer: Answer, own: OwnPatient = NOBODY) -> None:
    """What was right, and why."""
    st.header(say("What was true"), anchor=False)
    readings = session_answers.readings(found.number, own)
    cards.beside_the_truth(readings)
    judged = verdict(found, answer)
    _mistakes(judged, bool(found.possible))
    _judge(say("Direction"), judged.direction, say(DIRECTIONS[answer.direction]), say(DIRECTIONS[found.direction]))
    _judge(say("Size"), judged.band, band_words(answer.band), band_words(found.band))
    right = f"{say(NEXT[following(found)])}." if not judged.following else ""
    chose = say("**Next.** You chose: *{choice}*.", choice=say(NEXT[answer.following]))
    _say(judged.following, f"{chose} {reply(found, answer.following)}", right)
    st.header(say("What added what"), anchor=False)
    steps_shown.show(readings.mean(), "practice-steps")
    lessons, _ = cache.lessons()
    for name in (*judged.found, *judged.missed, *judged.false):
        _why(name, name not in judged.false, lessons)
    cards.again(found.number, say("Answer this case again"), say("The first answer"))


def _mistakes(judged: Verdict, any_made: bool) -> None:
    if not any_made and judged.mistakes:
        _say(True, say("**Nothing was wrong**, and you saw that."))
        return
    parts = [
        f"**{words}:** {'; '.join(say(name) for name in names)}."
        for words, names in (
            (say("Found"), judged.found),
            (say("Missed"), judged.missed),
            (say("Named, but not made"), judged.false),
        )
        if names
    ]
    if not any_made:
        parts.append(f"{say(NOTHING)}.")
    _say(judged.mistakes, "  \n".join(parts))


def _judge(what: str, right: bool, said: str, true: str) -> None:
    _say(right, f"**{what}.** " + say("You said: *{answer}*.", answer=said), f"{true}.")


def _say(right: bool, words: str, instead: str = "") -> None:
    if right:
        st.success(words, icon=":material/check_circle:")
    else:
        st.warning(
            words + ("  \n" + say("Right: *{choice}*", choice=instead) if instead else ""),
            icon=":material/psychology_alt:",
        )


def _why(name: str, made: bool, lessons: tuple[Lesson, ...]) -> None:
    """Why a mistake does what it does, and the lesson on it."""
    not_made = "" if made else say(" (not made here)")
    mistake = next(m for m in possible() if m.name == name)
    with st.container(key=f"finding-practice-{mistake.field}-{'made' if made else 'named'}"):
        st.markdown(f"**{say(name)}{not_made}.** {say(mistake.why)}")
        lesson = lesson_on(mistake.field, lessons)
        if lesson is not None:
            lesson_links.show(lesson, label=say("Lesson: {title}", title=lesson.title))


def lesson_on(field: str, lessons: tuple[Lesson, ...]) -> Lesson | None:
    """The first lesson that has a lever for this field."""
    lever = f"{group_of(field)}.{field}"
    return next((lesson for lesson in lessons if lever in [each.field for each in lesson.levers]), None)

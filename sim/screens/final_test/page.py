"""The final test: what it is, its cases one after the other, and the result once all are answered."""

from __future__ import annotations

import streamlit as st

from sim.fields import FieldError
from sim.say import mark, say
from sim.screens import heading, language, web_address
from sim.screens.cautions.texts import ONE_READING
from sim.screens.final_test import outcome
from sim.screens.practice import find_mistakes
from sim.screens.progress import learner
from sim.screens.words import plain, sentence
from sim.teach.final_test import CASES, FIRST_SEED, LAST_SEED, NO_CERTIFICATE, finished, numbers
from sim.teach.practice import case
from sim.teach.practice_answers import verdict
from sim.teach.summary import NEVER_CORRECT

_SEED, _AT = "seed", "final_test/at"
_TOLD = mark(
    "{cases} cases in a row, none with a hint. You say what was wrong, what it did to the number, and what you do "
    "next. Nothing is said about your answers until the last one is given. Then you see the result, by kind of mistake."
)
_SAME = mark(
    "The number of the test is in the address of this page: whoever opens this address gets the same cases. An answer "
    "cannot be changed. You can stop and go on later in this browser."
)
_UNTIL = mark("You can give your answer when all four are answered. The result comes after the last case.")


def show() -> None:
    """The test that the address names."""
    try:
        seed = _current()
    except FieldError as error:
        st.warning(plain(sentence(str(error))), icon=":material/link_off:")
        seed = _go(FIRST_SEED)
    answers = learner.progress().tests.get(seed, {})
    left = [number for number in numbers(seed) if number not in answers]
    place = CASES - len(left) + 1
    begun = len(left) < CASES or bool(st.session_state.get(_begun(seed)))
    named, at = say("Final test {seed}", seed=seed), begun and bool(left)
    of_all = say("case {place} of {cases}", place=place, cases=CASES)
    st.html(f'<p class="eyebrow">{named}{f" · {of_all}" if at else ""}</p>')
    heading.title(say("Final test"), f"{named}: {say('case {place}', place=place)}" if at else named)
    if finished(seed, answers):
        outcome.show(seed)
        st.button(say("Take another test"), on_click=_next, icon=":material/arrow_forward:", key="final_test/next")
    elif begun:
        _case(seed, left[0])
    else:
        _before(seed)
    st.caption(f"{say(NO_CERTIFICATE)} {say(ONE_READING)} {say(NEVER_CORRECT)}")


def _before(seed: int) -> None:
    st.markdown(say(_TOLD, cases=CASES))
    st.markdown(say(_SAME))
    st.button(say("Begin the test"), on_click=_begin, args=(seed,), type="primary", key="final_test/begin")
    with st.popover(say("Number of the test"), icon=":material/tag:", type="tertiary"):
        key = "final_test/number"
        st.session_state[key] = seed
        label = say("A number is a test, the same for everybody")
        st.number_input(label, FIRST_SEED, LAST_SEED, step=1, key=key, on_change=_to_number)
        web_address.copyable(web_address.whole("final_test", {_SEED: str(seed)}), "link-test")


def _case(seed: int, number: int) -> None:
    """One case: the same as in practice, and nothing said about the answer."""
    found = case(number)
    find_mistakes.seen(found)
    answer = find_mistakes.questions(found, f"final_test/{seed}/{number}", say(_UNTIL))
    if answer is not None:
        learner.test_answered(seed, number, verdict(found, answer))
        st.rerun()


def _current() -> int:
    """The number in the address, else the test that was left, else the first not finished. Raises FieldError."""
    given = st.query_params.get(_SEED)
    if given is None:
        return _go(st.session_state.get(_AT, _unfinished()))
    if not (given.isascii() and given.isdecimal() and FIRST_SEED <= int(given[:9]) <= LAST_SEED):
        raise FieldError(_SEED, given[:40], f"a whole number from {FIRST_SEED} to {LAST_SEED}")
    return _go(int(given[:9]))


def _unfinished() -> int:
    tests = learner.progress().tests
    return next((s for s in range(FIRST_SEED, LAST_SEED + 1) if not finished(s, tests.get(s, {}))), FIRST_SEED)


def _go(seed: int) -> int:
    st.session_state[_AT] = seed
    if language.parameters() != {_SEED: str(seed)}:
        language.put({_SEED: str(seed)})
    return seed


def _begin(seed: int) -> None:
    st.session_state[_begun(seed)] = True


def _begun(seed: int) -> str:
    return f"final_test/{seed}/begun"


def _next() -> None:
    _go(_unfinished())


def _to_number() -> None:
    number = st.session_state["final_test/number"]
    if number is not None:
        _go(int(number))

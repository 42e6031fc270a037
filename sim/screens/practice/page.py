"""The page to practise on: which case, and what it shows."""

from __future__ import annotations

import streamlit as st

from sim.fields import FieldError
from sim.say import mark, say
from sim.screens import heading
from sim.screens.cautions.texts import ONE_READING
from sim.screens.own_patient import in_link, panel
from sim.screens.practice import case_number, find_mistakes, own_setup, score
from sim.screens.practice.case_number import OWN_LEVEL
from sim.screens.words import plain, sentence
from sim.teach.practice import NoCaseError, cupboard

_NEVER_CORRECT = mark(
    "Never correct a real reading with a number from here: take it again properly, and write down what was shown."
)
_NONE_FITS = mark("None of your cuffs fits an arm of {arm} cm. The case starts from the guideline's size for it.")
_TITLES = {False: mark("Find what went wrong"), True: mark("Set it up yourself")}
_TOLD = {
    False: mark(
        "Twenty readings were taken of this person in this way. Look at how, say what was wrong and what it did to the "
        "number, and only then see the truth. It may be that nothing was wrong."
    ),
    True: mark(
        "A person has come to be measured. Choose the cuff, the arm's support and the moment. Then twenty readings are "
        "taken in your way, and you see the truth beside them."
    ),
}


def show() -> None:
    """The case that the address names."""
    try:
        number = case_number.current()
    except FieldError as error:
        st.warning(plain(sentence(str(error))), icon=":material/link_off:")
        number = case_number.start_again()
    sets_up = number // 1000 == OWN_LEVEL
    st.html(f'<p class="eyebrow">{say("Practice")} · {say("case {number}", number=number)}</p>')
    heading.title(say(_TITLES[sets_up]), say("Practice: case {number}", number=number))
    case_number.choose(number)
    panel.show()
    _own()
    st.markdown(say(_TOLD[sets_up]))
    try:
        (own_setup if sets_up else find_mistakes).show(number)
    except NoCaseError as error:
        st.warning(
            plain(sentence(say("{problem}: take another number, or other cuffs", problem=error))),
            icon=":material/person_edit:",
        )
    case_number.onward(number)
    score.show()
    st.caption(f"{say(ONE_READING)} {say(_NEVER_CORRECT)}")


def _own() -> None:
    """What the own patient and the clinic's cuffs make of the cases."""
    own = in_link.current()
    if not own.set:
        return
    told = [say("The case follows from its number and from your patient: this link shows the same case to everybody.")]
    arm = own.arm_circumference_cm
    if own.cuffs and arm is not None and not own.cuff_for(arm):
        told.append(say(_NONE_FITS, arm=f"{arm:g}"))
    elif own.cuffs:
        told.append(say("The cuffs in it are yours: {sizes}.", sizes="; ".join(each.printed for each in cupboard(own))))
        if arm is None:
            told.append(say("Only people whom one of them fits come."))
    told.append(say("Its answers are not counted in your progress."))
    st.info(plain(" ".join(told)), icon=":material/person_edit:")

"""What stands on the cards of a case: that it is simulated, the numbers, how the readings differ."""

from __future__ import annotations

import streamlit as st

from sim.cuff.bladder import bladders
from sim.explain.breakdown import Breakdown
from sim.explain.same_arm import SameArm
from sim.figures.colours import DISPLAY
from sim.results import Pressures, Result
from sim.say import all_said, mark, say
from sim.screens import numbers_panel, pictures, readings_strip
from sim.screens.cautions.texts import EMERGENCY_NONE, EMERGENCY_SYMPTOMS, EMERGENCY_TITLE
from sim.screens.charts import recording
from sim.screens.charts.shown import draw
from sim.screens.own_patient import in_link
from sim.screens.practice import session_answers
from sim.screens.words import plain
from sim.setup import Setup
from sim.teach.practice import cupboard
from sim.teach.safety import SEVERE_DBP_MMHG, SEVERE_SBP_MMHG

_DRAWN = mark(
    "The dashed line is the level of the heart. The round drawing: across the arm, with the bladder round it."
)
_SIZES_SOURCE = (
    "Pickering TG, et al. Hypertension 2005;45:142, "
    "[DOI 10.1161/01.HYP.0000150859.47929.8e](https://doi.org/10.1161/01.HYP.0000150859.47929.8e)"
)
_TRIAL = (
    "; small, regular, large, extra large: arms of a trial, Ishigami J, et al. JAMA Intern Med 2023;183:1061, "
    "[DOI 10.1001/jamainternmed.2023.3264](https://doi.org/10.1001/jamainternmed.2023.3264), bladders assumed"
)


def simulated() -> None:
    """That no real person is behind this card."""
    st.html(numbers_panel.simulated())


def display(found: Breakdown) -> None:
    """The mean display of the readings, and how they differ; no truth."""
    mean = found.mean().result
    st.html(numbers_panel.section(_display(mean)))
    # The one whose recording stands below is filled.
    readings_strip.show(SameArm(found, int(found.result.reading.ok.argmax()) + 1), truth=False, key="practice-strip")
    urgent(mean.reading.pressures)


def beside_the_truth(found: Breakdown) -> None:
    """Truth, mean display and their difference."""
    mean = found.mean()
    result = mean.result
    truth = numbers_panel.truth_card(result.truth.resting)
    st.html(numbers_panel.section(truth + _display(result) + numbers_panel.difference_card(mean)))
    urgent(result.reading.pressures, result.truth.resting, result.truth.at_measurement)


def first_recording(found: Breakdown) -> None:
    """The recording of the first reading that has numbers; no truth."""
    ok = found.result.reading.ok
    one = found.result.take([int(ok.argmax())])
    words = recording.sentence(one, truth=False)
    draw(recording.pressure(one, truth=False), words, "practice-recording")
    st.caption(f"{say('The recording of the filled one.')} {words}")


def sizes() -> None:
    """The published sizes and the arms they are for: on the ward they are printed on the cuffs."""
    own = in_link.current()
    shown = dict.fromkeys((*bladders(), *cupboard(own)))
    with st.expander(say("Which bladder is for which arm"), icon=":material/straighten:"):
        arms = [
            f"- {b.printed}: " + say("arms of {low} to {high} cm", low=f"{b.arm_from_cm:g}", high=f"{b.arm_to_cm:g}")
            for b in shown
        ]
        st.markdown("\n".join(arms))
        st.caption(_SIZES_SOURCE + _TRIAL if own.cuffs else _SIZES_SOURCE)


def urgent(*shown: Pressures) -> None:
    """The advice for a very high real reading, where a number that is shown is one."""
    if any(p.sbp[0] >= SEVERE_SBP_MMHG - 0.5 or p.dbp[0] >= SEVERE_DBP_MMHG - 0.5 for p in shown):
        st.warning(
            f"**{say(EMERGENCY_TITLE)}**  \n{say(EMERGENCY_SYMPTOMS)} {say(EMERGENCY_NONE)}",
            icon=":material/emergency:",
        )


def ask(question: str, options: dict[str, str], key: str) -> str | None:
    """A question with its options; None before one is chosen."""
    return st.radio(question, list(options), format_func=all_said(options).__getitem__, index=None, key=key)


def drawing(setup: Setup, table_lower_cm: float = 0.0) -> str:
    """How the person is measured, without what would tell what is wrong. Returns the sentence with what is drawn."""
    drawn, words = pictures.unmarked(setup, table_lower_cm)
    st.html(drawn)
    st.caption(say(_DRAWN))
    return words


def in_words(words: str) -> None:
    """The drawing for whoever does not see it."""
    with st.expander(say("The drawing in words"), icon=":material/description:"):
        st.markdown(plain(words))


def again(number: int, label: str, first: str) -> None:
    """The way back to before the answer; `first`: what of it counts."""
    st.button(
        label,
        on_click=session_answers.again,
        args=(number,),
        type="tertiary",
        icon=":material/restart_alt:",
        key=f"practice/{number}/again",
        help=say("{first} counts; later ones are for learning.", first=first),
    )


def _display(mean: Result) -> str:
    content = numbers_panel.big(mean.reading.pressures)
    return numbers_panel.number(
        "display", DISPLAY.symbol, say("Display"), f"<small>{say('mean of the readings')}</small>", content
    )

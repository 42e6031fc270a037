"""What stands on the cards of a case: that it is simulated, the numbers, how the readings differ."""

from __future__ import annotations

from html import escape

import streamlit as st

from sim.cuff.bladder import bladders
from sim.explain.breakdown import Breakdown
from sim.explain.same_arm import SameArm
from sim.figures import steps as contributions
from sim.figures.colours import DISPLAY, KINDS, TRUTH
from sim.figures.numbers import signed, whole
from sim.results import Pressures, Result
from sim.screens import numbers_panel, readings_strip
from sim.screens.cautions.texts import EMERGENCY_NONE, EMERGENCY_SYMPTOMS, EMERGENCY_TITLE
from sim.screens.charts import recording
from sim.screens.charts import steps as steps_chart
from sim.screens.charts.shown import draw
from sim.screens.words import plain, sentence
from sim.teach.safety import SEVERE_DBP_MMHG, SEVERE_SBP_MMHG
from sim.texts import real_minus

DRAWN = "The dashed line is the level of the heart. The round drawing is across the arm, with the bladder round it."
_SIZES_SOURCE = (
    "Pickering TG, et al. Hypertension 2005;45:142, "
    "[DOI 10.1161/01.HYP.0000150859.47929.8e](https://doi.org/10.1161/01.HYP.0000150859.47929.8e)"
)


def simulated() -> None:
    """That no real person is behind this card."""
    st.html(numbers_panel.simulated())


def display(found: Breakdown) -> None:
    """The mean display of the readings, and how they differ; no truth."""
    mean = found.mean().result
    st.html(_numbers(_display(mean)))
    # The one whose recording stands below is filled.
    readings_strip.show(SameArm(found, int(found.result.reading.ok.argmax()) + 1), truth=False, key="practice-strip")
    urgent(mean.reading.pressures)


def beside_the_truth(found: Breakdown) -> None:
    """Truth, mean display and their difference."""
    mean = found.mean()
    away = [real_minus(f"{contributions.difference(mean, n):+d}").replace("+0", "0") for n in ("sbp", "dbp")]
    truth = _number("truth", f"{TRUTH.symbol} Resting pressure", "the truth", _big(mean.result.truth.resting))
    apart = _number("difference", "Difference", "display minus resting pressure", _pair(*away))
    st.html(_numbers(truth + _display(mean.result) + apart))
    result = mean.result
    urgent(result.reading.pressures, result.truth.resting, result.truth.at_measurement)


def first_recording(found: Breakdown) -> None:
    """The recording of the first reading that has numbers; no truth."""
    ok = found.result.reading.ok
    one = found.result.take([int(ok.argmax())])
    words = recording.sentence(one, truth=False)
    draw(recording.pressure(one, truth=False), words, "practice-recording")
    st.caption(f"The recording of the filled one. {words}")


def sizes() -> None:
    """The published sizes and the arms they are for: on the ward they are printed on the cuffs."""
    with st.expander("Which bladder is for which arm", icon=":material/straighten:"):
        st.markdown(
            "\n".join(
                f"- {b.width_cm:g} × {b.length_cm:g} cm: arms of {b.arm_from_cm:g} to {b.arm_to_cm:g} cm"
                for b in bladders()
            )
        )
        st.caption(_SIZES_SOURCE)


def steps(found: Breakdown) -> None:
    """What added what, from resting pressure to the mean display."""
    mean = found.mean()
    listed = contributions.steps(mean)
    if not listed:
        st.info(plain(sentence("No breakdown: " + (found.reason or "there is no reading"))), icon=":material/info:")
        return
    words = contributions.sentence(mean)
    for column, name in zip(st.columns(2, gap="large"), ("sbp", "dbp"), strict=True):
        with column:
            resting = int(whole(getattr(mean.result.truth.resting, name)[0]))
            draw(steps_chart.steps(listed, name, resting), words, f"practice-steps-{name}")
    rows = "".join(
        f'<tr><td><span style="color:{KINDS[s.kind].colour if s.kind in KINDS else "inherit"}" aria-hidden="true">'
        f"{s.symbol}</span> {escape(s.cause)}<small>{escape(s.plain)}</small></td>"
        f"<td>{signed(s.sbp)}</td><td>{signed(s.dbp)}</td></tr>"
        for s in listed
    )
    st.html(
        '<table class="steps"><thead><tr><th>step, mmHg</th><th>systolic</th><th>diastolic</th></tr></thead>'
        f"<tbody>{rows}</tbody></table>"
    )


def urgent(*shown: Pressures) -> None:
    """The advice for a very high real reading, where a number that is shown is one."""
    if any(p.sbp[0] >= SEVERE_SBP_MMHG - 0.5 or p.dbp[0] >= SEVERE_DBP_MMHG - 0.5 for p in shown):
        st.warning(f"**{EMERGENCY_TITLE}**  \n{EMERGENCY_SYMPTOMS} {EMERGENCY_NONE}", icon=":material/emergency:")


def _display(mean: Result) -> str:
    return _number("display", f"{DISPLAY.symbol} Display", "mean of the readings", _big(mean.reading.pressures))


def _numbers(content: str) -> str:
    return f'<section class="numbers" role="status" aria-live="polite">{content}</section>'


def _number(kind: str, name: str, what: str, content: str) -> str:
    return f'<div class="number {kind}"><p class="tag">{name} <small>{what}</small></p>{content}</div>'


def _big(pressures: Pressures) -> str:
    return _pair(whole(pressures.sbp[0]), whole(pressures.dbp[0])) + numbers_panel.simulated()


def _pair(sbp: str, dbp: str) -> str:
    return f'<p class="big"><span class="pair">{sbp}<i>/</i>{dbp}</span> <small>mmHg</small></p>'

"""One recording: where it comes from, its beats and envelope, and the algorithms side by side."""

from __future__ import annotations

import streamlit as st

from sim.fields import FieldError
from sim.files.errors import FileError
from sim.results import Oscillogram
from sim.screens import language, url_widgets
from sim.screens.algorithms.one_recording import chosen_algorithms, downloads, own_algorithm, simulated, table, upload
from sim.screens.algorithms.one_recording.chosen_algorithms import Read, Step
from sim.screens.algorithms.one_recording.source import Source
from sim.screens.charts import several, trace
from sim.screens.charts.shown import draw
from sim.screens.words import plain

FROM = {"arm": "A simulated arm", "file": "A file of my own"}
STRETCHES = {"all": "All", "sbp": "Systolic", "map": "Peak", "dbp": "Diastolic"}
_NAMES = {"sbp": "systolic", "map": "mean", "dbp": "diastolic"}
_STRETCH_S = 8.0
TRUTH_UNKNOWN = (
    "For a recording from a file the true pressure is not known, so no error can be given. Algorithms that agree may "
    "all be wrong. The recording is shown as it is; nothing in it is corrected."
)


def show() -> None:
    """Ask for a recording, then show it."""
    st.markdown(
        "One recording, read by several algorithms. From a simulated arm, where the true pressure is known, or from a "
        "file of your own. The page is for prototypes of algorithms. It is no medical device: do not act on any result."
    )
    _bench()


@language.fragment
def _bench() -> None:
    """What follows a lever; alone it runs again when one moves."""
    where = url_widgets.segments("from", "Where the recording comes from", FROM)
    hands, eyes = st.columns([9, 11], gap="large")
    source, trouble = None, ""
    with hands:
        try:
            source = simulated.ask() if where == "arm" else upload.ask()
        except FieldError as error:
            trouble = plain(simulated.words(error))
        except FileError as error:
            trouble = plain(str(error).rstrip(".") + ".")
        names = chosen_algorithms.ask_names()
        step = _ask_step()
    reads = chosen_algorithms.read(source, names, step) if source is not None else []
    with eyes:
        if trouble:
            st.warning(trouble, icon=":material/tune:" if where == "arm" else ":material/description:")
        elif source is None:
            st.info("Choose a file, or use the example.", icon=":material/description:")
        else:
            _algorithms(source, reads, step)
    if source is not None:
        _recording(source, reads, step)
        downloads.show(source, reads, step)
        own_algorithm.show(source, step)


def _ask_step() -> Step:
    with st.expander("Change how the oscillogram is built", icon=":material/swap_horiz:"):
        st.markdown(
            "The oscillogram comes between the recording and the result: how high each beat is, at which cuff "
            "pressure, and the curve through the beats. Here you can build it in another way."
        )
        step = chosen_algorithms.ask_step()
        st.caption(
            "The built-in ratios, corrections and weights were worked out for the usual step. With another step the "
            "readings change. This shows how much depends on the step. It does not show that the step is worse."
        )
    return step


def _algorithms(source: Source, reads: list[Read], step: Step) -> None:
    """The oscillogram with what each algorithm took from it, and the table."""
    if not reads:
        st.info("Tick an algorithm to let it read this recording.", icon=":material/check_box:")
        return
    st.caption(plain(f"Shown: {source.words}."))
    readings = {read.label: read.reading for read in reads}
    truth = source.truth.at_cuff if source.truth is not None else None
    words = several.sentence(readings, truth)
    spec = several.several(readings, truth)
    if spec is not None:
        draw(spec, words, "several")
    st.caption(words)
    st.html(table.html(reads, source.truth))
    st.caption(table.legend(reads, source.truth))
    if step.words():
        st.info(f"The step is changed: {step.words()}. The built-in ratios were calibrated for the usual one.",
                icon=":material/swap_horiz:")  # fmt: skip
    if source.truth is None:
        st.info(TRUTH_UNKNOWN, icon=":material/help:")


def _recording(source: Source, reads: list[Read], step: Step) -> None:
    """Cuff pressure over time, and the pulses in it."""
    st.header("The recording", anchor=False)
    found = _beats(source, reads, step)
    truth = source.truth.at_cuff if source.truth is not None else None
    words = trace.sentence(source.recording, found, truth)
    draw(trace.pressure(source.recording, found, truth), words, "trace")
    st.caption(words)
    stretch = url_widgets.segments("stretch", "Which stretch of it", STRETCHES)
    between, where = _between(source, reads, found, stretch)
    words = trace.pulses_sentence(source.recording, found) + where
    draw(trace.pulses(source.recording, found, between), words, "pulses")
    st.caption(words)


def _between(
    source: Source, reads: list[Read], found: Oscillogram | None, stretch: str
) -> tuple[tuple[float, float] | None, str]:
    """The seconds to show and words about them; all where no algorithm tells where else to look."""
    read = next((read for read in reads if read.reading.ok[0]), None)
    if stretch == "all" or found is None:
        return None, ""
    if read is None:
        return None, " All of it is shown, since no algorithm has a reading."
    pressure = float(getattr(read.reading, stretch)[0])
    between = trace.around(source.recording, found, pressure, _STRETCH_S)
    return between, f" Shown: around {pressure:.0f} mmHg, where {read.label} has its {_NAMES[stretch]} pressure."


def _beats(source: Source, reads: list[Read], step: Step) -> Oscillogram | None:
    """The beats to mark: those of the first algorithm, or of the usual one where none was asked."""
    asked = reads or chosen_algorithms.read(source, [chosen_algorithms.FIRST], step)
    return asked[0].reading.oscillogram

"""The plan of a study, asked for in widgets that the address holds."""

from __future__ import annotations

import streamlit as st

from sim.cuff.bladder import FITTING, bladders
from sim.estimate.named import LABELS, NAMED
from sim.fields import Choice, Limit
from sim.screens import url_widgets
from sim.setup import FIELDS
from sim.study.axes import axis
from sim.study.background.plan import MAPPED, Plan
from sim.study.seeds import LARGEST_SEED

OTHER = "other"
SIZES = {
    "85": "85 people, as in a validation study",
    "255": "255 people",
    "1000": "1,000 people",
    "5000": "5,000 people",
    "20000": "20,000 people",
    OTHER: "another number",
}
WHO = {
    "standard": "distributed as ISO 81060-2 asks",
    "population": "adults as in a survey",
    "large-arms": "adults with large arms, 37 to 54 cm",
    "irregular": "adults with atrial fibrillation",
    "early-beats": "adults with early heartbeats",
    "low-pulse-pressure": "adults with a pulse pressure under 35 mmHg",
    "moving": "adults who move their arm or tremble",
}
# Short names of the truths in sim.study.readings.TRUTHS.
TRUTH = {
    "at_measurement": "during the reading, at heart level",
    "resting": "resting pressure",
    "at_cuff": "during the reading, under the cuff",
    "listener": "two listeners, before and after",
}
HELP = {
    "at_measurement": "The pressure in the artery at heart level during the reading. The errors then contain "
    "what the algorithm and the arm's height do.",
    "resting": "What the reading is meant to find. The errors then contain what the algorithm and every mistake do.",
    "at_cuff": "The pressure in the artery under the cuff. An algorithm cannot know more than that.",
    "listener": "What two simulated observers with a stethoscope read before and after each reading. They differ from "
    "the artery by −5.7/+5.5 mmHg on average, and from person to person with an SD of 10/8 mmHg (published figures of "
    "cuffs). The errors contain the listeners' own.",
}
# What can be changed for everybody.
CHANGED = ("cuff_below_heart_cm", "slack_cm", "sleeve_mm", "movement_mmhg", "talking", "deflation_mmhg_per_s", "course")
# The address's limit is that of whole numbers in browsers.
_SEEDS = min(LARGEST_SEED, 2**53 - 1)
_MOST = 10**9


def ask() -> Plan | None:
    """The plan, or None where a number is missing; whether it can be carried out is for `Plan.study` to say."""
    with st.container(border=True, key="study-plan"):
        left, right = st.columns(2, gap="large")
        with left:
            algorithms = url_widgets.some("by", "**Which algorithms?**", _algorithms(), ["fixed-ratio", "model-fit"])
            against = url_widgets.choose("truth", "Errors against which truth?", TRUTH)
            st.caption(HELP[against])
        with right:
            subjects = _subjects()
            people = url_widgets.choose("who", "Which people?", WHO)
            with st.container(horizontal=True):
                readings = url_widgets.number("each", "Readings of each", 1, 20, 3, width=150)
                seed = url_widgets.number("study-seed", "Seed", 0, _SEEDS, 1, width=150, help=_SEED_HELP)
        changes = _changes()
        mapped = _mapped()
    if subjects is None or readings is None or seed is None:
        return None
    return Plan(subjects, readings, people, tuple(algorithms), seed, changes, against, mapped)


_SEED_HELP = (
    "Random seed: the same seed gives the same people and readings. Seeds 20000 to 29999 are reserved for calibration "
    "and are refused: the people on whom an algorithm was calibrated must not score it."
)


def _algorithms() -> dict[str, str]:
    return {name: f"{name}: {LABELS[name]}" for name in NAMED}


def _subjects() -> int | None:
    size = url_widgets.choose("people", "How many people?", SIZES, "255")
    if size != OTHER:
        return int(size)
    return url_widgets.number("exactly", "Number of people", 1, _MOST, 500, width=200)


def _changes() -> dict[str, float | str]:
    """What is not as it should be, the same for everybody."""
    found: dict[str, float | str] = {}
    with st.expander("Change how everybody is measured", icon=":material/tune:"):
        st.caption("Anything you do not change is correct, and each arm gets the bladder that fits it.")
        columns = st.columns(2, gap="large")
        for place, name in enumerate(CHANGED):
            with columns[place % 2]:
                value = _one(name)
            if value != FIELDS[name].default:
                found[name] = value
        with columns[len(CHANGED) % 2]:
            sizes = {b.name: f"{b.name}, {b.width_cm:g} x {b.length_cm:g} cm, on every arm" for b in bladders()}
            bladder = url_widgets.choose("all-bladder", "Bladder", {FITTING: "the one that fits each arm", **sizes})
        if bladder != FITTING:
            found["bladder"] = bladder
    return found


def _one(name: str) -> float | str:
    limit = FIELDS[name]
    if not isinstance(limit, Limit):
        assert isinstance(limit, Choice)
        return url_widgets.choose(f"all-{name}", limit.label, limit.options, limit.default)
    unit = limit.unit if limit.unit in ("cm", "mm", "mmHg") else ""
    label = limit.label if unit or not limit.unit else f"{limit.label}, {limit.unit}"
    return float(url_widgets.slider(f"all-{name}", label, limit.low, limit.high, limit.default, limit.step, unit))


def _mapped() -> tuple[str, ...]:
    """The two inputs of a map, or none."""
    with st.expander("Map over two inputs: where does it fail?", icon=":material/grid_on:"):
        st.caption(
            "60 people, measured once at each pair of values, by every algorithm chosen. Errors are against the truth "
            "chosen above. The map is drawn after the study."
        )
        labels = {name: _axis_label(name) for name in MAPPED}
        left, right = st.columns(2, gap="large")
        with left:
            first = url_widgets.choose("map-x", "Across", {"none": "no map", **labels})
        with right:
            second = url_widgets.choose("map-y", "Upward", {"none": "no map", **labels})
        if first == second != "none":
            st.warning("Choose two different inputs for the map.", icon=":material/info:")
        elif (first == "none") != (second == "none"):
            st.caption("Choose a second input, and the map will be drawn.")
        elif first != "none":
            return first, second
    return ()


def _axis_label(name: str) -> str:
    found, span = axis(name), MAPPED[name]
    if span is None:
        return f"{found.label}: {', '.join(map(str, found.values))}"
    return f"{found.label}: {span[0]:g} to {span[1]:g} {found.unit}".rstrip()

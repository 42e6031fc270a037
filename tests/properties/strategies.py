"""People, techniques and instruments for property tests, drawn inside the limits that the fields declare."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from sim import Instrument, Subject, Technique


def within(low: float, high: float, digits: int = 1) -> st.SearchStrategy[float]:
    """Numbers that a person might type."""
    scale = 10**digits
    return st.integers(round(low * scale), round(high * scale)).map(lambda k: k / scale)


@st.composite
def people(draw: st.DrawFn) -> Subject:
    """Adults who can be read with a fitting cuff."""
    sbp = draw(within(95, 175, 0))
    pulse_pressure = draw(within(30, 60, 0))
    fields: dict[str, Any] = {
        "sbp": sbp,
        "dbp": max(sbp - pulse_pressure, 45),
        "heart_rate": draw(within(50, 100, 0)),
        "arm_circumference_cm": draw(within(24, 40)),
        "artery_a_mmhg": draw(within(3, 6)),
        "artery_b_mmhg": draw(within(14, 28)),
        "artery_radius_ratio": draw(within(0.25, 0.5, 2)),
        "form_factor": draw(within(0.35, 0.44, 3)),
    }
    return Subject(**fields)


MISTAKES: dict[str, st.SearchStrategy[Any]] = {
    "cuff_below_heart_cm": within(-15, 30),
    "slack_cm": within(0.5, 5),
    "cuff_turned_deg": within(-180, 180, 0),
    "sleeve_mm": within(0.5, 5),
    "talking": st.sampled_from(["conversation", "reading"]),
    "legs": st.sampled_from(["ankles", "knees"]),
    "back": st.just("unsupported"),
    "caffeine": st.just("yes"),
    "rest_min": within(0, 4, 0),
}


@st.composite
def techniques(draw: st.DrawFn, most: int = 3) -> Technique:
    """Up to so many mistakes at once."""
    names = draw(st.lists(st.sampled_from(sorted(MISTAKES)), max_size=most, unique=True))
    return Technique(**{name: draw(MISTAKES[name]) for name in names})


@st.composite
def instruments(draw: st.DrawFn) -> Instrument:
    """Cuffs of the table, or a size in cm."""
    return Instrument(
        bladder=draw(st.sampled_from(["small adult", "adult", "large adult", "13.5x26"])),
        deflation_mmhg_per_s=draw(within(2, 4)),
    )


seeds = st.integers(0, 2**32 - 1)

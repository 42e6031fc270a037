"""The moments of a reading worth stopping at, each with a sentence that says what is to be seen."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.estimate.fixed_ratio import DIASTOLIC_RATIO, SYSTOLIC_RATIO
from sim.explain.playback import Playback
from sim.figures.colours import DISPLAY, TRUTH
from sim.figures.numbers import pair
from sim.results import Result
from sim.say import mark, say
from sim.screens.words import sentence

# After the recording the algorithm's work is shown for so long; of this time the curve takes the first part, the
# points on it appear at the second, the number at the third [s, and shares].
AFTER_S = 6.0
CURVE_DONE, POINTS_AT, NUMBER_AT = 0.5, 0.6, 0.8


@dataclass(frozen=True)
class Moment:
    """A moment: time from the beginning of the recording [s], and what is to be seen from then on."""

    time_s: float
    words: str


def moments(played: Playback, estimator: str = "fixed-ratio") -> tuple[Moment, ...]:
    """The moments of one reading in their order, the number (or why there is none) the last.

    estimator: name of the one that the reading is from
    """
    result = played.result
    shown, seconds = result.recording.recorded(), result.recording.seconds()
    rising = bool(shown[-1] > shown[0])
    found = [Moment(0.0, _begin(shown[0], rising)), *_crossings(played, shown, rising), *_tallest(result)]
    found = sorted((m for m in found if m.time_s < seconds), key=lambda m: m.time_s)
    return (*found, Moment(seconds, _work(result)), Moment(seconds + NUMBER_AT * AFTER_S, _number(result, estimator)))


def _begin(start_mmhg: float, rising: bool) -> str:
    if rising:
        return say(
            "The cuff begins to fill, at {mmhg} mmHg: the artery is open, and its pulses hardly show.",
            mmhg=f"{start_mmhg:.0f}",
        )
    return say(
        "The cuff has been pumped up to {mmhg} mmHg, above the pressure in the artery. The artery is shut; only small "
        "pulses at the cuff's upper edge come through.",
        mmhg=f"{start_mmhg:.0f}",
    )


_SEEN = {
    ("systolic", "below"): mark("each pulse now opens the artery for a moment, and the pulses in the cuff grow"),
    ("diastolic", "below"): mark("the artery stays open between the pulses too, and the pulses in the cuff fade"),
    ("diastolic", "above"): mark(
        "the artery is squeezed shut between the pulses, and the pulses in the cuff are large"
    ),
    ("systolic", "above"): mark("the artery stays shut, and the pulses in the cuff fade"),
}


def _crossings(played: Playback, shown: np.ndarray, rising: bool) -> list[Moment]:
    """Where the pressure on the artery passes the true systolic and diastolic pressure in it."""
    truth, hz = played.result.truth.at_cuff, played.result.recording.sampling_hz
    made = []
    for name, level in (("systolic", float(truth.sbp[0])), ("diastolic", float(truth.dbp[0]))):
        passed = played.outside_mmhg >= level if rising else played.outside_mmhg <= level
        if not passed.any() or passed[0]:
            continue
        at, way = int(np.argmax(passed)), "above" if rising else "below"
        words = say(
            "With {cuff} mmHg in the cuff, the pressure on the artery comes {way} the true {name} pressure in it, "
            "{level} mmHg ({symbol}): {seen}.",
            cuff=f"{shown[at]:.0f}",
            way=say("above") if rising else say("below"),
            name=say("systolic") if name == "systolic" else say("diastolic"),
            level=f"{level:.0f}",
            symbol=TRUTH.symbol,
            seen=say(_SEEN[name, way]),
        )
        made.append(Moment(float(at / hz), words))
    return made


def _tallest(result: Result) -> list[Moment]:
    """Where the tallest of the beats ends that the algorithm keeps."""
    oscillogram = result.reading.oscillogram
    if oscillogram is None or not oscillogram.kept[0].any():
        return []
    height = np.where(oscillogram.kept[0], oscillogram.amplitude_mmhg[0], -np.inf)
    at = int(np.argmax(height))
    tallest = say(
        "The tallest pulse, {height} mmHg high, with {cuff} mmHg in the cuff.",
        height=f"{height[at]:.1f}",
        cuff=f"{oscillogram.cuff_mmhg[0, at]:.0f}",
    )
    return [Moment(float(oscillogram.end_s[0, at]), tallest)]


def _work(result: Result) -> str:
    """What the algorithm does when the recording is over."""
    oscillogram = result.reading.oscillogram
    if oscillogram is None or not oscillogram.kept[0].any():
        return say("The recording is over. The algorithm has found no beats that it could use.")
    found = np.isfinite(oscillogram.amplitude_mmhg[0])
    rejected = int((found & ~oscillogram.kept[0]).sum())
    return say(
        "The recording is over. The algorithm has {beats} beats (○) and sets {aside} of them aside as disturbed (×). "
        "It draws a smooth curve through them."
        if rejected
        else "The recording is over. The algorithm has {beats} beats (○). It draws a smooth curve through them.",
        beats=int(found.sum()),
        aside=rejected,
    )


_TAKES = {
    "fixed-ratio": mark(
        "It takes systolic pressure where the curve has {systolic} % of its greatest height on the high side, and "
        "diastolic at {diastolic} % on the low side"
    ),
    "corrected-ratio": mark(
        "It takes systolic and diastolic pressure where the curve has fallen to shares of its greatest height that "
        "depend on how wide the curve is and how full the pulses are"
    ),
    "slope": mark(
        "It takes systolic pressure around where the curve falls most steeply on the high side, and diastolic around "
        "where it does on the low side"
    ),
    "neural-network": mark(
        "It tells a small neural network how wide the curve is and how full the pulses are. The network was trained on "
        "people simulated like this one, which flatters it"
    ),
    "model-fit": mark("It looks for the artery and the pressures whose pulses would be most like these"),
}
_RATIOS = {"systolic": f"{100 * SYSTOLIC_RATIO:.0f}", "diastolic": f"{100 * DIASTOLIC_RATIO:.0f}"}


def _number(result: Result, estimator: str) -> str:
    reading = result.reading
    if not reading.ok[0]:
        return f"{say('No reading.')} {sentence(say(str(reading.reason[0])))}"
    shown = pair(reading.sbp[0], reading.dbp[0])
    takes = say(_TAKES[estimator], **_RATIOS)
    return say("{takes}: the display shows {shown} ({symbol}).", takes=takes, shown=shown, symbol=DISPLAY.symbol)

"""Where figures come from: every output of a study names it."""

from __future__ import annotations

from dataclasses import dataclass

from sim import PARAMETERS_VERSION, __version__
from sim.cuff.filling import gives_away
from sim.cuff.instrument import Instrument

NOT_CLINICAL = (
    "A simulation, no clinical investigation: it says how an algorithm does on these models of people, not on people, "
    "and it can replace no validation of a device. No medical device."
)
OPTIMISTIC = (
    "A pass here is optimistic: the artery's pressure is known exactly, while a listener's own error is several mmHg; "
    "the simulated recordings lack what the model lacks; and a device that truly stands at the limit of "
    "criterion 2 passes a study of 85 people only every other time, so the probability of passing counts."
)


def by_pulse(instrument: Instrument | None) -> str:
    """What is said of recordings that give the pressures away by where they begin and end; "" of others."""
    if instrument is None or not gives_away(instrument).any():
        return ""
    how = "filling by-pulse" if (instrument.filling == "by-pulse").any() else "filled or stopped by the pulse"
    return f", {how}: where a recording begins and ends goes with the pressures"


@dataclass(frozen=True)
class Origin:
    """Version of the program, its set of parameters, the seed, and how many people and readings were studied, in words.

    >>> str(Origin(3, "85 subjects")).endswith("seed 3; 85 subjects")
    True
    """

    seed: int | None
    study: str = ""
    version: str = __version__
    parameters: str = PARAMETERS_VERSION

    def __str__(self) -> str:
        seed = "seed not known" if self.seed is None else f"seed {self.seed}"
        return f"cuffbias {self.version}, parameters {self.parameters}, {seed}" + (f"; {self.study}" * bool(self.study))

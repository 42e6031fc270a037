"""The air in the cuff: how the artery's volume moves the cuff's pressure, and the valve that lets it fall.

Pressure and volume: C dPc = -C rate dt + dV, with C = V_air / (n (Pb + Pc)) + C_cloth the compliance of air and
cloth, V = V(P, Pc) the artery's volume under the cuff. With F the integral of C over pressure this is

    F(Pc) - V(P, Pc) = F(Pc) - V(P, Pc) at the start - rate * integral of C over time

for each moment on its own but for the last, slow integral. So it is solved for all moments at once, by Newton's
method: no step in time can run away, and the artery's own yielding to the cuff is in it.
"""

from __future__ import annotations

import numpy as np

from sim.body.artery import Segment
from sim.cuff.instrument import Instrument
from sim.parameters import AIR_BLADDER_CM2, AIR_ML, SURROUNDING_MMHG

# Newton steps from the valve's straight fall; the next one would move no sample by 0.02 mmHg (tests hold it to a
# stepped solution).
_STEPS = 2


class Air:
    """Air and cloth of n cuffs."""

    def __init__(self, instrument: Instrument) -> None:
        """Every field of the instrument must be an array of n."""
        area_cm2 = instrument.bladder_width_cm * instrument.bladder_length_cm
        self._air = (AIR_ML * area_cm2 / AIR_BLADDER_CM2 / instrument.polytropic_index)[:, None]
        self._cloth = instrument.cloth_compliance_ml_per_mmhg[:, None]

    def compliance(self, cuff_mmhg: np.ndarray) -> np.ndarray:
        """C [mL/mmHg] at cuff pressures (n, m)."""
        return self._air / (SURROUNDING_MMHG + cuff_mmhg) + self._cloth

    def content(self, cuff_mmhg: np.ndarray, from_mmhg: np.ndarray) -> np.ndarray:
        """F(Pc) - F(from) [mL]; from_mmhg: (n, 1)."""
        share = (cuff_mmhg - from_mmhg) / (SURROUNDING_MMHG + from_mmhg)
        return self._air * np.log1p(share) + self._cloth * (cuff_mmhg - from_mmhg)


def deflate(
    artery_mmhg: np.ndarray,
    segment: Segment,
    volume_ml_per_unit: np.ndarray,
    lost_mmhg: np.ndarray,
    start_mmhg: np.ndarray,
    instrument: Instrument,
    sampling_hz: float,
) -> np.ndarray:
    """Cuff pressure (n, m) while the valve lets it fall from start_mmhg (n,) [mmHg].

    artery_mmhg: (n, m) pressure in the artery under the cuff; segment: the artery there; volume_ml_per_unit: (n,)
    mL for one unit of the segment's volume; lost_mmhg: (n,) what of the cuff's pressure does not reach the skin.
    """
    air = Air(instrument)
    rate = instrument.deflation_mmhg_per_s[:, None]
    scale, lost = volume_ml_per_unit[:, None], lost_mmhg[:, None]
    start = start_mmhg[:, None]
    time_s = np.arange(artery_mmhg.shape[1]) / sampling_hz
    cuff = start - rate * time_s
    for _ in range(_STEPS):
        volume, slope = segment.volume(artery_mmhg, np.maximum(cuff - lost, 1.0))
        compliance = air.compliance(cuff)
        # Trapezoids from the start: what the valve has let out.
        let_out = np.cumsum(compliance, axis=1) - (compliance + compliance[:, :1]) / 2
        let_out *= rate / sampling_hz
        excess = air.content(cuff, start) - scale * (volume - volume[:, :1]) + let_out
        cuff = cuff - excess / (compliance - scale * slope)
    return cuff

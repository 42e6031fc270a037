"""The air in the cuff: how the artery's volume moves the cuff's pressure, and the valve that lets it fall.

The valve holds a steady fall, and the artery's volume under the cuff moves the pressure both ways:

    dPc/dt = -rate + (1/C) dV/dt,   V = V(P(t), Pc(t)),   C = V_air / (n (Pb + Pc)) + C_cloth

with C the compliance of air and cloth. Written for the departure d of Pc from the straight fall R, and summed over
time, this is

    C(R + d/2) d - (V - V at the start) = integral of rate (C(R) - C(R + d)) over time

(the left side to the third order in d / 900 mmHg), for each moment on its own but for the last, small and slow,
integral. So it is solved for all moments at once by Newton's method: no step in time can run away, and the artery's
own yielding to the cuff is in it.
"""

from __future__ import annotations

import numpy as np

from sim.body.artery import Segment, VolumeTable
from sim.cuff.instrument import Instrument
from sim.parameters import AIR_BLADDER_CM2, AIR_ML, SURROUNDING_MMHG

# How far from the straight fall the table of volumes reaches [mmHg].
_REACH_MMHG = 12.0
_LEAST_SKIN_MMHG = 1.0


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
    samples = artery_mmhg.shape[1]
    rate = instrument.deflation_mmhg_per_s[:, None]
    fall = start_mmhg[:, None] - rate * (np.arange(samples) / sampling_hz)
    area_cm2 = instrument.bladder_width_cm * instrument.bladder_length_cm
    air = _column(AIR_ML * area_cm2 / AIR_BLADDER_CM2 / instrument.polytropic_index)
    cloth = _column(instrument.cloth_compliance_ml_per_mmhg)
    scale, let_out = _column(volume_ml_per_unit), (rate / sampling_hz).astype(np.float32)

    skin = np.maximum(fall - lost_mmhg[:, None], _LEAST_SKIN_MMHG).astype(np.float32)
    reach = np.stack([np.maximum(skin[:, -1] - _REACH_MMHG, _LEAST_SKIN_MMHG), skin[:, 0] + _REACH_MMHG], axis=1)
    table = VolumeTable(segment, np.stack([artery_mmhg.min(axis=1), artery_mmhg.max(axis=1)], axis=1), reach)
    table.follow(artery_mmhg)
    around = (SURROUNDING_MMHG + fall).astype(np.float32)
    compliance = air / around + cloth

    def asked(at_skin: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """V - V at the start [mL], and C - dV/dPc [mL/mmHg]."""
        volume, slope = table.look_up(at_skin)
        volume -= volume[:, :1]
        volume *= scale
        slope *= -scale
        slope += compliance
        return volume, slope

    # Two steps of Newton's method; a third would move no sample by 0.02 mmHg. On the straight fall itself d is 0.
    volume, slope = asked(skin)
    departure = volume / slope
    volume, slope = asked(skin + departure)
    # C(R) - C(R + d) is air d / around^2; summed from the start.
    volume += np.cumsum(departure / around * (compliance - cloth), axis=1, dtype=np.float32) * let_out
    volume -= (air / (around + departure / 2) + cloth) * departure
    departure += volume / slope
    return fall + departure


def _column(values: np.ndarray) -> np.ndarray:
    return np.asarray(values, dtype=np.float32)[:, None]

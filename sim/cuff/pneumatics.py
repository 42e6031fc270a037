"""The air in the cuff: how the artery's volume moves the cuff's pressure on the course that the valve drives.

Valve or pump drive a course R(t), and the artery's volume under the cuff moves the pressure both ways:

    dPc/dt = dR/dt + (1/C) dV/dt,   V = V(P(t), Pc(t)),   C = V_air / (n (Pb + Pc)) + C_cloth

with C the compliance of air and cloth. Written for the departure d of Pc from R, and summed over time, this is

    C(R + d/2) d - (V - V at the start) = integral of (C(R) - C(R + d)) (-dR)

(the left side to the third order in d / 900 mmHg), for each moment on its own but for the last, small and slow,
integral. So it is solved for all moments at once by Newton's method: no step in time can run away, and the artery's
own yielding to the cuff is in it.
"""

from __future__ import annotations

import numpy as np

from sim.body.artery import Under, VolumeTable
from sim.cuff.instrument import Instrument
from sim.parameters import AIR_BLADDER_CM2, AIR_ML, SURROUNDING_MMHG

# How far from the driven course the table of volumes reaches [mmHg].
_REACH_MMHG = 12.0
_LEAST_SKIN_MMHG = 1.0


def fill(
    artery_mmhg: np.ndarray,
    under: Under,
    volume_ml_per_unit: np.ndarray,
    skin_mmhg: np.ndarray,
    driven_mmhg: np.ndarray,
    instrument: Instrument,
) -> np.ndarray:
    """Cuff pressure (n, m) over a driven course [mmHg].

    artery_mmhg: (n, m) pressure in the artery under the cuff; under: the artery there, by pressure on the skin;
    volume_ml_per_unit: (n,) mL for one unit of its volume; driven_mmhg: (n, m) the course R of the pressure without
    the artery; skin_mmhg: (n, m) what of it reaches the skin.
    """
    area_cm2 = instrument.bladder_width_cm * instrument.bladder_length_cm
    air = _column(AIR_ML * area_cm2 / AIR_BLADDER_CM2 / instrument.polytropic_index)
    cloth = _column(instrument.cloth_compliance_ml_per_mmhg)
    scale = _column(volume_ml_per_unit)
    skin = np.maximum(skin_mmhg, _LEAST_SKIN_MMHG).astype(np.float32)
    reach = np.stack([skin.min(axis=1) - _REACH_MMHG, skin.max(axis=1) + _REACH_MMHG], axis=1)
    reach = np.maximum(reach, _LEAST_SKIN_MMHG)
    table = VolumeTable(under, np.stack([artery_mmhg.min(axis=1), artery_mmhg.max(axis=1)], axis=1), reach)
    table.follow(artery_mmhg)
    around = (SURROUNDING_MMHG + driven_mmhg).astype(np.float32)
    fall = np.zeros_like(around)
    np.subtract(driven_mmhg[:, :-1], driven_mmhg[:, 1:], out=fall[:, 1:], casting="same_kind")
    of_air = air / around
    compliance = of_air + cloth

    def asked(at_skin: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """V - V at the start [mL], and C - dV/dPc [mL/mmHg]."""
        volume, slope = table.look_up(at_skin)
        volume -= volume[:, :1]
        volume *= scale
        slope *= -scale
        slope += compliance
        return volume, slope

    # Two steps of Newton's method; a third would move no sample by 0.02 mmHg. On the course itself d is 0.
    volume, slope = asked(skin)
    departure = volume
    departure /= slope
    skin += departure
    volume, slope = asked(skin)
    # C(R) - C(R + d) is air d / around^2; summed from the start.
    lost = departure / around
    lost *= np.subtract(compliance, cloth, out=of_air)
    lost *= fall
    volume += np.cumsum(lost, axis=1, dtype=np.float32, out=lost)
    there = np.multiply(departure, np.float32(0.5), out=fall)
    there += around
    np.divide(air, there, out=there)
    there += cloth
    there *= departure
    volume -= there
    volume /= slope
    departure += volume
    return driven_mmhg + departure


def _column(values: np.ndarray) -> np.ndarray:
    return np.asarray(values, dtype=np.float32)[:, None]

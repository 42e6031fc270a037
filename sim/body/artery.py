"""The artery: its volume under the cuff, for arterial pressure and cuff pressure.

Area against transmural pressure P, the pressure inside less the pressure outside: compliance falls off
exponentially on both sides of zero,

    A(P) = a e^(P/a)              P < 0
    A(P) = a + b (1 - e^(-P/b))   P >= 0

in units of mmHg, times a scale. A three-parameter function with one width for each side of zero was fitted to
122 invasive data sets by Dhamotharan V, et al. IEEE Trans Biomed Eng 2023, DOI 10.1109/TBME.2022.3201433; the
widths here (sim.body.subject) are chosen on published envelopes.
"""

from __future__ import annotations

import numpy as np

# A share that hardly changes between two places is spread to differ by this much, so that no sum below divides by
# nothing. At 100 mmHg it moves one place's pressure by 0.2 mmHg.
_LEAST_STEP = 0.002


def area(transmural_mmhg: np.ndarray, a_mmhg: np.ndarray | float, b_mmhg: np.ndarray | float) -> np.ndarray:
    """A(P) [mmHg]; arrays that broadcast."""
    p = np.asarray(transmural_mmhg, dtype=float)
    fading = np.exp(np.minimum(p / a_mmhg, -p / np.asarray(b_mmhg)))
    return np.where(p < 0, a_mmhg * fading, a_mmhg + b_mmhg * (1 - fading))


class Segment:
    """The stretch of artery under the cuff of n arms: area summed along it.

    The outside pressure is a share of the cuff's that varies along the artery; between neighbouring places it is
    taken to run straight, for which the integral of A is exact: with H the integral of A over pressure, a piece
    between shares s and t holds (H(P - s Pc) - H(P - t Pc)) / ((t - s) Pc) of its length.
    """

    def __init__(self, share: np.ndarray, place_cm: np.ndarray, a_mmhg: np.ndarray, b_mmhg: np.ndarray) -> None:
        """share, place_cm: (n, places) from the middle to one end; a_mmhg, b_mmhg: (n,)."""
        step = np.diff(share, axis=1)
        step = np.where(np.abs(step) < _LEAST_STEP, np.copysign(_LEAST_STEP, step), step)
        piece = 2 * np.diff(place_cm, axis=1) / step
        weight = np.zeros_like(share)
        weight[:, :-1] += piece
        weight[:, 1:] -= piece
        # Single precision from here: the volume is good to 1e-5 of a pulse, and twice as fast.
        self._weight = weight.astype(np.float32)
        self._share = share.astype(np.float32)
        self._per_a = (1 / a_mmhg).astype(np.float32)[:, None]
        self._per_b = (-1 / b_mmhg).astype(np.float32)[:, None]
        self._a = a_mmhg.astype(np.float32)[:, None]
        self._b = b_mmhg.astype(np.float32)[:, None]
        self._b_shared = self._b * (self._weight * self._share).sum(axis=1)[:, None]
        self._a2 = (a_mmhg**2).astype(np.float32)[:, None]
        self._b2 = (b_mmhg**2).astype(np.float32)[:, None]
        self._top = (a_mmhg + b_mmhg).astype(np.float32)[:, None]

    def volume(self, artery_mmhg: np.ndarray, cuff_mmhg: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Volume [mmHg cm] and its change with cuff pressure [cm], each (n, m), in single precision.

        artery_mmhg, cuff_mmhg: (n, m) pressure in the artery, and what of the cuff's pressure reaches the skin.
        """
        cuff = np.asarray(cuff_mmhg, dtype=np.float32)
        artery = np.asarray(artery_mmhg, dtype=np.float32)
        # With e = exp(min(x, 0) / a) and f = exp(-max(x, 0) / b), one of which is 1, for transmural pressure x:
        # A = a e + b (1 - f) and H = a^2 e + b^2 f + (a + b) max(x, 0). The sums run over the places.
        e_sum, f_sum, open_sum, e_shared, f_shared = (np.zeros_like(cuff) for _ in range(5))
        below, above, term = (np.empty_like(cuff) for _ in range(3))
        for place in range(self._share.shape[1]):
            share, weight = self._share[:, place, None], self._weight[:, place, None]
            np.multiply(cuff, share, out=above)
            np.subtract(artery, above, out=above)
            np.minimum(above, 0, out=below)
            above -= below
            open_sum += np.multiply(above, weight, out=term)
            below *= self._per_a
            np.exp(below, out=below)
            above *= self._per_b
            np.exp(above, out=above)
            e_sum += np.multiply(below, weight, out=term)
            f_sum += np.multiply(above, weight, out=term)
            e_shared += np.multiply(below, weight * share, out=term)
            f_shared += np.multiply(above, weight * share, out=term)
        volume = (self._a2 * e_sum + self._b2 * f_sum + self._top * open_sum) / cuff
        area_shared = self._a * e_shared - self._b * f_shared + self._b_shared
        return volume, -(volume + area_shared) / cuff

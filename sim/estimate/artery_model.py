"""What an artery under a cuff should leave in it: amplitude of a beat, for pressures, artery and cuff; derivatives.

An artery whose compliance falls off exponentially on both sides of zero transmural pressure,

    A(P) = a e^(P/a)  (P < 0),   a + b (1 - e^(-P/b))  (P >= 0),

lies under a cuff of which the share T(z) reaches it: whole in the middle, falling off about the edges at z = 0.47 W
as a logistic curve of scale e W. With the pulse, the pressure in the artery goes from D to S and in the cuff from Pc to
Pc + y, so the cuff's air, C = V_air / (Pb + Pc), is compressed by

    y C = scale * integral of A(S - T (Pc + y)) - A(D - T Pc) dz

Babbs CF. BioMed Eng OnLine 2012;11:56, DOI 10.1186/1475-925X-11-56, fits such an artery, under a cuff without edges
(e = 0). The edges are ours: a band of pressure on an elastic cylinder (Alexander H, Cohen ML, Steinfeld L. Med Biol Eng
Comput 1977;15:2-10, DOI 10.1007/BF02441568) gives about such a curve, with e of 0.055 to 0.085 for cuffs that fit.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

# Pressure of the surroundings [mmHg]: the standard atmosphere, assumed. At 380 or 1520 it would be a thin or dense air
# that nobody measures in; it counts only by how much stiffer the air is at high than at low cuff pressure.
SURROUNDING_MMHG = 760.0
# What reaches the artery in the middle of a cuff that fits, a little more than the cuff's pressure: see Alexander 1977.
# Of 150 simulated adults at rest, 1.0 moves systolic by -2.4 and diastolic by -1.4 mmHg, 1.04 by +2.8 and +1.6.
MIDDLE = 1.0187
# Half the width over which the cuff presses, its rounded edges counted by half, over the width. With FLANK_SHARE of
# sim.parameters it would be 0.475; 0.47 was chosen. 0.5 moves systolic by +0.5 mmHg, a half by -1.5, a double by +11.7.
HALF_WIDTH = 0.47
# Places at which the share is this part of the middle's; between two of them it is taken to run straight. Chosen closer
# together where the artery gives most.
_PARTS = np.array([0.993, 0.97, 0.93, 0.86, 0.76, 0.64, 0.51, 0.38, 0.25, 0.14, 0.06])
# Length of artery beyond the place where this part is left, for e = 1 and in widths of the cuff.
_BEYOND = np.log(_PARTS / (1 - _PARTS))

# The parameters, in this order; derivatives come in the same.
SBP, DBP, LOG_A, LOG_B, LOG_SCALE, EDGE = range(6)


@dataclass(frozen=True, eq=False)
class Cuff:
    """Where the artery lies under the cuff: lengths of artery between shares of the cuff's pressure.

    share: (j + 1,) falling; length, length_by_edge: (j,) length of artery between neighbouring shares, over the cuff's
    width, is the first plus e times the second
    """

    share: np.ndarray
    length: np.ndarray
    length_by_edge: np.ndarray

    @property
    def weights(self) -> tuple[np.ndarray, np.ndarray]:
        """(j + 1,) by which the integral of A at each share counts, and what e adds to it.

        >>> whole, by_edge = with_edges().weights
        >>> whole.shape == by_edge.shape, abs(round(float(whole.sum()), 6))
        (True, 0.0)
        """
        gap = -np.diff(self.share)
        whole = [np.zeros(len(self.share)) for _ in range(2)]
        for weight, length in zip(whole, (self.length, self.length_by_edge), strict=True):
            weight[:-1] -= length / gap
            weight[1:] += length / gap
        return whole[0], whole[1]


def with_edges() -> Cuff:
    """A cuff that fits, its edges as above: shares of its pressure, (12,), and the lengths between them, (11,)."""
    share = MIDDLE * np.concatenate([[1.0], _PARTS])
    middle = np.zeros(len(_PARTS))
    middle[0] = HALF_WIDTH
    return Cuff(share, middle, np.concatenate([[-_BEYOND[0]], -np.diff(_BEYOND)]))


def without_edges() -> Cuff:
    """One pressure everywhere under the cuff: two shares close to 1, shape (2,), and the one length between them.

    >>> without_edges().length.tolist()
    [0.47]
    """
    return Cuff(np.array([1.01, 0.99]), np.array([HALF_WIDTH]), np.array([0.0]))


def amplitude(
    parameters: np.ndarray, cuff_mmhg: np.ndarray, height_mmhg: np.ndarray, cuff: Cuff, air: bool = True
) -> tuple[np.ndarray, np.ndarray]:
    """Amplitudes (n, m) [mmHg] and their derivatives by the parameters (n, m, 6).

    parameters: (n, 6) sbp, dbp [mmHg], log a, log b, log scale, e
    cuff_mmhg: (n, m) cuff pressure at the foot of each beat; height_mmhg: (n, m) its recorded amplitude, by which the
        cuff's pressure is higher at the top
    air: whether the cuff's air is stiffer at higher pressure, C as above; if not, C is the same everywhere

    >>> person = np.array([[120.0, 80.0, np.log(4), np.log(20), -6.0, 0.07]])
    >>> model, slopes = amplitude(person, np.array([[150.0, 95.0, 50.0]]), np.ones((1, 3)), with_edges())
    >>> slopes.shape, int(model.argmax())  # the beat between systolic and diastolic pressure is the largest
    ((1, 3, 6), 1)
    """
    # Single precision: good to 1e-5 of the amplitude, and half the time. All shares at once: (j + 1, n, m).
    sbp, dbp, log_a, log_b, log_scale, edge = (parameters[:, k : k + 1].astype(np.float32) for k in range(6))
    a, b = np.exp(log_a), np.exp(log_b)
    foot = cuff_mmhg.astype(np.float32)
    top = foot + height_mmhg.astype(np.float32)
    share = cuff.share.astype(np.float32)[:, None, None]
    at_top, at_foot = (
        [part / outside for part in _integral(inside - share * outside, a, b)]
        for inside, outside in ((sbp, top), (dbp, foot))
    )
    weight, by_edge = (weight.astype(np.float32)[:, None, None] for weight in cuff.weights)
    each = weight + edge[None] * by_edge
    pulse = at_top[0] - at_foot[0]
    # Summed share by share, so that one recording's sums do not depend on how many there are.
    model = (each * pulse).sum(axis=0)
    slopes = [
        (each * at_top[1]).sum(axis=0),
        -(each * at_foot[1]).sum(axis=0),
        a * (each * (at_top[2] - at_foot[2])).sum(axis=0),
        b * (each * (at_top[3] - at_foot[3])).sum(axis=0),
        model,
        (by_edge * pulse).sum(axis=0),
    ]
    stiffness = np.exp(log_scale) * ((SURROUNDING_MMHG + cuff_mmhg) / SURROUNDING_MMHG if air else 1.0)
    return model * stiffness, np.stack(slopes, axis=2) * stiffness[:, :, None]


def _integral(x: np.ndarray, a: np.ndarray, b: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Integral of A up to x, A, and what a and b change of the integral."""
    below, above = np.minimum(x, 0.0), np.maximum(x, 0.0)
    e, f = np.exp(below / a), np.exp(-above / b)
    ae, bf = a * e, b * f
    return a * ae + b * bf + (a + b) * above, ae + (b - bf), 2 * ae - below * e + above, 2 * bf + above * f + above

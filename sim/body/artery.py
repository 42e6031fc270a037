"""The artery: its volume under the cuff, for arterial pressure and cuff pressure.

Area against transmural pressure P, the pressure inside minus the pressure outside: compliance falls off
exponentially on both sides of zero,

    A(P) = a e^(P/a)              P < 0
    A(P) = a + b (1 - e^(-P/b))   P >= 0

in units of mmHg, times a scale. A three-parameter function with one width for each side of zero was fitted to
122 invasive data sets by Dhamotharan V, et al. IEEE Trans Biomed Eng 2023, DOI 10.1109/TBME.2022.3201433; the
widths here (sim.body.subject) are chosen on published envelopes.

Another law, to try an algorithm on arteries that it does not expect: the arctangent, whose compliance has long tails,

    A(P) = a + (2 w / pi) arctan(pi P / 2 w)    w = a for P < 0, b for P >= 0

It was fitted, with one width and a pressure of its own in the middle, to the aorta: Langewouters GJ, Wesseling KH,
Goedhard WJA. J Biomech 1984;17:425-435, DOI 10.1016/0021-9290(84)90034-4 (from memory). One width for each side of
zero is our adaptation. With these factors a and b mean the same in both laws: the compliance at zero is 1, and a and b
are the area gained below and above it.

Both halves of the artery under a cuff are taken to beat alike. Above systolic pressure the half beyond the middle
should not: an artery that is shut passes no pulse on. Counted so, the envelope's tail 40 mmHg above systolic falls
from 0.29 to 0.15 of the peak, but the envelope becomes too narrow for what was published, and with other widths that
mend this, wrong cuffs read half as far off as was found (tests/published/test_closed_beyond.py has the figures).
Something that this law lacks is in their place; until it is known the tail stays, and is listed among the misses.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

# A share that hardly changes between two places is spread to differ by this much, so that no sum below divides by
# nothing. At 100 mmHg it moves one place's pressure by 0.2 mmHg.
_LEAST_STEP = 0.002


def area(
    transmural_mmhg: np.ndarray, a_mmhg: np.ndarray | float, b_mmhg: np.ndarray | float, law: str = "exponential"
) -> np.ndarray:
    """A(P) [mmHg]; arrays that broadcast. law: a name that the field `artery_law` takes.

    >>> area(np.array([-4.0, 0.0, 20.0]), a_mmhg=4.0, b_mmhg=20.0).round(2)
    array([ 1.47,  4.  , 16.64])
    """
    p = np.asarray(transmural_mmhg, dtype=float)
    if law == "arctangent":
        width = np.where(p < 0, a_mmhg, b_mmhg)
        return a_mmhg + 2 * width / np.pi * np.arctan(np.pi * p / (2 * width))
    fading = np.exp(np.minimum(p / a_mmhg, -p / np.asarray(b_mmhg)))
    return np.where(p < 0, a_mmhg * fading, a_mmhg + b_mmhg * (1 - fading))


class Segment:
    """The stretch of artery under the cuff of n arms, at j cuff pressures each: area summed along it.

    The outside pressure is a share of the cuff's that varies along the artery; between neighbouring places it is
    taken to run straight, for which the integral of A is exact: with H the integral of A over pressure, a piece
    between shares s and t holds (H(P - s Pc) - H(P - t Pc)) / ((t - s) Pc) of its length.
    """

    def __init__(
        self,
        cuff_mmhg: np.ndarray,
        share: np.ndarray,
        place_cm: np.ndarray,
        a_mmhg: np.ndarray,
        b_mmhg: np.ndarray,
        law: np.ndarray | None = None,
    ) -> None:
        """cuff_mmhg: (n, j) pressures at the skin [mmHg]; share, place_cm: (n, j, places) at each of them, from the
        middle to one end; a_mmhg, b_mmhg: (n,); law: (n,) names, or None where every artery is exponential."""
        share = share.astype(float)
        for place in range(1, share.shape[2]):
            step = share[:, :, place] - share[:, :, place - 1]
            step = np.where(np.abs(step) < _LEAST_STEP, np.copysign(_LEAST_STEP, step), step)
            share[:, :, place] = share[:, :, place - 1] + step
        piece = 2 * np.diff(place_cm, axis=2) / np.diff(share, axis=2)
        weight = np.zeros_like(share)
        weight[:, :, :-1] += piece
        weight[:, :, 1:] -= piece
        # Single precision from here: good to 1e-5 of a pulse, and an exponential costs an eighth. Places first, and
        # room for the pressures in the artery: (places, n, 1, j).
        weight /= cuff_mmhg[:, :, None]
        outside = share * cuff_mmhg[:, :, None]
        self._weight, self._outside = (
            np.ascontiguousarray(np.moveaxis(each, 2, 0)[:, :, None], dtype=np.float32) for each in (weight, outside)
        )
        a, b = (np.asarray(width, dtype=np.float32)[:, None, None] for width in (a_mmhg, b_mmhg))
        self._a, self._b = a, b
        self._law = np.full(len(share), "exponential") if law is None else law

    def volume(self, artery_mmhg: np.ndarray) -> np.ndarray:
        """Volume (n, m, j) [mmHg cm] for pressures (n, m) in the artery [mmHg], at each of the cuff pressures.

        >>> share, place_cm = np.ones((1, 1, 2)), np.array([[[0.0, 6.0]]])
        >>> arm = Segment(np.array([[80.0]]), share, place_cm, np.array([4.0]), np.array([20.0]))
        >>> arm.volume(np.array([[80.0, 120.0]])).shape
        (1, 2, 1)
        """
        artery = np.asarray(artery_mmhg, dtype=np.float32)[:, :, None]
        laws = np.unique(self._law)
        total = np.empty((len(artery), artery.shape[1], self._outside.shape[3]), dtype=np.float32)
        for law in laws:
            rows = slice(None) if len(laws) == 1 else np.flatnonzero(self._law == law)
            outside, weight = self._outside[:, rows], self._weight[:, rows]
            total[rows] = _SUMS[str(law)](artery[rows], outside, weight, self._a[rows], self._b[rows])
        return total


def _exponential(
    artery: np.ndarray, outside: np.ndarray, weight: np.ndarray, a: np.ndarray, b: np.ndarray
) -> np.ndarray:
    """Sum of H over the places (the first axis), weighted; H is the integral of the exponential law.

    With e = exp(min(x, 0) / a) and f = exp(-max(x, 0) / b), one of which is 1, for transmural pressure x,
    H = a^2 e + b^2 f + (a + b) max(x, 0).
    """
    shape = np.broadcast_shapes(artery.shape, outside.shape[1:])
    e_sum, f_sum, open_sum = (np.zeros(shape, dtype=np.float32) for _ in range(3))
    below, above, term = (np.empty(shape, dtype=np.float32) for _ in range(3))
    per_a, per_b = 1 / a, -1 / b
    for around, each in zip(outside, weight, strict=True):
        np.subtract(artery, around, out=above)
        np.minimum(above, 0, out=below)
        above -= below
        open_sum += np.multiply(above, each, out=term)
        below *= per_a
        e_sum += np.multiply(np.exp(below, out=below), each, out=term)
        above *= per_b
        f_sum += np.multiply(np.exp(above, out=above), each, out=term)
    return a**2 * e_sum + b**2 * f_sum + (a + b) * open_sum


def _arctangent(
    artery: np.ndarray, outside: np.ndarray, weight: np.ndarray, a: np.ndarray, b: np.ndarray
) -> np.ndarray:
    """Sum of H over the places (the first axis), weighted; H is the integral of the arctangent law.

    With u = pi x / 2 w, H = a x + (2 w^2 / pi^2) (2 u arctan(u) - log(1 + u^2)).
    """
    total = np.zeros(np.broadcast_shapes(artery.shape, outside.shape[1:]), dtype=np.float32)
    for around, each in zip(outside, weight, strict=True):
        x = artery - around
        width = np.where(x < 0, a, b)
        u = np.float32(np.pi / 2) * x / width
        bent = 2 * u * np.arctan(u) - np.log1p(u * u)
        total += each * (a * x + np.float32(2 / np.pi**2) * width**2 * bent)
    return total


_SUMS: dict[str, Callable[..., np.ndarray]] = {"exponential": _exponential, "arctangent": _arctangent}


# The stretch of artery at cuff pressures (n, j) [mmHg].
Under = Callable[[np.ndarray], Segment]


class VolumeTable:
    """The volume of n segments over the pressures that a recording passes through, tabulated once for each arm.

    Between the entries it runs straight in both pressures. The table costs a quarter of asking the segment at every
    sample, twice (tests hold the whole to a reference that asks the integral itself).
    """

    _ARTERY, _CUFF = 24, 96

    def __init__(self, under: Under, artery_mmhg: np.ndarray, cuff_mmhg: np.ndarray) -> None:
        """artery_mmhg, cuff_mmhg: (n, 2) least and greatest pressure in the artery and from the cuff at the skin."""
        artery, self._artery_low, self._artery_step = _even(artery_mmhg, self._ARTERY)
        cuff, self._cuff_low, self._cuff_step = _even(cuff_mmhg, self._CUFF)
        size = self._ARTERY * self._CUFF
        n = len(artery)
        volume = under(cuff).volume(artery).reshape(n, size)
        # From the middle of each arm's range, so that single precision counts what moves. Each entry has beside it, as
        # an imaginary part, how far the next one in arterial pressure lies above it: one look finds both.
        volume -= volume[:, size // 2, None].copy()
        both = np.zeros((n, size), dtype=np.complex64)
        both.real = volume
        both.imag[:, : -self._CUFF] = volume[:, self._CUFF :] - volume[:, : -self._CUFF]
        self._volume = both.ravel()
        self._first = (np.arange(n) * size)[:, None]

    def follow(self, artery_mmhg: np.ndarray) -> None:
        """Takes up the pressures in the artery (n, m) of a recording."""
        place = artery_mmhg - self._artery_low
        place *= 1 / self._artery_step
        np.clip(place, 0, self._ARTERY - 1.001, out=place)
        # The type that `take` wants, which would else be made again at every look.
        whole = place.astype(np.intp)
        place -= np.floor(place)
        self._between = place
        whole *= self._CUFF
        whole += self._first
        self._start = whole

    def look_up(self, cuff_mmhg: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Volume [mmHg cm] less a constant, and its change with cuff pressure [cm], each (n, m), at these pressures."""
        place = cuff_mmhg - self._cuff_low
        place *= 1 / self._cuff_step
        np.clip(place, 0, self._CUFF - 1.001, out=place)
        index = place.astype(np.intp)
        place -= np.floor(place)
        index += self._start
        low = self._between_artery(index)
        index += 1
        high = self._between_artery(index)
        high -= low
        place *= high
        low += place
        high *= 1 / self._cuff_step
        return low, high

    def _between_artery(self, index: np.ndarray) -> np.ndarray:
        """Volume (n, m) at these entries, for the pressure in the artery."""
        # No entry lies outside; `clip` spares a look at that.
        entry = self._volume.take(index, mode="clip")
        volume = entry.imag * self._between
        volume += entry.real
        return volume


def _even(limits: np.ndarray, count: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """`count` even steps between limits (n, 2): values (n, count), lowest (n, 1), step (n, 1), single precision."""
    low = limits[:, :1].astype(np.float32)
    step = ((limits[:, 1:] - limits[:, :1]) / (count - 1)).astype(np.float32)
    return low + step * np.arange(count, dtype=np.float32), low, step

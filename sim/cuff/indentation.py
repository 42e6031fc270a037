"""The bladder sinks into the arm: how wide it still presses on the skin, by the pressure on it.

The arm is soft. Squeezed by p along all of its length, an incompressible cylinder that follows Hooke's law for small
strains and the neo-Hookean law beyond (stress G (s^2 - 1/s), G = E/3) grows longer by the factor s with

    s^2 - 1/s = 3 p / E        and thinner by   1 - 1/sqrt(s)      (p / 2E for small p)

Under a band of pressure the skin yields as much in the middle and less towards the band's ends: the part of it is
`edge_yield`. Cloth holds the back of the bladder where the skin was; so at each end the bladder has to bridge the gap
to the skin, and as with a loose cuff it loses that much contact there:

    contact = snug width - 2 R (1 - 1/sqrt(s)) edge_yield(contact / C)

The gap grows with the cuff's pressure, with the arm's radius R, and with how narrow the bladder is for the arm. Holds
for one soft material without bone, at rest; that the arm gets thinner is not counted where stresses are worked out.

The neo-Hookean law: Rivlin RS, Phil Trans R Soc A 1948;240:459-490, DOI 10.1098/rsta.1948.0002 (from memory). The
cylinder under a band: the same theory as sim.cuff.transmission.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from scipy import special

from sim.parameters import FLANK_SHARE, MMHG_PA, TISSUE_PA

# Wave numbers (times the arm's radius) of the integral for the skin's displacement, which falls off as their square.
_HIGHEST_WAVE = 120.0
_WAVES = 480
# Widths over circumference at which the yield is worked out: closer together where it changes faster.
_WIDTHS = np.geomspace(1e-3, 2.0, 240)
# Turns of Newton's method: tests hold the width to a root finder.
_TURNS = 4


def contact_ratio(snug_ratio: np.ndarray, skin_mmhg: np.ndarray) -> np.ndarray:
    """Width over which the bladder presses, over the arm's circumference. Arrays that broadcast; above 0.

    snug_ratio: the width without pressure over the circumference; skin_mmhg: pressure on the skin [mmHg].

    >>> contact_ratio(np.array([0.4, 0.4]), np.array([0.0, 100.0])).round(3)
    array([0.4  , 0.386])
    """
    thinner = thinning(skin_mmhg) / np.pi
    snug, thinner = np.broadcast_arrays(snug_ratio, thinner)
    ratio = snug
    for _ in range(_TURNS):
        excess = ratio + thinner * edge_yield(ratio) - snug
        ratio = ratio - excess / (1 + thinner * np.interp(ratio, _WIDTHS, _edge_slopes()))
    return ratio


def thinning(skin_mmhg: np.ndarray | float) -> np.ndarray:
    """What a long squeezed arm loses of its radius, as a share of it: 1 - 1/sqrt(s); the shape of `skin_mmhg` [mmHg].

    >>> thinning(np.array([0.0, 100.0])).round(3)
    array([0.   , 0.131])
    """
    stress, lost = _squeezed()
    return np.interp(3 * np.asarray(skin_mmhg) * MMHG_PA / TISSUE_PA, stress, lost)


def edge_yield(width_ratio: np.ndarray | float) -> np.ndarray:
    """How far the skin yields under the end of a band, over how far it yields under a long one: a share, 0 to 1.

    width_ratio: the band's width over the arm's circumference; any shape, which comes back.
    """
    return np.interp(width_ratio, _WIDTHS, _edge_yields())


def surface_yield(wave: np.ndarray) -> np.ndarray:
    """How far the skin yields to the pressure cos(k z), over how far it yields to the same along all of the arm.

    wave: k times the arm's radius, above 0; any shape, which comes back. Tends to 1 for long waves, and to 3 / wave for
    short ones, as on a flat incompressible body.

    >>> surface_yield(np.array([0.01, 100.0])).round(3)
    array([1.  , 0.03])
    """
    a = np.asarray(wave, dtype=float)
    i0, i1 = special.i0e(a), special.i1e(a)
    beta = 1 + a * i0 / i1
    return 3 * i1 / (a * (beta * (i0 - i1 / a) - a * i1))


@lru_cache(maxsize=1)
def _squeezed() -> tuple[np.ndarray, np.ndarray]:
    """3 p / E, rising from 0, and the share of its radius that the arm then loses."""
    longer = np.linspace(1, 3, 2001)
    return longer**2 - 1 / longer, 1 - longer**-0.5


@lru_cache(maxsize=1)
def _edge_yields() -> np.ndarray:
    """`edge_yield` at _WIDTHS."""
    node, weight = np.polynomial.legendre.leggauss(_WAVES)
    wave, weight = (node + 1) * _HIGHEST_WAVE / 2, weight * _HIGHEST_WAVE / 2
    half = np.pi * _WIDTHS[:, None]  # of the width, over the arm's radius
    flank = FLANK_SHARE * half
    band = np.sin(wave * (half - flank / 2)) * np.sinc(wave * flank / (2 * np.pi)) / wave
    return 2 / np.pi * (band * np.cos(wave * half)) @ (weight * surface_yield(wave))


@lru_cache(maxsize=1)
def _edge_slopes() -> np.ndarray:
    """How `edge_yield` changes with the width, at _WIDTHS."""
    return np.gradient(_edge_yields(), _WIDTHS)


def forget() -> None:
    """Work everything out anew: for whoever changed a constant that it was worked out with."""
    _edge_yields.cache_clear()
    _edge_slopes.cache_clear()

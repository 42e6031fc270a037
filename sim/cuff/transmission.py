"""From cuff pressure to pressure on the artery: the share that arrives, along the arm and round it.

The arm is an incompressible elastic cylinder; what squeezes the artery in it is the mean in-plane
stress. Along the arm the load is a band as wide as the bladder (`along_arm`), round the arm it is
the bladder and the stretched cloth beyond it (`round_arm`). The two shares multiply.

A conical arm counts by the contact that a bladder loses on it, and is a cylinder otherwise.

Left out: skin shear that goes with the cloth's friction, what balances a one-sided load, bone.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy import special

from sim.body.subject import Subject
from sim.cuff.indentation import contact_ratio
from sim.cuff.instrument import Instrument
from sim.parameters import ARTERY_HALF_LENGTH, FLANK_SHARE, FRICTION_PER_RAD
from sim.results import Rows
from sim.technique import Technique

# Wave numbers (times the arm's radius) that the band's Fourier integral is summed over. With these the share is
# within 1e-4 of the integral for bladders up to 1.8 times as wide as the arm is round and an artery no nearer to
# the skin than 0.6 of the radius (tests hold it to a quadrature).
_HIGHEST_WAVE = 40.0
_WAVES = 144
_HARMONICS = np.arange(1, 49)

# Places along the artery, from the middle outwards over the bladder's width, between which the share is taken
# to run straight: close together where it falls fastest. See sim.body.artery.
PLACES_OVER_WIDTH = np.array([0, 0.15, 0.24, 0.31, 0.37, 0.43, 0.48, 0.53, 0.59, 0.66, ARTERY_HALF_LENGTH])


# Cuff pressure [mmHg] up to which the share is worked out, and at how many widths of contact between there and none.
_HIGHEST_MMHG = 350.0
_WIDTHS = 3


@dataclass(frozen=True, eq=False)
class Transmission(Rows):
    """How n cuffs act on n arteries.

    around_cm: (n,) circumference of what the cuff squeezes [cm]
    snug_ratio: (n,) width over which the bladder lies on the arm without pressure, over around_cm
    ratio: (n, widths) the same under pressure: the widths at which the share is known
    share_at: (n, widths, places) share of the cuff's pressure that reaches the artery at PLACES_OVER_WIDTH
    """

    around_cm: np.ndarray
    snug_ratio: np.ndarray
    ratio: np.ndarray
    share_at: np.ndarray

    def contact_width_cm(self, skin_mmhg: np.ndarray) -> np.ndarray:
        """Width over which the bladder presses on the arm [cm], for pressures (n, m) on the skin [mmHg].

        >>> from sim.setup import Setup
        >>> setup = Setup.of(arm_circumference_cm=30, bladder="12x23").spread(1)
        >>> transmission(*setup).contact_width_cm(np.array([[0.0, 120.0]])).round(2)
        array([[12.  , 11.51]])
        """
        return contact_ratio(self.snug_ratio[:, None], skin_mmhg) * self.around_cm[:, None]

    def share(self, skin_mmhg: np.ndarray) -> np.ndarray:
        """Share of the cuff's pressure at each of the places (n, m, places), for pressures (n, m) on the skin.

        >>> from sim.setup import Setup
        >>> share = transmission(*Setup.of(bladder="12x23").spread(1)).share(np.array([[120.0]]))
        >>> share.shape, round(float(share[0, 0, 0]), 2)
        ((1, 1, 11), 1.02)
        """
        part = _between(self.ratio, contact_ratio(self.snug_ratio[:, None], skin_mmhg))
        return part @ self.share_at

    def place_cm(self, skin_mmhg: np.ndarray) -> np.ndarray:
        """The places, from the bladder's middle [cm], (n, m, places). The last is where it is without pressure."""
        place = PLACES_OVER_WIDTH * self.contact_width_cm(skin_mmhg)[:, :, None]
        place[:, :, -1] = PLACES_OVER_WIDTH[-1] * (self.snug_ratio * self.around_cm)[:, None]
        return place


def transmission(subject: Subject, technique: Technique, instrument: Instrument) -> Transmission:
    """The shares for n readings; every field must be an array of n, every bladder a size."""
    around_cm = squeezed_circumference_cm(subject, technique)
    snug = snug_width_cm(subject, technique, instrument) / around_cm
    least = contact_ratio(snug, np.full(len(snug), _HIGHEST_MMHG))
    # From the least to the widest, closer together at both ends: where a curve through the points errs least.
    step = (1 - np.cos(np.pi * (np.arange(_WIDTHS) + 0.5) / _WIDTHS)) / 2
    ratio = least[:, None] + (snug - least)[:, None] * step
    along = _along_arm(ratio, snug, subject.artery_radius_ratio)
    coverage = instrument.bladder_length_cm / around_cm
    turned = np.deg2rad(technique.cuff_turned_deg)
    around = round_arm(coverage, turned, subject.artery_radius_ratio)
    around -= round_arm_patch(technique.wrinkle_cm / around_cm, subject.artery_radius_ratio)
    return Transmission(around_cm, snug, ratio, along * around[:, None, None])


def _along_arm(ratio: np.ndarray, snug: np.ndarray, radius_ratio: np.ndarray) -> np.ndarray:
    """Share along the arm (n, widths, places) for contact of these widths over the circumference (n, widths)."""
    nodes, fit = _straight_pieces()
    stress, last = _stress(radius_ratio), PLACES_OVER_WIDTH[-1]
    along = np.empty((*ratio.shape, len(PLACES_OVER_WIDTH)))
    for k, narrowed in enumerate(ratio.T):
        # The last place stays where it is without pressure: further out, in widths of what is left.
        ends = np.stack([np.full(len(snug), last), last * snug / narrowed], axis=1)
        z = np.concatenate([np.broadcast_to(nodes, (len(snug), len(nodes))), ends], axis=1)
        found = _under_band(z, narrowed, stress)
        along[:, k] = found[:, :-2] @ fit.T
        along[:, k, -1] += found[:, -1] - found[:, -2]
    return along


def squeezed_circumference_cm(subject: Subject, technique: Technique) -> np.ndarray:
    """Circumference of arm and sleeve, which the cuff squeezes as one, (n,) [cm].

    >>> float(squeezed_circumference_cm(Subject(arm_circumference_cm=30), Technique(sleeve_mm=2)).round(2))
    31.26
    """
    return subject.arm_circumference_cm + 2 * np.pi * technique.sleeve_mm / 10


def snug_width_cm(subject: Subject, technique: Technique, instrument: Instrument) -> np.ndarray:
    """Width over which the bladder lies on the arm without pressure [cm].

    Slack leaves a gap of slack / 2 pi; the bladder bulges to fill it and loses that much contact at each end. A cuff
    is a cylinder, as long round as the arm in the middle: at the thinner end of a conical arm it leaves a gap of half
    the width / tan(slant), and loses as much there. At the thicker end it squeezes the arm, and loses nothing.
    """
    cone = instrument.bladder_width_cm / 2 / np.tan(np.deg2rad(subject.arm_slant_degrees))
    return instrument.bladder_width_cm - technique.slack_cm / np.pi - cone


def _between(known: np.ndarray, asked: np.ndarray) -> np.ndarray:
    """Weights (n, m, k) of values at `known` (n, k) in the curve through them (Lagrange's), at `asked` (n, m)."""
    k = known.shape[1]
    weight = np.ones((*asked.shape, k))
    for one in range(k):
        for other in range(k):
            if one != other:
                gap = known[:, one] - known[:, other]
                weight[:, :, one] *= (asked - known[:, None, other]) / gap[:, None]
    return weight


def stress_ratio(wave: np.ndarray, radius_ratio: np.ndarray | float) -> np.ndarray:
    """Mean in-plane stress inside an incompressible cylinder over the surface pressure cos(k z) that causes it.

    wave: k times the cylinder's radius, above 0; radius_ratio: place, 0 axis to 1 surface. Arrays that
    broadcast; returns their shape. Tends to 1 for long waves.

    Axisymmetric elasticity: Rankin AW, J Appl Mech 1944;11:A77; Barton MV, J Appl Mech 1941;8:A97; applied to
    cuffs by Alexander H, Cohen ML, Steinfeld L, Med Biol Eng Comput 1977;15:2-10, DOI 10.1007/BF02441568.
    Here for Poisson's ratio 1/2, where S = (beta I0(x) - x I1(x)) / 2 (beta (I0(a) - I1(a)/a) - a I1(a)).

    >>> stress_ratio(np.array([0.01, 2.0]), 0.35).round(3)
    array([1.   , 0.801])
    """
    a = np.asarray(wave, dtype=float)
    x = a * radius_ratio
    # Scaled Bessel functions, I(y) e^-y: their quotient lacks the factor e^(x - a).
    i0, i1 = special.i0e(a), special.i1e(a)
    beta = 1 + a * i0 / i1
    surface = beta * (i0 - i1 / a) - a * i1
    return (beta * special.i0e(x) - x * special.i1e(x)) / (2 * surface) * np.exp(x - a)


def along_arm(
    z_over_width: np.ndarray | float, width_ratio: np.ndarray | float, radius_ratio: np.ndarray | float
) -> np.ndarray:
    """Share of a band's pressure that arrives at places along the arm, at a radius in it.

    z_over_width: (j,) distance from the band's middle over its width; width_ratio: (n,) band width over arm
    circumference; radius_ratio: (n,) 0 axis to 1 skin. Returns (n, j). The band has rounded edges: the pressure
    falls to nothing over flanks that lie inside the width.

    >>> along_arm(np.array([0.0, 0.5, 1.0]), 0.4, 0.35).round(2)
    array([[ 1.02,  0.43, -0.01]])
    """
    return _under_band(z_over_width, np.atleast_1d(width_ratio), _stress(np.atleast_1d(radius_ratio)))


def _stress(radius_ratio: np.ndarray) -> np.ndarray:
    """Stress in the arm at radii (n,), for each of the waves (n, waves)."""
    return stress_ratio(_waves()[0], radius_ratio[:, None])


def _under_band(z_over_width: np.ndarray | float, width_ratio: np.ndarray, stress: np.ndarray) -> np.ndarray:
    """As `along_arm`, for the stress (n, waves) of each wave; z_over_width (j,) or (n, j)."""
    width = 2 * np.pi * width_ratio[:, None]  # over the arm's radius
    wave, weight = _waves()
    half = width / 2
    flank = FLANK_SHARE * half
    band = np.sin(wave * (half - flank / 2)) * np.sinc(wave * flank / (2 * np.pi)) / wave
    spectrum = weight * band * stress
    # Single precision: five times as fast, and its error in the share is below 1e-5.
    phase = ((np.atleast_1d(z_over_width) * width)[:, :, None] * wave).astype(np.float32)
    summed = np.cos(phase, out=phase) @ spectrum.astype(np.float32)[:, :, None]
    return 2 / np.pi * summed[:, :, 0].astype(float)


def round_arm(
    coverage: np.ndarray | float, turned_rad: np.ndarray | float, radius_ratio: np.ndarray | float
) -> np.ndarray:
    """Share of the bladder's pressure that arrives from round the arm, at a radius in it. Arrays of (n,) or scalars.

    coverage: bladder length over arm circumference, counted as 1 above 1; turned_rad: angle from the bladder's
    middle to the artery. Beyond the bladder the cloth holds the arm by its tension, which friction eats. The
    in-plane mean stress in a disk under normal surface pressure is the harmonic extension of that pressure, so
    each harmonic of the surface pressure counts by radius_ratio to its order.

    >>> round_arm(np.array([0.8, 0.4]), np.pi, 0.35).round(2)
    array([0.99, 0.9 ])
    """
    covered, turned, q = np.broadcast_arrays(np.minimum(coverage, 1.0), turned_rad, radius_ratio)
    edge = np.pi * np.atleast_1d(covered)
    bare = np.pi - edge
    mu, m = FRICTION_PER_RAD, _HARMONICS
    mean = (edge + (1 - np.exp(-mu * bare)) / mu) / np.pi
    # Integral of e^(-mu x) cos(m theta) over the bare side, x counted from the edge.
    from_edge, at_edge = np.exp(-mu * bare)[:, None], m * edge[:, None]
    cloth = (mu * np.cos(at_edge) - m * np.sin(at_edge) - mu * from_edge * np.cos(m * np.pi)) / (mu**2 + m**2)
    harmonic = 2 / np.pi * (np.sin(at_edge) / m + cloth)
    powers = np.atleast_1d(q)[:, None] ** m
    return mean + (harmonic * powers * np.cos(m * np.atleast_1d(turned)[:, None])).sum(axis=1)


def round_arm_patch(patch: np.ndarray, radius_ratio: np.ndarray) -> np.ndarray:
    """Share of the bladder's pressure that a patch on the skin just outside the artery gives to it, (n,).

    patch: (n,) width over arm circumference, 0 to 1. What a wrinkle there takes away: the bladder is off the skin.
    Poisson's integral over the patch, in closed form.

    >>> round_arm_patch(np.array([0.0, 0.1]), np.array([0.35, 0.35])).round(3)
    array([0.   , 0.202])
    """
    q = np.asarray(radius_ratio)
    half = np.pi * np.minimum(patch, 0.999)
    return 2 / np.pi * np.arctan((1 + q) / (1 - q) * np.tan(half / 2))


@lru_cache(maxsize=1)
def _straight_pieces() -> tuple[np.ndarray, np.ndarray]:
    """Places to evaluate the share at, and the matrix from there to its best fit by straight pieces.

    Joined at PLACES_OVER_WIDTH, the pieces differ from the share by the least sum of squares: they cross it, so that
    what is summed along the artery errs far less than with pieces that touch the share at their ends.
    """
    node, weight = np.polynomial.legendre.leggauss(2)
    half = np.diff(PLACES_OVER_WIDTH)[:, None] / 2
    x = (PLACES_OVER_WIDTH[:-1, None] + half * (node + 1)).ravel()
    hats = np.array([np.interp(x, PLACES_OVER_WIDTH, hat) for hat in np.eye(len(PLACES_OVER_WIDTH))])
    weighted = hats * (half * weight).ravel()
    return x, np.linalg.solve(weighted @ hats.T, weighted)


@lru_cache(maxsize=1)
def _waves() -> tuple[np.ndarray, np.ndarray]:
    """Nodes and weights of the integral over wave numbers (Gauss-Legendre)."""
    node, weight = np.polynomial.legendre.leggauss(_WAVES)
    return (node + 1) * _HIGHEST_WAVE / 2, weight * _HIGHEST_WAVE / 2

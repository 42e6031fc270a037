"""From cuff to artery by direct integration: the plain equations, slow and with nothing tabulated.

Written from the equations alone, so that the engine's tables and approximations have something to be held to.

The arm is an incompressible elastic cylinder squeezed by an axisymmetric surface pressure: Rankin AW, J Appl Mech
1944;11:A77; Barton MV, J Appl Mech 1941;8:A97; applied to cuffs by Alexander H et al., Med Biol Eng Comput
1977;15:2-10, DOI 10.1007/BF02441568.
"""

from __future__ import annotations

import numpy as np
from scipy.integrate import quad, quad_vec
from scipy.optimize import brentq
from scipy.special import ive

FLANK = 0.10
"""Length of a bladder edge's slope, as a share of half the bladder's width."""
FRICTION = 0.12
"""Coefficient of friction between cloth and arm, past the bladder's edge."""

STIFFNESS_KPA = 40.0
"""Young's modulus of the arm's soft tissue at rest: between fat and muscle (see `sim.parameters`)."""
KPA_PER_MMHG = 0.133322387


def response(a: float, q: float) -> float:
    """Mean in-plane stress at radius q (arm's radius 1) under the surface pressure cos(a z).

    Poisson's ratio 1/2; the Bessel functions are scaled by exp(-a) and exp(-x), whence the factor at the end.
    """
    x = q * a
    i0, i1 = ive(0, a), ive(1, a)
    x0, x1 = ive(0, x), ive(1, x)
    beta = 1.0 + a * i0 / i1
    B = -1.0 / (-a * i1 + beta * (i0 - i1 / a))
    A = -beta * B
    return -(B * x0 - A * x0 / 2 - B * x0 - B * x * x1 / 2) * np.exp(x - a)


def along_arm(z_over_w: np.ndarray, width_ratio: float, q: float, flank: float = FLANK) -> np.ndarray:
    """Share of the cuff's pressure reaching the artery at each distance z / W from the bladder's middle.

    width_ratio: W over the arm's circumference; the arm's radius is the unit of length here, so W = 2 pi width_ratio.
    The integral over k runs until exp(-(1 - q) k) is nothing.
    """
    W = 2 * np.pi * width_ratio
    z = np.abs(np.asarray(z_over_w, dtype=float)) * W
    f = flank * W / 2

    def integrand(k: float) -> np.ndarray:
        edge = np.sinc(k * f / 2 / np.pi)  # numpy's sinc(u) is sin(pi u) / (pi u)
        return response(k, q) * np.sin(k * (W - f) / 2) / k * edge * np.cos(k * z)

    end = 45.0 / (1.0 - q)
    value, _ = quad_vec(integrand, 1e-9, end, epsabs=1e-9, epsrel=1e-9, limit=2000)
    return 2 / np.pi * value


def round_arm(coverage: float, turned_rad: float, q: float, friction: float = FRICTION, patch: float = 0.0) -> float:
    """Share of the cuff's pressure reaching the artery, from what presses round the arm.

    The pressure is whole under the bladder and falls off with friction past its nearer edge; what an elastic disk makes
    of it inside is the harmonic extension, Poisson's integral. Over the artery a share of the circumference, `patch`,
    may be without pressure (turned_rad 0 only).
    """
    half = np.pi * min(coverage, 1.0)

    def surface(angle: float) -> float:
        past = max(abs(angle) - half, 0.0)
        return np.exp(-friction * past)

    def integrand(angle: float) -> float:
        poisson = (1 - q * q) / (1 - 2 * q * np.cos(angle - turned_rad) + q * q)
        return surface(angle) * poisson / (2 * np.pi)

    kinks = sorted({-half, half, float((turned_rad + np.pi) % (2 * np.pi) - np.pi)})
    whole, _ = quad(integrand, -np.pi, np.pi, points=kinks, epsabs=1e-11, epsrel=1e-11, limit=400)
    bare, _ = quad(integrand, -np.pi * patch, np.pi * patch, epsabs=1e-11, epsrel=1e-11)
    return whole - bare


def skin_yield(a: float) -> float:
    """How far the skin yields under the pressure cos(a z) on an arm of radius 1, over that under an even pressure.

    Displacements A I1(ar) + c ar I0(ar) across, -((A + 2c) I0(ar) + c ar I1(ar)) along and the pressure 2 c a I0(ar)
    fulfil the equations of an incompressible body of shear modulus 1. A and c follow from a skin without shear under
    the normal stress -1. Under an even pressure 1 the skin yields by 1/6 (1/2E, E = 3).
    """
    i0, i1 = ive(0, a), ive(1, a)
    shear = [2 * i1, 2 * i1 + 2 * a * i0]
    across = [2 * (a * i0 - i1), 2 * (a * i0 + a * a * i1) - 2 * a * i0]
    A, c = np.linalg.solve([shear, across], [0.0, -1.0])
    return -(A * i1 + c * a * i0) * 6


def yield_at_the_end(width_ratio: float, flank: float = FLANK) -> float:
    """How far the skin yields under the end of a band, over that under an even pressure everywhere."""
    W = 2 * np.pi * width_ratio
    f = flank * W / 2

    def integrand(k: float) -> float:
        return skin_yield(k) * np.sin(k * (W - f) / 2) / k * np.sinc(k * f / 2 / np.pi) * np.cos(k * W / 2)

    pieces = [quad(integrand, start, start + 20, epsabs=1e-7, epsrel=1e-7, limit=400)[0] for start in range(0, 300, 20)]
    return 2 / np.pi * sum(pieces)


def squeezed_thinner(pressure_mmhg: float) -> float:
    """Share of its radius that a long arm loses under an even pressure: a rubber-like body stretched along by it."""
    over_shear_modulus = pressure_mmhg * KPA_PER_MMHG / (STIFFNESS_KPA / 3)
    longer = brentq(lambda s: s * s - 1 / s - over_shear_modulus, 0.9, 20.0)
    return 1 - 1 / np.sqrt(longer)


def contact_ratio(snug_ratio: float, pressure_mmhg: float, flank: float = FLANK) -> float:
    """Bladder width that presses, over the circumference: at each end as much is lost as the skin has yielded there."""
    thinner = squeezed_thinner(pressure_mmhg)

    def left(ratio: float) -> float:
        return ratio + 2 * thinner * yield_at_the_end(ratio, flank) / (2 * np.pi) - snug_ratio

    return brentq(left, 1e-4, snug_ratio, xtol=1e-6)

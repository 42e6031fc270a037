"""One arm under one cuff, noise-free, evaluated plainly: quadrature for volume, an ODE solver for the cuff's air."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.integrate import simpson, solve_ivp
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq, newton

from tests.reference.transmission import FLANK, along_arm, contact_ratio, round_arm

BAROMETRIC_MMHG = 760.0
AIR_ML, AIR_WIDTH_CM, AIR_LENGTH_CM = 200.0, 13.5, 26.0
VOLUME_HALF_LENGTH = 0.8
"""The volume under the cuff is counted over |z| <= 0.8 W, W without pressure."""
PRESSURES_MMHG = np.array([0.0, 20, 50, 85, 120, 165, 210, 255, 300, 350])
"""Where the share along the arm is worked out; between them it is a smooth curve."""


@dataclass(frozen=True)
class Arm:
    """One arm, artery and cuff. Lengths in cm, pressures in mmHg, volumes in mL.

    area_cm2_per_mmhg is the scale of the artery's law: the area is this times the law, which is in mmHg.
    """

    width_cm: float = 13.5
    length_cm: float = 26.0
    circumference_cm: float = 29.0
    q: float = 0.35
    a: float = 4.0
    b: float = 20.0
    area_cm2_per_mmhg: float = 1e-3
    turned_rad: float = 0.0
    slant_rad: float = np.pi / 2
    slack_cm: float = 0.0
    sleeve_cm: float = 0.0
    polytropic_index: float = 1.0
    cloth_ml_per_mmhg: float = 0.0
    flank: float = FLANK
    law: str = "exponential"
    points: int = 321

    @property
    def squeezed_cm(self) -> float:
        """Circumference of what the cuff squeezes: the arm and its sleeve."""
        return self.circumference_cm + 2 * np.pi * self.sleeve_cm

    @property
    def snug_cm(self) -> float:
        """Bladder width on the arm without pressure.

        Slack s leaves a gap s / 2 pi, lost at each end. A cylinder W long that fits a cone in the middle has a gap of
        W / 2 times the cone's taper at the thinner end, lost there.
        """
        taper = np.cos(self.slant_rad) / np.sin(self.slant_rad)
        return self.width_cm * (1 - taper / 2) - self.slack_cm / np.pi

    @property
    def places_cm(self) -> np.ndarray:
        """The points along the arm, from the bladder's middle."""
        return np.linspace(0.0, VOLUME_HALF_LENGTH * self.snug_cm, self.points)

    @cached_property
    def share(self) -> CubicSpline:
        """Share of the cuff's pressure at each of the points, by the cuff's pressure."""
        g = round_arm(self.length_cm / self.squeezed_cm, self.turned_rad, self.q)
        snug = self.snug_cm / self.squeezed_cm
        shares = []
        for pressure in PRESSURES_MMHG:
            ratio = contact_ratio(snug, pressure, self.flank)
            shares.append(along_arm(self.places_cm / (ratio * self.squeezed_cm), ratio, self.q, self.flank) * g)
        return CubicSpline(PRESSURES_MMHG, shares)

    @cached_property
    def weight_cm(self) -> np.ndarray:
        """Simpson's weights for an integral along the arm over those points, both sides of the middle."""
        step = VOLUME_HALF_LENGTH * self.snug_cm / (self.points - 1)
        return 2 * simpson(np.eye(self.points), dx=step, axis=1)

    def area(self, transmural: np.ndarray) -> np.ndarray:
        """Cross-section of the artery [cm2] at a transmural pressure."""
        if self.law == "arctangent":
            width = np.where(transmural < 0, self.a, self.b)
            return self.area_cm2_per_mmhg * (self.a + 2 * width / np.pi * np.arctan(np.pi * transmural / (2 * width)))
        below, above = np.minimum(transmural, 0.0), np.maximum(transmural, 0.0)
        law = np.where(transmural < 0, self.a * np.exp(below / self.a), self.a + self.b * (1 - np.exp(-above / self.b)))
        return self.area_cm2_per_mmhg * law

    def area_slope(self, transmural: np.ndarray) -> np.ndarray:
        """Change of the cross-section with pressure [cm2/mmHg]."""
        if self.law == "arctangent":
            width = np.where(transmural < 0, self.a, self.b)
            return self.area_cm2_per_mmhg / (1 + (np.pi * transmural / (2 * width)) ** 2)
        return self.area_cm2_per_mmhg * np.exp(np.minimum(transmural / self.a, -transmural / self.b))

    def volume(self, arterial: np.ndarray | float, cuff: np.ndarray | float) -> np.ndarray:
        """Volume of the artery under the cuff [mL], for one pair of pressures or for arrays of them."""
        return self.area(self._transmural(arterial, cuff)) @ self.weight_cm

    def volume_slopes(self, arterial: np.ndarray | float, cuff: np.ndarray | float) -> tuple[np.ndarray, np.ndarray]:
        """Change of that volume with the arterial pressure and with the cuff's [mL/mmHg]."""
        slope = self.area_slope(self._transmural(arterial, cuff))
        outside_slope = self.share(cuff) + self.share(cuff, 1) * np.asarray(cuff)[..., None]
        return slope @ self.weight_cm, -(slope * outside_slope) @ self.weight_cm

    def _transmural(self, arterial: np.ndarray | float, cuff: np.ndarray | float) -> np.ndarray:
        """Pressure inside less outside, at each point along the arm (the last axis)."""
        return np.asarray(arterial)[..., None] - self.share(cuff) * np.asarray(cuff)[..., None]

    @property
    def air_ml(self) -> float:
        """Air in the cuff, in proportion to the bladder's width times length."""
        return AIR_ML * self.width_cm * self.length_cm / (AIR_WIDTH_CM * AIR_LENGTH_CM)

    def compliance(self, cuff: np.ndarray | float) -> np.ndarray:
        """What the cuff's air and cloth give [mL/mmHg]."""
        return self.air_ml / (self.polytropic_index * (BAROMETRIC_MMHG + np.asarray(cuff))) + self.cloth_ml_per_mmhg

    def room(self, cuff: np.ndarray | float) -> np.ndarray:
        """The integral of the compliance over the cuff's pressure [mL]: what air and cloth have given."""
        air = self.air_ml / self.polytropic_index * np.log((BAROMETRIC_MMHG + np.asarray(cuff)) / BAROMETRIC_MMHG)
        return air + self.cloth_ml_per_mmhg * np.asarray(cuff)

    def pulse_height(self, sbp: float, dbp: float, at_diastole: float) -> float:
        """Rise of a closed cuff's pressure as the artery goes from dbp to sbp, from `at_diastole` [mmHg]."""
        held = self.room(at_diastole) - self.volume(dbp, at_diastole)

        def left(cuff: float) -> float:
            return float(self.room(cuff) - self.volume(sbp, cuff) - held)

        return brentq(left, at_diastole, at_diastole + 60.0, xtol=1e-10) - at_diastole

    def cuff_pressure(
        self,
        time_s: np.ndarray,
        arterial: Callable[[float], float],
        arterial_slope: Callable[[float], float],
        start_mmhg: float,
        rate: float,
        tolerance: float = 1e-8,
    ) -> np.ndarray:
        """Cuff pressure at each time, from `start_mmhg` at the first; the valve lets it fall by `rate` [mmHg/s].

        Solves dPc/dt = -rate + (1/C) dV/dt with V = V(P(t), Pc(t)) as it stands: dV/dt has a part from the artery's
        pulse and a part from the cuff's own change, which is brought to the left.
        """

        def derivative(t: float, state: np.ndarray) -> list[float]:
            cuff = float(state[0])
            by_artery, by_cuff = self.volume_slopes(arterial(t), cuff)
            C = self.compliance(cuff)
            return [float((-rate + by_artery * arterial_slope(t) / C) / (1 - by_cuff / C))]

        return _solve(derivative, time_s, start_mmhg, tolerance, max_step=0.02)

    def cuff_pressure_by_balance(
        self, time_s: np.ndarray, arterial: Callable[[np.ndarray], np.ndarray], start_mmhg: float, rate: float
    ) -> np.ndarray:
        """The same, from the same equation times C and summed: d/dt [room(Pc) - V(P, Pc)] = -rate C(Pc).

        No slope of the pulse is needed and the left side changes smoothly, so a solver is quick and sure; the pressure
        is found from it by Newton's method at each time.
        """
        start = np.asarray(start_mmhg, dtype=float)

        def pressure(t: np.ndarray, balance: np.ndarray, guess: np.ndarray) -> np.ndarray:
            artery = arterial(t)
            return newton(
                lambda cuff: self.room(cuff) - self.volume(artery, cuff) - balance,
                guess,
                fprime=lambda cuff: self.compliance(cuff) - self.volume_slopes(artery, cuff)[1],
                tol=1e-9,
            )

        def course(t: np.ndarray) -> np.ndarray:
            return start - rate * (t - time_s[0])

        def derivative(t: float, state: np.ndarray) -> np.ndarray:
            at = np.array([t])
            return -rate * self.compliance(pressure(at, state, course(at)))

        first = float(self.room(start) - self.volume(arterial(time_s[:1]), start)[0])
        balance = _solve(derivative, time_s, first, 1e-6, max_step=0.25)
        return pressure(time_s, balance, course(time_s))


def _solve(
    derivative: Callable[[float, np.ndarray], object],
    time_s: np.ndarray,
    first: float,
    tolerance: float,
    max_step: float,
) -> np.ndarray:
    """The solution at each time of an ordinary differential equation in one variable."""
    solved = solve_ivp(
        derivative, (time_s[0], time_s[-1]), [first], t_eval=time_s, rtol=tolerance, atol=1e-6, max_step=max_step
    )
    if not solved.success:
        raise ArithmeticError(solved.message)
    return solved.y[0]

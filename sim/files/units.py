"""Units of pressure in files, and what a recording may hold."""

from __future__ import annotations

from decimal import Context, Decimal

from sim.texts import decimal

# One kPa in mmHg: the conventional mmHg is 133.322387415 Pa (BS 350-1:1974, from memory). scipy.constants has 1/760 of
# an atmosphere, which is less by 1.4e-7 of it.
MMHG_PER_KPA = Decimal(1000) / Decimal("133.322387415")
UNITS = ("mmHg", "kPa")

# Pressures and rates that a recording of a cuff can have; beyond them a file holds something else.
PRESSURE_MMHG = (-50.0, 400.0)
SAMPLING_HZ = (20.0, 2000.0)
MOST_SAMPLES = 2_000_000

# Digits with which a double passes through another unit and comes back as it was.
_DIGITS = Context(prec=22)


# A cuff that never reaches this closes nobody's artery: it may be kPa under the name of mmHg [mmHg]. Chosen: 48 kPa are
# 360 mmHg, more than cuffs are filled to, and a recording that never passes 48 mmHg cannot be read anyway.
_LOWEST_TOP = 48.0


def suspicion(highest_mmhg: float) -> str:
    """What is to be said of a recording whose highest pressure [mmHg] looks like another unit's, or nothing.

    >>> suspicion(24.0)
    'The highest pressure is 24 mmHg. Is it kPa? 24 kPa are 180 mmHg. If so, name the unit kPa in the file.'
    """
    if not 5 < highest_mmhg < _LOWEST_TOP:
        return ""
    return (
        f"The highest pressure is {highest_mmhg:.0f} mmHg. Is it kPa? {highest_mmhg:.0f} kPa are "
        f"{highest_mmhg * float(MMHG_PER_KPA):.0f} mmHg. If so, name the unit kPa in the file."
    )


def to_mmhg(text: str, unit: str) -> float:
    """A number in `unit`, as text, in mmHg. Raises ValueError or ArithmeticError where it is
    no number."""
    if unit == "mmHg":
        return decimal(text)
    decimal(text)  # what Decimal would take besides is refused
    return float(_DIGITS.multiply(Decimal(text.strip()), MMHG_PER_KPA))


def from_mmhg(pressure_mmhg: float, unit: str) -> str:
    """A pressure as text in `unit`, with as many digits as bring it back exactly.

    >>> from_mmhg(120.0, "mmHg"), to_mmhg(from_mmhg(120.1, "kPa"), "kPa")
    ('120.0', 120.1)
    """
    if unit == "mmHg":
        return repr(float(pressure_mmhg))
    return str(_DIGITS.divide(Decimal(float(pressure_mmhg)), MMHG_PER_KPA))

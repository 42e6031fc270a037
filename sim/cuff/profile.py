"""A device described in a file: a device profile, TOML with fields of the instrument under their own names.

    about = "Falls by steps, with a converter of 10 bits"
    course = "steps"
    step_mmhg = 8
    converter_bits = 10

What a profile leaves out is as the instrument has it. `about` says in words what the device does and is no field.
"""

from __future__ import annotations

import difflib
import tomllib
from importlib import resources
from pathlib import Path
from typing import Any

from sim.cuff.instrument import Instrument
from sim.fields import FieldError
from sim.texts import one_line

ENDING = ".toml"
ABOUT = "about"
# The largest profile [bytes]: chosen, many times what all fields with comments take.
_MOST_BYTES = 65_536


class ProfileError(ValueError):
    """A profile that cannot be used, in one line: the file, and where it applies the key, its value and the range."""


def names() -> list[str]:
    """The profiles that come with the program.

    >>> names()
    ['early-stop', 'per-beat', 'steps', 'worn']
    """
    folder = resources.files("sim.cuff").joinpath("profiles")
    return sorted(file.name.removesuffix(ENDING) for file in folder.iterdir() if file.name.endswith(ENDING))


def profile(given: str | Path) -> Instrument:
    """The instrument of a profile: the name of one that comes with the program, or a file that ends in .toml.

    Fields are scalars, in the units of the instrument. Raises ProfileError.

    >>> float(profile("per-beat").deflation_mmhg_per_beat)
    3.0
    """
    if str(given) in names():
        name = f"{given}{ENDING}"
        return from_text(resources.files("sim.cuff").joinpath("profiles", name).read_text(encoding="utf-8"), name)
    file = Path(given)
    if file.suffix != ENDING:
        raise ProfileError(f"{_told(given)}: must be a file that ends in {ENDING}, or one of {', '.join(names())}")
    try:
        with file.open("rb") as opened:
            content = opened.read(_MOST_BYTES + 1)
    except (OSError, ValueError) as error:  # a name may hold a character that no name can
        raise ProfileError(f"{_told(given)}: cannot be read: {getattr(error, 'strerror', None) or error}") from None
    if len(content) > _MOST_BYTES:
        raise ProfileError(f"{_told(given)}: must be at most {_MOST_BYTES // 1024} KiB")
    try:
        return from_text(content.decode("utf-8"), str(given))
    except UnicodeDecodeError:
        raise ProfileError(f"{_told(given)}: must be text in UTF-8") from None


def from_text(text: str, name: str) -> Instrument:
    """The instrument of a profile's text, fields as scalars; `name`: of its file. Raises ProfileError.

    >>> from_text("step_mmhg = 40", "my_device.toml")
    Traceback (most recent call last):
        ...
    sim.cuff.profile.ProfileError: my_device.toml: step_mmhg = 40: must be from 6 to 20 mmHg
    """
    try:
        found = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise ProfileError(f"{_told(name)}: is no TOML: {_told(error)}") from None
    about = found.pop(ABOUT, "")
    if not isinstance(about, str):
        raise ProfileError(f"{_told(name)}: {ABOUT} = {_told(about)}: must be a text")
    values = {key: _value(key, value, name) for key, value in found.items()}
    return Instrument(**values)


def _value(key: str, value: Any, name: str) -> Any:
    """The value of a key, checked. Raises ProfileError."""
    limit = Instrument.LIMITS.get(key)
    if limit is None:
        known = [*Instrument.LIMITS, ABOUT]
        near = difflib.get_close_matches(key, known, n=1)
        allowed = f"a field of the instrument (perhaps {near[0]})" if near else f"one of {', '.join(known)}"
        raise ProfileError(f"{_told(name)}: {_told(key)} = {_told(value)}: must be {allowed}")
    try:
        return limit.one(key, value)
    except FieldError as error:
        raise ProfileError(f"{_told(name)}: {key} = {_told(error.value)}: must be {error.allowed}") from None


def _told(value: object) -> str:
    """A name or a value as a message has it."""
    return one_line(str(value), 120)

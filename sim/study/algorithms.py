"""Estimators by name, or from one's own file: "fixed-ratio", or "my_algorithm.py:estimate"."""

from __future__ import annotations

import importlib.util
import sys
from functools import lru_cache
from pathlib import Path

from sim.estimate.fixed_ratio import FixedRatio
from sim.fields import FieldError
from sim.measurement import Estimator

NAMED: dict[str, Estimator] = {"fixed-ratio": FixedRatio()}


def resolved(given: str | Estimator) -> Estimator:
    """The estimator that a name or "file.py:name" stands for. Raises FieldError, naming what was not found."""
    return _load(given) if isinstance(given, str) else given


def source_of(given: str) -> bytes | None:
    """The text of the file that "file.py:name" is in, None for a name. Raises FieldError."""
    if given in NAMED:
        return None
    file, _ = _split(given)
    try:
        return file.read_bytes()
    except OSError as error:
        raise FieldError("estimator", repr(given), f"in a file that can be read ({error.strerror})") from None


@lru_cache(maxsize=64)
def _load(given: str) -> Estimator:
    if given in NAMED:
        return NAMED[given]
    file, name = _split(given)
    if not file.is_file():
        raise FieldError("estimator", repr(given), f"in a file that exists; there is no {file}")
    spec = importlib.util.spec_from_file_location(f"estimator_{file.stem}", file)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    try:  # somebody's own file: whatever goes wrong in it is told in one line
        spec.loader.exec_module(module)
    except Exception as error:
        raise FieldError("estimator", repr(given), f"a file that runs ({type(error).__name__}: {error})") from error
    found = getattr(module, name, None)
    if not callable(found):
        raise FieldError("estimator", repr(given), f"the name of a function in {file.name}; there is no {name!r}")
    return found


def _split(given: str) -> tuple[Path, str]:
    file, colon, name = given.rpartition(":")
    if not colon or not file.endswith(".py"):
        raise FieldError("estimator", repr(given), f"one of {', '.join(NAMED)}, or file.py:name")
    return Path(file), name

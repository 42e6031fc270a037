"""Estimators by name, or from one's own file: "fixed-ratio", or "my_algorithm.py:estimate"."""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import ModuleType

from sim.estimate.checked import checked, where
from sim.estimate.corrected_ratio import CorrectedRatio
from sim.estimate.fixed_ratio import FixedRatio
from sim.estimate.model_fit import ModelFit
from sim.estimate.slope import Slope
from sim.fields import FieldError
from sim.results import Reading, Recording

Estimator = Callable[[Recording], Reading]

NAMED: dict[str, Estimator] = {
    "fixed-ratio": FixedRatio(),
    "slope": Slope(),
    "model-fit": ModelFit(),
    "corrected-ratio": CorrectedRatio(),
}
# What each does, in words.
LABELS = {
    "fixed-ratio": "fixed shares of the envelope's peak",
    "slope": "steepest slopes of the envelope",
    "model-fit": "fit of an artery's model to the beats, with an uncertainty",
    "corrected-ratio": "fixed shares, corrected for the envelope's width and the pulses' shape",
}


@dataclass(frozen=True)
class FromFile:
    """An estimator out of one's own file; call it with a recording.

    It carries the file's text, so that it can be pickled and runs alike in another process. Raises EstimatorError where
    it fails or gives no reading.

    path: of the file; name: of the estimator in it; text: of the file when it was loaded
    """

    path: str
    name: str
    text: str

    def __call__(self, recording: Recording) -> Reading:
        """Readings of n recordings."""
        return checked(f"{Path(self.path).name}:{self.name}", _found(self), recording)


def resolved(given: str | Estimator) -> Estimator:
    """The estimator that a name or "file.py:name" stands for; an estimator stands for itself. Raises FieldError."""
    if not isinstance(given, str):
        return given
    return NAMED[given] if given in NAMED else load(given)


def load(given: str) -> FromFile:
    """The estimator in one's own file, "file.py:name": a function, a class without arguments, or an instance.

    The file is run. Raises FieldError, naming what was not found, what failed and in which line, or what cannot be
    called.
    """
    path, name = _split(given)
    found = FromFile(str(path.resolve()), name, _text(given, path))
    _found(found)
    return found


def source_of(given: str) -> bytes | None:
    """The text of the file that "file.py:name" is in, None for one of the names above. Raises FieldError."""
    if given in NAMED:
        return None
    return _text(given, _split(given)[0]).encode()


def _split(given: str) -> tuple[Path, str]:
    file, colon, name = given.rpartition(":")
    if not colon or not file.endswith(".py") or not name.isidentifier():
        raise FieldError("estimator", repr(given), f"one of {', '.join(NAMED)}, or file.py:name")
    return Path(file), name


def _text(given: str, path: Path) -> str:
    if not path.is_file():
        raise FieldError("estimator", repr(given), f"in a file that exists; there is no {path}")
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        why = error.strerror if isinstance(error, OSError) else "it is no text in UTF-8"
        raise FieldError("estimator", repr(given), f"in a file that can be read ({why})") from None


@lru_cache(maxsize=64)
def _found(file: FromFile) -> Estimator:
    """The estimator itself. Raises FieldError."""
    given = f"{Path(file.path).name}:{file.name}"
    found = getattr(_module(file, given), file.name, None)
    if isinstance(found, type):
        try:  # somebody's own class
            found = found()
        except Exception as error:
            allowed = f"the name of a class that needs no arguments ({type(error).__name__}: {error}{where(error)})"
            raise FieldError("estimator", repr(given), allowed) from error
    if found is None:
        raise FieldError("estimator", repr(given), f"the name of a function in the file; there is no {file.name!r}")
    if not callable(found):
        allowed = f"the name of something that can be called with a recording; it is a {type(found).__name__}"
        raise FieldError("estimator", repr(given), allowed)
    return found


def _module(file: FromFile, given: str) -> ModuleType:
    """The file, run as a module that may import what lies beside it. Raises FieldError where it fails."""
    path = Path(file.path)
    module = ModuleType(f"estimator_{path.stem}_{hashlib.sha256(file.text.encode()).hexdigest()[:8]}")
    module.__file__ = file.path
    sys.modules[module.__name__] = module
    beside = str(path.parent)
    sys.path.insert(0, beside)
    try:  # somebody's own file
        exec(compile(file.text, file.path, "exec"), module.__dict__)
    except SyntaxError as error:
        allowed = f"in a file that is Python (line {error.lineno}: {error.msg})"
        raise FieldError("estimator", repr(given), allowed) from error
    except (Exception, SystemExit) as error:
        allowed = f"in a file that runs ({type(error).__name__}: {error}{where(error)})"
        raise FieldError("estimator", repr(given), allowed) from error
    finally:
        sys.path.remove(beside)
    return module

"""Simulated arms whose true pressure is known, measured with a cuff, and why the number differs."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"
PARAMETERS_VERSION = "4"

if TYPE_CHECKING:
    from sim.body.subject import Subject
    from sim.cuff.instrument import Instrument
    from sim.explain.breakdown import breakdown
    from sim.fields import FieldError
    from sim.measurement import measure
    from sim.technique import Technique

# Loaded when first used, so that `import sim` and `cuffbias --help` do not wait for scipy.
_PUBLIC = {
    "FieldError": "sim.fields",
    "Instrument": "sim.cuff.instrument",
    "Subject": "sim.body.subject",
    "Technique": "sim.technique",
    "breakdown": "sim.explain.breakdown",
    "measure": "sim.measurement",
}
__all__ = [
    "PARAMETERS_VERSION",
    "FieldError",
    "Instrument",
    "Subject",
    "Technique",
    "__version__",
    "breakdown",
    "measure",
]


def __getattr__(name: str) -> Any:
    if name not in _PUBLIC:
        raise AttributeError(f"module 'sim' has no attribute {name!r}")
    return getattr(importlib.import_module(_PUBLIC[name]), name)

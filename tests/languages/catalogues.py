"""The command that brings catalogues up to date, as a module, and what the tests of languages share."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

from sim.say import ENGLISH, LANGUAGES

ROOT = Path(__file__).resolve().parents[2]
OTHERS = [name for name in LANGUAGES if name != ENGLISH]


def command() -> ModuleType:
    """`.ci/catalogue.py`."""
    found = importlib.util.spec_from_file_location("catalogue", ROOT / ".ci" / "catalogue.py")
    assert found is not None
    assert found.loader is not None
    module = importlib.util.module_from_spec(found)
    found.loader.exec_module(module)
    return module

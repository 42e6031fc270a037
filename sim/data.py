"""The data files that stand beside the code: published figures, each with its source."""

from __future__ import annotations

import tomllib
from importlib import resources
from typing import Any


def data(package: str, name: str) -> dict[str, Any]:
    """The contents of a TOML file in a package, such as data("sim.cuff", "bladders.toml")."""
    return tomllib.loads(resources.files(package).joinpath(name).read_text(encoding="utf-8"))

"""Prints the oldest versions that pyproject.toml allows, one a line: requirements and constraints for pip.

python3 .ci/floors.py > floors.txt && pip install -r floors.txt
"""

import re
import tomllib
from pathlib import Path

SETTINGS = Path(__file__).resolve().parent.parent / "pyproject.toml"
PARTS = ("test", "cluster")


def floors(project: dict) -> list[str]:
    """'name==oldest' for each dependency and those of the extras in PARTS. Raises ValueError where one has no floor."""
    name = project["name"]
    asked = [*project["dependencies"], *(line for part in PARTS for line in project["optional-dependencies"][part])]
    found = []
    for line in asked:
        if line.startswith(f"{name}["):
            continue  # another of its own extras
        known = re.fullmatch(r"([\w.-]+)>=([\d.]+)", line)
        if known is None:
            raise ValueError(f"{line}: must be NAME>=VERSION, so that its floor can be tried")
        found.append(f"{known[1]}=={known[2]}")
    return found


if __name__ == "__main__":
    print(*floors(tomllib.loads(SETTINGS.read_text(encoding="utf-8"))["project"]), sep="\n")  # noqa: T201 - a script's answer

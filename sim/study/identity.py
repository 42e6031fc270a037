"""What the readings of a study depend on besides its inputs: the program, and each estimator with all it stands on."""

from __future__ import annotations

import hashlib
import io
import os
import pickle
import sys
import uuid
from functools import lru_cache
from pathlib import Path
from typing import Any

from sim.estimate.from_file import FromFile
from sim.estimate.traced import is_own
from sim.results import Estimator

# Marks an estimator of which nobody knows what it stands on: its study goes on only in the process that began it.
OBJECT = "an object of one's own"
# Such objects of this process, kept so that no other one gets the same number.
_objects: dict[int, tuple[Estimator, str]] = {}
# What makes no readings.
_BESIDE = {"explain", "figures", "files", "logs", "teach", "screens", "commands"}


@lru_cache(maxsize=1)
def program() -> str:
    """SHA-256 of the parts of this program that make readings: a study does not go on with another model."""
    root = Path(__file__).resolve().parent.parent
    parts = [path for suffix in ("py", "toml") for path in root.rglob(f"*.{suffix}")]
    known = {path.relative_to(root).as_posix(): path for path in parts}
    found = hashlib.sha256()
    for name in sorted(known):
        if name.partition("/")[0] not in _BESIDE:
            found.update(f"{name} {hashlib.sha256(known[name].read_bytes()).hexdigest()}\n".encode())
    return found.hexdigest()


def identity(estimator: Estimator) -> dict[str, Any]:
    """What tells two estimators apart, as plain values.

    That of one's own file: its name, and the digests of the file, of what it imports and of what it reads. One of this
    program: its settings. Any other object: a number that no other one has, since nobody can know what it stands on.
    """
    if isinstance(estimator, FromFile):
        return {"name": estimator.name, "files": _files(estimator)}
    name = type(estimator).__qualname__
    try:
        pickled = pickle.dumps(estimator)
    except (pickle.PicklingError, AttributeError, TypeError):
        pickled = b""
    if pickled and _of_libraries(pickled):
        return {"name": name, "sha256": hashlib.sha256(pickled).hexdigest()}
    return {"name": getattr(estimator, "__qualname__", name), "is": OBJECT, "number": _number(estimator)}


def changed(before: Any, now: dict[str, Any]) -> str:
    """In words, what is not as it was between two identities of estimators of one name; "" where all is.

    before: as a file says it, whatever that is
    """
    if before == now:
        return ""
    if now.get("is") == OBJECT:
        return "was given as an object, so that nobody knows what it imports and reads: give it as file.py:name"
    old, new = before.get("files") if isinstance(before, dict) else None, now.get("files")
    if isinstance(old, dict) and isinstance(new, dict) and old != new:
        return f"has changed since ({', '.join(n for n in sorted(old | new) if old.get(n) != new.get(n))})"
    return "has changed since"


def _number(estimator: Estimator) -> str:
    """A number of this very object in this very process."""
    return _objects.setdefault(id(estimator), (estimator, uuid.uuid4().hex))[1]


def _files(estimator: FromFile) -> dict[str, str]:
    """Digest of each file by its path from the estimator's own: a folder may be moved as a whole."""
    beside = Path(estimator.path).parent
    own = {Path(estimator.path).name: hashlib.sha256(estimator.text.encode()).hexdigest()}
    for path, digest in estimator.imports + estimator.files:
        inside = Path(path).is_relative_to(beside)
        own[Path(os.path.relpath(path, beside)).as_posix() if inside else path] = digest
    return own


class _Seen(pickle.Unpickler):
    """Takes a pickle apart, and keeps the names of the modules that it refers to."""

    def __init__(self, pickled: bytes) -> None:
        super().__init__(io.BytesIO(pickled))
        self.modules: set[str] = set()

    def find_class(self, module: str, name: str) -> Any:
        self.modules.add(module)
        return super().find_class(module, name)


def _of_libraries(pickled: bytes) -> bool:
    """Whether all that a pickle refers to belongs to Python, to installed libraries or to this program."""
    seen = _Seen(pickled)
    try:  # somebody's own object: anything may go wrong with it
        seen.load()
    except Exception:  # noqa: BLE001 - then nobody knows
        return False
    files = [getattr(sys.modules.get(name), "__file__", None) or "" for name in seen.modules]
    return "__main__" not in seen.modules and not any(path and is_own(path) for path in files)

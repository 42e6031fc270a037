"""An estimator out of one's own file, "my_algorithm.py:estimate", and all that it stands on."""

from __future__ import annotations

import hashlib
import sys
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

from sim.estimate.checked import EstimatorError, where
from sim.estimate.traced import Digests, Home, Trace, digest, traced
from sim.fields import FieldError
from sim.results import Estimator, Reading, Recording

# So many estimators of one's own stay loaded in a process, the last ones. Chosen: more than anyone compares at a time;
# with fewer, one that comes again is loaded again, which takes longer and changes nothing.
_MOST_LOADED = 64


@dataclass(frozen=True)
class FromFile:
    """An estimator out of one's own file.

    It carries the file's text, so that it can be pickled and runs alike in another process. What the file imports and
    opens does not travel: the other process refuses to work with anything else than was there when this was loaded.

    path: of the file; name: of the estimator in it; text: of the file when it was loaded
    imports: files of the modules that it imported, with their digests; files: others that it read, likewise; both while
        it was loaded and while it read a trial recording
    """

    path: str
    name: str
    text: str
    imports: Digests = ()
    files: Digests = ()

    @property
    def shown(self) -> str:
        """What it is called in messages: the file's own name, and that of the estimator."""
        return f"{Path(self.path).name}:{self.name}"

    def __call__(self, recording: Recording) -> Reading:
        """What it reads from n recordings, as it gives it; `sim.estimate.door.read` makes a reading of it.

        Raises EstimatorError where this process would have to load it and finds it changed.
        """
        found = _loaded(self)
        with found.home:
            return found.estimator(recording)

    def check_files(self) -> None:
        """Raises EstimatorError where a file that it reads has changed since it was loaded."""
        self._check(self.files)

    def _check(self, known: Digests) -> None:
        changed = [Path(path).name for path, before in known if digest(path) != before]
        if changed:
            raise EstimatorError(
                f"{self.shown}: {', '.join(changed)} has changed since the algorithm was loaded, or is gone; begin anew"
            )


@dataclass(frozen=True, eq=False)
class _Loaded:
    """An estimator that is ready, and where it finds what it imports."""

    estimator: Estimator
    home: Home


# What this process has loaded, the oldest first.
_ready: dict[FromFile, _Loaded] = {}


def load(given: str) -> FromFile:
    """The estimator in one's own file, "file.py:name": a function, a class without arguments, or an instance.

    The file is run, and reads two trial recordings, arrays of shape (2, m), so that what it imports and opens is known.
    Raises FieldError, naming what was not found, what failed and in which line, or what cannot be called.
    """
    parts = split(given)
    if parts is None:
        raise FieldError("estimator", repr(given), "file.py:name")
    path, name = parts
    plain = FromFile(str(path.resolve()), name, _text(given, path))
    ready, trace = _run(plain)
    found = FromFile(plain.path, name, plain.text, trace.imports(plain.path), trace.files(plain.path))
    _keep(found, ready)
    return found


def split(given: str) -> tuple[Path, str] | None:
    """File and name of "file.py:name"; None where it is no such text."""
    file, colon, name = given.rpartition(":")
    return (Path(file), name) if colon and file.endswith(".py") and name.isidentifier() else None


def _text(given: str, path: Path) -> str:
    if not path.is_file():
        raise FieldError("estimator", repr(given), f"in a file that exists; there is no {path}")
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        why = error.strerror if isinstance(error, OSError) else "it is no text in UTF-8"
        raise FieldError("estimator", repr(given), f"in a file that can be read ({why})") from None


def _loaded(file: FromFile) -> _Loaded:
    """The estimator itself, loaded where this process has not yet. Raises FieldError, EstimatorError."""
    if file not in _ready:
        file._check(file.imports + file.files)
        _keep(file, _run(file)[0])
    return _ready[file]


def _keep(file: FromFile, ready: _Loaded) -> None:
    _ready[file] = ready
    while len(_ready) > _MOST_LOADED:
        _ready.pop(next(iter(_ready)))


def _run(file: FromFile) -> tuple[_Loaded, Trace]:
    """The file run and tried, and what it imported and opened. Raises FieldError."""
    folder = str(Path(file.path).parent)
    with traced(folder) as trace:
        estimator = _found(file, _module(file))
        _try(estimator)
    return _Loaded(estimator, Home(folder, trace.modules)), trace


def _try(estimator: Estimator) -> None:
    """Let it read two recordings. What it says of them is nobody's concern here, nor whether it fails."""
    from sim.record import record  # here, so that a file is found wanting without waiting for scipy
    from sim.setup import Setup

    recording, _ = record(Setup().spread(2).fitted(), None)
    try:  # somebody's own code: it fails again where its reading is wanted, and is told there
        estimator(recording)
    except (Exception, SystemExit):  # noqa: BLE001 - see above
        return


def _found(file: FromFile, module: ModuleType) -> Estimator:
    """The estimator in the module. Raises FieldError."""
    found = getattr(module, file.name, None)
    if isinstance(found, type):
        try:  # somebody's own class
            found = found()
        except Exception as error:
            allowed = f"the name of a class that needs no arguments ({type(error).__name__}: {error}{where(error)})"
            raise FieldError("estimator", repr(file.shown), allowed) from error
    if found is None:
        allowed = f"the name of a function in the file; there is no {file.name!r}"
        raise FieldError("estimator", repr(file.shown), allowed)
    if not callable(found):
        allowed = f"the name of something that can be called with a recording; it is a {type(found).__name__}"
        raise FieldError("estimator", repr(file.shown), allowed)
    estimator: Estimator = found
    return estimator


def _module(file: FromFile) -> ModuleType:
    """The file, run as a module. Raises FieldError where it fails."""
    module = ModuleType(f"estimator_{Path(file.path).stem}_{hashlib.sha256(file.text.encode()).hexdigest()[:8]}")
    module.__file__ = file.path
    sys.modules[module.__name__] = module
    try:  # somebody's own file
        exec(compile(file.text, file.path, "exec"), module.__dict__)
    except SyntaxError as error:
        allowed = f"in a file that is Python (line {error.lineno}: {error.msg})"
        raise FieldError("estimator", repr(file.shown), allowed) from error
    except (Exception, SystemExit) as error:
        allowed = f"in a file that runs ({type(error).__name__}: {error}{where(error)})"
        raise FieldError("estimator", repr(file.shown), allowed) from error
    return module

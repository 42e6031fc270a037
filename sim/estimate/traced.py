"""What somebody's own code stands on: the modules that it imports, and the files that it reads.

Modules of Python itself, of installed libraries and of this program are left out. Files are seen where Python opens
them (`open`, `numpy.load`, `Path.read_text`, a database of sqlite3). What a library opens in compiled code of its own
cannot be seen: for its sake, a file that the code names in a text counts as read, too.
"""

from __future__ import annotations

import ast
import hashlib
import importlib
import os
import sys
import sysconfig
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from types import ModuleType

# Path and SHA-256 of its content, "" where there is no such file.
Digests = tuple[tuple[str, str], ...]


def _folders(*paths: str | Path) -> tuple[str, ...]:
    """Starts of the paths of all that lies in these folders, which may be reached by a link."""
    return tuple(f"{path}{os.sep}" for folder in paths for path in (Path(folder), Path(folder).resolve()))


_LEFT_OUT = _folders(
    Path(__file__).parent.parent,
    sysconfig.get_path("stdlib"),
    sysconfig.get_path("platstdlib"),
    "/proc",
    "/sys",
    "/dev",
)
_LIBRARIES = {"site-packages", "dist-packages", "__pycache__"}
_PROCESS = ("__main__", "__mp_main__")
# Longer texts are no names of files: common file systems allow 255 bytes (common practice).
_LONGEST_NAME = 250
_watched = threading.local()


class Trace:
    """What was imported and opened while code was traced.

    modules: those that were imported, by name; opened, written: paths of files
    """

    def __init__(self) -> None:
        self.modules: dict[str, ModuleType] = {}
        self.opened: set[str] = set()
        self.written: set[str] = set()

    def imports(self, but: str) -> Digests:
        """Files of the modules, without `but`."""
        return digests({path for module in self.modules.values() if (path := _file(module))} - {but})

    def files(self, but: str) -> Digests:
        """Files that were read or are named, and are no modules; those that the code wrote itself do not count."""
        modules = {_file(module) for module in self.modules.values()}
        known = self.opened.union(*(_named(path) for path in modules)) - self.written
        return digests({path for path in known if is_own(path) and Path(path).is_file()} - modules - {but})


@contextmanager
def traced(folder: str) -> Iterator[Trace]:
    """Code that runs inside imports its modules anew, first from `folder`, and is watched in this thread."""
    trace, hidden, no_bytecode = Trace(), _hidden(), sys.dont_write_bytecode
    # Python takes bytecode for that of a file that was changed within the same second.
    sys.dont_write_bytecode = True
    importlib.invalidate_caches()
    _listen()
    _watched.trace = trace
    try:
        with Home(folder, trace.modules):
            yield trace
    finally:
        _watched.trace, sys.dont_write_bytecode = None, no_bytecode
        sys.modules.update(hidden)


class Home:
    """Code that runs inside finds its own `modules`, and others first in `folder`; nobody else finds them later.

    What it imports more is added to `modules`: two algorithms may each have a module of one name beside them. Several
    threads may be inside at once.
    """

    def __init__(self, folder: str, modules: dict[str, ModuleType]) -> None:
        self._folder, self._modules = folder, modules
        self._inside = 0
        self._lock = threading.Lock()

    def __enter__(self) -> None:
        with self._lock:
            self._inside += 1
            if self._inside == 1:
                self._others = {name: sys.modules[name] for name in self._modules if name in sys.modules}
                sys.modules.update(self._modules)
                self._before = set(sys.modules)
                sys.path.insert(0, self._folder)

    def __exit__(self, *_: object) -> None:
        with self._lock:
            self._inside -= 1
            if self._inside == 0:
                sys.path.remove(self._folder)
                new = {n: m for n, m in list(sys.modules.items()) if n not in self._before and _is_own(m)}
                self._modules.update(new)
                for name in self._modules:
                    sys.modules.pop(name, None)
                sys.modules.update(self._others)


def is_own(path: str) -> bool:
    """Whether a file belongs neither to Python, nor to an installed library, nor to this program."""
    return not (path.startswith(_LEFT_OUT) or _LIBRARIES & set(Path(path).parts))


def digests(paths: set[str]) -> Digests:
    """Each path with the digest of its content."""
    return tuple((path, digest(path)) for path in sorted(paths))


def digest(path: str) -> str:
    """SHA-256 of a file's content; "" where it cannot be read. Worked out again only where the file was touched."""
    try:
        now = os.stat(path)
        return _digest(path, now.st_size, now.st_mtime_ns, now.st_ctime_ns)
    except OSError:
        return ""


@lru_cache(maxsize=4096)
def _digest(path: str, *_touched: int) -> str:
    with open(path, "rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _named(source: str) -> set[str]:
    """Paths that texts in a module's source may mean: from its own folder, or from where the program was started."""
    try:
        tree = ast.parse(Path(source).read_bytes())
    except (OSError, SyntaxError, ValueError):
        return set()
    texts = {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)}
    likely = {text for text in texts if 0 < len(text) < _LONGEST_NAME and text.isprintable()}
    return {os.path.abspath(os.path.join(place, text)) for text in likely for place in (os.path.dirname(source), ".")}


def _file(module: ModuleType) -> str:
    """Path of the file of somebody's own module; "" of any other."""
    path = getattr(module, "__file__", None)
    return path if isinstance(path, str) and is_own(path) else ""


def _is_own(module: ModuleType) -> bool:
    """Whether a module is somebody's own; a folder that is a package has no file, but a path."""
    if getattr(module, "__file__", None) is not None:
        return bool(_file(module))
    return any(is_own(str(path)) for path in list(getattr(module, "__path__", ())))


def _hidden() -> dict[str, ModuleType]:
    """Somebody's own modules that are there already, taken out so that they are imported as their files are now.

    A package with compiled parts stays: such parts can often be imported only once.
    """
    own = {n: m for n, m in list(sys.modules.items()) if n not in _PROCESS and _is_own(m)}
    compiled = {n.partition(".")[0] for n, m in own.items() if _file(m) and not _file(m).endswith(".py")}
    found = {n: m for n, m in own.items() if n.partition(".")[0] not in compiled}
    for name in found:
        del sys.modules[name]
    return found


@lru_cache(maxsize=1)
def _listen() -> None:
    """Hear of every file that is opened; Python lets nobody stop listening."""
    sys.addaudithook(_heard)


def _heard(event: str, details: tuple) -> None:
    trace: Trace | None = getattr(_watched, "trace", None)
    if trace is None or event not in ("open", "sqlite3.connect"):
        return
    try:
        path = os.path.abspath(os.fsdecode(details[0]))
    except (TypeError, ValueError):
        return  # a file that is open already, by its number
    flags = details[2] if event == "open" else 0
    writes = flags & (os.O_WRONLY | os.O_RDWR)
    (trace.written if writes else trace.opened).add(path)

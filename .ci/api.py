"""An API reference out of the docstrings, as pages that any browser opens: python .ci/api.py [FOLDER], by default api/.

Everything but the screens, whose modules draw pages when they run. A warning of the tool fails, and so does a name
`sim.some.thing` in a docstring that there is not.
"""

import re
import sys
import warnings
from pathlib import Path
from pkgutil import iter_modules, resolve_name

LEFT_OUT = ("screens", "__main__")
ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

import pdoc  # noqa: E402
import pdoc.render  # noqa: E402
from jinja2 import pass_context  # noqa: E402

import sim  # noqa: E402

# "sbp, dbp: (n,) usual pressure [mmHg]": what a line says of arguments or fields.
_FIELD = re.compile(r"(\*?[a-z]\w*(?:, \*?[a-z]\w*)*): ")
_NAMED = re.compile(r"`(sim(?:\.\w+)+)(?:\(\))?`")


def as_list(docstring: str) -> str:
    """The lines of a docstring that describe arguments and fields as a list; all else as it is.

    Such lines begin a paragraph, or follow another one.
    """
    found: list[str] = []
    within, before = False, ""
    for line in docstring.splitlines():
        field = _FIELD.match(line) if within or not before.strip() else None
        within = bool(field) or (within and bool(line.strip()))
        found.append(f"- **{field[1]}**: {line[field.end() :]}" if field else line)
        before = line
    return "\n".join(found)


def unknown_names() -> list[str]:
    """Names in docstrings of the program that nothing has."""
    found = []
    for file in sorted((ROOT / "sim").rglob("*.py")):
        if "screens" in file.parts:
            continue
        for name in _NAMED.findall(file.read_text(encoding="utf-8")):
            try:
                resolve_name(name)
            except (ImportError, AttributeError):
                found.append(f"{file.relative_to(ROOT)}: {name}")
    return found


def build(folder: Path) -> None:
    """Write the pages into `folder`. Raises Warning where the tool warns."""
    for name in sim.__all__:  # loaded when first used, which the tool does not see
        vars(sim).setdefault(name, getattr(sim, name))
    # What is public at the top would otherwise hide the modules.
    sim.__all__ += [found.name for found in iter_modules(sim.__path__) if found.name not in LEFT_OUT]
    convert = pdoc.render.env.filters["to_markdown"]

    @pass_context
    def with_lists(context, docstring):
        return convert(context, as_list(docstring))

    pdoc.render.env.filters["to_markdown"] = with_lists
    pdoc.render.configure(docformat="markdown", footer_text="A simulation for learning. No medical device.")
    with warnings.catch_warnings():
        warnings.filterwarnings("error", module="pdoc")
        # A dataclass that inherits fields from another module has their types as texts that only that module can read.
        warnings.filterwarnings("ignore", "Error parsing type annotation", module="pdoc")
        pdoc.pdoc("sim", output_directory=folder)


if __name__ == "__main__":
    if missing := unknown_names():
        sys.exit("no such name:\n" + "\n".join(missing))
    build(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "api")

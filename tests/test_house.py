"""The house's rules: imports run one way, and what README, notes and continuous integration say of it is so."""

import ast
import graphlib
import re
import subprocess
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

# The folders in the order in which a reading is made: nothing imports from its right.
ORDER = [
    "body cuff",
    "setup",
    "record",
    "labels",
    "estimate",
    "measurement files",
    "study explain",
    "logs",
    "figures",
    "teach",
    "screens commands",
]
FREE = {
    "fields",
    "technique",
    "parameters",
    "results",
    "chance",
    "blocks",
    "shown",
    "data",
    "texts",
    "spreadsheets",
    "say",
}  # inputs, constants and results, used by all


def _stage(module):
    part = module.split(".")[1] if "." in module else ""
    for stage, names in enumerate(ORDER):
        if part in names.split():
            return stage
    return None


def _imports():
    """(module, imported module) for each import within sim, those inside functions included."""
    for file in (ROOT / "sim").rglob("*.py"):
        module = ".".join(file.relative_to(ROOT).with_suffix("").parts)
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "sim":
                for alias in node.names:
                    yield module, f"{node.module}.{alias.name}" if node.module == "sim" else node.module
            elif isinstance(node, ast.Import):
                yield from ((module, alias.name) for alias in node.names if alias.name.startswith("sim."))


def test_imports_run_one_way():
    wrong = [
        f"{module} imports {imported}"
        for module, imported in _imports()
        if (here := _stage(module)) is not None and (there := _stage(imported)) is not None and there > here
    ]
    assert not wrong


def test_no_imports_run_in_a_circle():
    """Whichever module one begins with, its imports never lead back to it, those inside functions included."""
    modules = {".".join(file.relative_to(ROOT).with_suffix("").parts) for file in (ROOT / "sim").rglob("*.py")}
    leads_to: dict[str, set[str]] = {module: set() for module in modules}
    for file in (ROOT / "sim").rglob("*.py"):
        module = ".".join(file.relative_to(ROOT).with_suffix("").parts)
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom):
                names = {f"{node.module}.{alias.name}" for alias in node.names} | {str(node.module)}
                leads_to[module] |= names & modules - {module}
    leads_to["sim.results"].discard("sim.figures.reading")  # a result draws itself when asked: `result.plot()`
    for module in graphlib.TopologicalSorter(leads_to).static_order():  # raises CycleError, which names the circle
        assert module in modules


# What screens may take from the model itself: records to fill in, names and sizes to choose from or to draw, and the
# type of a picture's content. Whatever has to be worked out they ask `explain`, `study`, `estimate` and `logs` for.
SCREENS_MAY_NAME = {
    "sim.body.subject": {"Subject"},
    "sim.parameters": {"DEEP_BREATHS_PER_MIN"},
    "sim.cuff.instrument": {"Instrument"},
    "sim.cuff.bladder": {"FITTING", "FITTING_COVERAGE", "FITTING_WIDTH_RATIO", "bladders", "named"},
    "sim.cuff.field": {"PressureField"},
}
PHYSICS = re.compile(r"sim\.(body|cuff|record|measurement|chance|parameters)\b")


def test_screens_only_draw():
    wrong = []
    for file in (ROOT / "sim" / "screens").rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                wrong += [f"{file.name}: {alias.name}" for alias in node.names if PHYSICS.match(alias.name)]
            elif isinstance(node, ast.ImportFrom):
                taken = {f"{node.module}.{alias.name}" for alias in node.names}
                allowed = {f"{node.module}.{name}" for name in SCREENS_MAY_NAME.get(node.module or "", ())}
                wrong += [f"{file.name}: {name}" for name in taken - allowed if PHYSICS.match(name)]
    assert not wrong


def test_every_part_of_the_house_has_its_place_in_the_order():
    parts = {p.stem for p in (ROOT / "sim").iterdir() if p.suffix == ".py" or (p.is_dir() and any(p.glob("*.py")))}
    placed = {name for names in ORDER for name in names.split()} | FREE
    assert parts - placed == {"__init__", "__main__", "cli"}


def test_the_readme_and_continuous_integration_run_the_same_tests():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    blocks = re.findall(r"```sh\n(.*?)```", readme, re.DOTALL)[:2]
    commands = [line for block in blocks for line in block.splitlines()]
    opens, tests = commands
    assert opens.endswith("cuffbias app")
    assert "/pytest" in tests
    assert tests in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()


def test_every_dependency_has_its_reason():
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    project = settings["project"]
    asked = [project["dependencies"], *project["optional-dependencies"].values(), settings["build-system"]["requires"]]
    names = {re.split(r"[\[<>=!~ ]", line)[0] for lines in asked for line in lines} - {project["name"]}
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text[text.index("## Dependencies") : text.index("## Commands")]
    assert not [name for name in names if not re.search(rf"^\|[^|]*\b{name}\b", table, re.MULTILINE)]


def test_the_floor_of_every_dependency_is_tried():
    """.ci/run installs exactly the oldest versions that are allowed, and runs tests with them."""
    script = [sys.executable, str(ROOT / ".ci" / "floors.py")]
    floors = subprocess.run(script, capture_output=True, text=True, check=True).stdout.splitlines()
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    asked = [*project["dependencies"], *extras["test"], *extras["cluster"]]
    assert floors == [line.replace(">=", "==") for line in asked if not line.startswith(project["name"])]
    run = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "python3 .ci/floors.py >.venv-floors/floors.txt" in run
    assert ".venv-floors/bin/pytest" in run


def test_the_extras_that_the_readme_asks_for_exist():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert set(re.findall(r'-e "\.\[(\w+)\]"', readme)) <= set(project["optional-dependencies"])
    assert project["requires-python"] == ">=3.11"


def test_the_names_in_the_table_of_symbols_are_those_of_the_code():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text[text.index("## Symbols") : text.index("## How to add")]
    code = "\n".join(file.read_text(encoding="utf-8") for file in (ROOT / "sim").rglob("*.py"))
    names = {name.removesuffix("()").split(".")[-1] for name in re.findall(r"`([^`]+)`", table)}
    assert len(names) > 30
    assert not [name for name in names if not re.search(rf"\b{name}\b", code)]


def test_the_house_in_the_developers_notes_has_the_files_that_it_names():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    names = set(re.findall(r"\b[\w/]+\.(?:py|toml)\b", text[: text.index("## Words")]))
    files = [file.as_posix() for file in ROOT.glob("*.*")] + [file.as_posix() for file in (ROOT / "sim").rglob("*.*")]
    files += [file.as_posix() for file in (ROOT / "tests").rglob("*.py")]
    assert names
    assert not [name for name in names if not any(file.endswith("/" + name) for file in files)]

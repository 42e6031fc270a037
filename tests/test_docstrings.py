"""What public docstrings of the model, the estimators and the statistics say: units or shapes, and examples that run.

Counted is every public function, method, property and class. Left out is what has nothing to do with quantities: whose
inputs and results (a class's fields) are all text, paths, yes or no, dates, or functions, and errors. The examples
themselves run with all others (`--doctest-modules` in pyproject.toml).
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PLACES = ("body", "cuff", "record.py", "labels.py", "measurement.py", "estimate", "study", "explain")
NO_QUANTITY = {
    *(
        "str",
        "bool",
        "None",
        "Path",
        "Any",
        "object",
        "Self",
        "type",
        "ModuleType",
        "date",
        "datetime",
        "Literal",
        "cls",
    ),
    *("Callable", "Iterable", "Iterator", "Sequence", "Mapping", "dict", "list", "tuple", "set", "frozenset"),
    *("collections", "abc", "Estimator", "Executor"),
}
_AXIS = "(?:[a-z]|[a-z] [+] 1|[0-9]+|subjects|people|readings|beats|grid|places|widths|rows|columns|samples|longest)"
UNIT_OR_SHAPE = re.compile(
    "|".join(
        (
            r"mmHg|/min|per minute|Hz\b|\bPa\b|\b[cm]m\b|\bmL\b|\[%\]|[0-9] %",
            r"(?<!['’])\bs\b|\bseconds\b|\bminutes\b|\bdays\b|\byears?\b|\bdegrees?\b",
            rf"\({_AXIS}(,|(, {_AXIS})+)\)|\bshape[sd]?\b|\bone row\b|\barrays? of n\b",
            # In place of a unit, where there is none: how many, which share, how probable.
            r"\bhow many\b|\bshare\b|\bshares of\b|\bprobab|\b0 to 1\b",
        )
    ),
    re.IGNORECASE,
)
LEAST_UNIT, LEAST_EXAMPLE = 0.9, 0.33


def _names(node: ast.AST | None) -> set[str]:
    """Names of types in an annotation; nothing annotated counts as no quantity."""
    if node is None:
        return set()
    found = {n.id for n in ast.walk(node) if isinstance(n, ast.Name)}
    found |= {n.attr for n in ast.walk(node) if isinstance(n, ast.Attribute)}
    texts = [n.value for n in ast.walk(node) if isinstance(n, ast.Constant) and isinstance(n.value, str)]
    return found | {word for text in texts for word in re.findall(r"[A-Za-z_]+", text)}


def _types(node: ast.FunctionDef | ast.ClassDef) -> set[str]:
    if isinstance(node, ast.ClassDef):
        return set().union(*(_names(line.annotation) for line in node.body if isinstance(line, ast.AnnAssign)))
    arguments = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
    return _names(node.returns).union(*(_names(a.annotation) for a in arguments))


def _is_error(node: ast.AST) -> bool:
    return isinstance(node, ast.ClassDef) and any(_names(base) & {"Exception", "ValueError"} for base in node.bases)


def _within(body: list[ast.stmt], name: str) -> Iterator[tuple[str, ast.FunctionDef | ast.ClassDef]]:
    for node in body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            yield f"{name}{node.name}", node
            if isinstance(node, ast.ClassDef):
                yield from _within(node.body, f"{name}{node.name}.")


def docstrings() -> dict[str, str]:
    """The docstring ("" for none) of everything that is counted, by place and name."""
    found = {}
    for place in PLACES:
        path = ROOT / "sim" / place
        for file in [path] if path.is_file() else sorted(path.rglob("*.py")):
            for name, node in _within(ast.parse(file.read_text()).body, f"{file.relative_to(ROOT)}:"):
                if _types(node) - NO_QUANTITY and not _is_error(node):
                    found[name] = ast.get_docstring(node) or ""
    return found


def said(text: str) -> str:
    """A docstring without its examples: what is read, not what runs."""
    return re.sub(r">>>.*?(\n\s*\n|\Z)", "", text, flags=re.DOTALL)


def without_unit(found: dict[str, str]) -> list[str]:
    """Names of those whose words give neither a unit nor a shape."""
    return [name for name, text in found.items() if not UNIT_OR_SHAPE.search(said(text))]


def test_public_docstrings_give_units_or_shapes():
    found = docstrings()
    missing = without_unit(found)
    assert len(found) > 280
    assert 1 - len(missing) / len(found) >= LEAST_UNIT, "\n".join(missing)


def test_a_third_of_public_docstrings_has_an_example_that_runs():
    found = docstrings()
    share = sum(">>>" in text for text in found.values()) / len(found)
    assert share >= LEAST_EXAMPLE, f"{share:.2f}"


def test_examples_run_with_all_other_tests(pytestconfig: pytest.Config):
    assert "--doctest-modules" in pytestconfig.getini("addopts")
    assert "sim" in pytestconfig.getini("testpaths")


@pytest.mark.parametrize("text", ["Return it.", "The figure.\n\n>>> f(2)  # mmHg\n3"])
def test_words_without_a_unit_are_found(text):
    assert without_unit({"f": text}) == ["f"]


@pytest.mark.parametrize("text", ["Pressure [mmHg].", "Rows, shape (n, m).", "Time [s]."])
def test_a_unit_or_a_shape_is_seen(text):
    assert without_unit({"f": text}) == []

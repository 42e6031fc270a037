"""Every number that a module holds says what it was chosen on: in a comment above it, or behind it."""

import ast
import io
import re
import tokenize
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PLACES = ("estimate", "record.py", "labels.py", "logs", "explain", "study")
_NAME = re.compile(r"_?[A-Z][A-Z0-9_]*")


def _targets(node: ast.stmt) -> list[str]:
    """Names that a statement gives a value to."""
    given = node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
    return [name.id for target in given for name in ast.walk(target) if isinstance(name, ast.Name)]


def _has_number(node: ast.stmt) -> bool:
    """Whether a number stands in the value that is given; places in a sequence are no numbers that anyone chose."""
    value = getattr(node, "value", None)
    places = {id(part) for sub in ast.walk(node) if isinstance(sub, ast.Subscript) for part in ast.walk(sub.slice)}
    return value is not None and any(
        isinstance(part, ast.Constant)
        and isinstance(part.value, int | float)
        and not isinstance(part.value, bool)
        and id(part) not in places
        for part in ast.walk(value)
    )


def without_comment(source: str) -> list[str]:
    """Names of the numbers of a module that no comment is about.

    A comment stands behind the number or on one of its lines, or right above it; a comment is about all numbers that
    follow it line by line, without an empty line or anything else between.
    """
    tokens = list(tokenize.generate_tokens(io.StringIO(source).readline))
    comments = {t.start[0] for t in tokens if t.type == tokenize.COMMENT}
    missing, covered_to = [], 0
    for node in ast.parse(source).body:
        names = [name for name in _targets(node) if _NAME.fullmatch(name)]
        last = node.end_lineno or node.lineno
        if not names:
            continue
        above, within = node.lineno - 1, comments & set(range(node.lineno, last + 1))
        if within or above in comments or covered_to == above:
            covered_to = last
        elif _has_number(node):
            missing += names
    return missing


@pytest.mark.parametrize("place", PLACES)
def test_every_number_of_a_module_says_what_it_was_chosen_on(place):
    path = ROOT / "sim" / place
    files = [path] if path.is_file() else sorted(path.rglob("*.py"))
    missing = {str(file.relative_to(ROOT)): names for file in files if (names := without_comment(file.read_text()))}
    assert files
    assert not missing


def test_a_number_without_a_comment_is_found():
    assert without_comment("# Chosen.\nA = 1\nB = 2  # assumed\n\n_C, D = 3, 4.5\nE = 'text'\nf = 5\n") == ["_C", "D"]


def test_a_comment_reaches_as_far_as_the_lines_after_it():
    assert without_comment("# Chosen.\nA = 1\nB = (\n    2,\n)\nC = 3\n\nD = 4\n") == ["D"]

"""The words that people are shown: old phrases stay out, and a negative number carries a real minus sign."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

import pytest

from sim.cli import _print_anything, main
from sim.texts import MINUS, decimal, real_minus, whole

ROOT = Path(__file__).resolve().parent.parent
DOCUMENTS = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md")), *sorted((ROOT / "lessons").glob("*.md"))]
TABLES = sorted((ROOT / "sim").rglob("*.toml"))
MODULES = sorted((ROOT / "sim").rglob("*.py"))
SCRIPTS = sorted((ROOT / "sim").rglob("*.js"))
# What had to be read twice, or called a thing by another name than everywhere else.
NOT_AGAIN = (
    "used in earnest",
    "mercy",
    "fall out differently",
    "leave chance out",
    "leave chance in",
    "chance left out",
    "chance out",
    "starts the chance",
    "nothing left to chance",
    "display less resting",
    "display less the",
    "reading less the",
    "less truth",
    "less the truth",
    "mistake less without",
    "first less second",
    "what cost what",
    "tempting mistake",
    "start again, before",
    "links to pass on",
    "still pictures",
    "moment before",
    "categories after",
    "off on average",
    "what leaving out the first buy",
    "some times each",
    "as a survey found them",
    "belong to calibration",
    "exchange the step",
    "nothing read here is",
    "whatever is not said",
    "what is left out is",
    "wrong guess is worth more",
    "until you have committed",
    "usual pressure at rest",
    "the usual pressure of",
    "stiffness (width b)",
    "no figure from the model",
    "not known to one number",
    "shown, not mended",
    "part company",
    "parts company",
    "whose fault",
    "herself",
    "draw from a hat",
    "is no bystander",
    "as if nothing had been",
    "right. yes",
)
_ASCII_NEGATIVE = re.compile(r"(?<![\w.)\]-])-(?=\.?\d)")


def _strings(module: Path) -> list[str]:
    """The texts in a module that are not documentation, each f-string as one."""
    tree = ast.parse(module.read_text(encoding="utf-8"))
    documentation = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.FunctionDef | ast.ClassDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            parts = (str(v.value) if isinstance(v, ast.Constant) else "{}" for v in node.values)
            found.append("".join(parts))
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in documentation:
            found.append(node.value)
    return found


@cache
def _texts(file: Path) -> str:
    if file.suffix == ".py":
        return " | ".join(_strings(file))
    lines = file.read_text(encoding="utf-8").split("\n")
    comment = {".toml": "#", ".js": "//"}.get(file.suffix)
    return "\n".join(line for line in lines if comment is None or not line.lstrip().startswith(comment))


@pytest.mark.parametrize("phrase", NOT_AGAIN)
def test_an_old_phrase_stays_out(phrase):
    pattern = re.compile(r"\b" + r"\s+".join(map(re.escape, phrase.split())), re.IGNORECASE)
    files = (*DOCUMENTS, *TABLES, *MODULES, *SCRIPTS)
    assert not [str(file.relative_to(ROOT)) for file in files if pattern.search(_texts(file))]


def test_no_answer_is_called_right_twice():
    """The app says "Right." or "Yes, that is right." by itself."""
    for lesson in sorted((ROOT / "lessons").glob("[0-9]*.md")):
        text = lesson.read_text(encoding="utf-8")
        assert not re.findall(r'^(?:reason|reply) = "(?:Yes|Right)\b[.,].*', text, re.MULTILINE), lesson.name


@pytest.mark.parametrize("file", [*DOCUMENTS, *TABLES], ids=lambda file: file.name)
def test_written_negative_numbers_have_a_real_minus_sign(file):
    text = re.sub(r"```.*?```|`[^`]*`|\]\([^)]*\)", "", _texts(file), flags=re.DOTALL)
    if text.startswith("+++"):
        keys, _, body = text[3:].partition("+++\n\n")
        text = "\n".join([*re.findall(r'"([^"]*)"', keys), body])
    elif file.suffix == ".toml":
        text = "\n".join(re.findall(r'"([^"]*)"', text))
    assert not [text[m.start() - 30 : m.end() + 10] for m in _ASCII_NEGATIVE.finditer(text)]


@pytest.mark.parametrize(
    "arguments",
    [
        ["measure", "--cuff-below-heart-cm", "-12", "--zero-error-mmhg", "-5"],
        ["schedule", "home-week", "--cuff-below-heart-cm", "-12"],
    ],
    ids=lambda words: words[0],
)
def test_a_report_has_a_real_minus_sign_and_json_has_not(capsys, arguments):
    assert main(arguments) == 0
    out = capsys.readouterr().out
    assert MINUS in out
    assert not _ASCII_NEGATIVE.findall(out)
    assert main([*arguments, "--json"]) == 0
    assert _ASCII_NEGATIVE.search(capsys.readouterr().out)


def test_a_terminal_without_the_sign_shows_a_hyphen_and_no_question_mark():
    _print_anything()
    assert "−5.7/+5.5 ●".encode("ascii", "like") == b"-5.7/+5.5 ?"


def test_a_number_that_was_copied_from_the_screen_is_understood():
    assert decimal(real_minus("-12.5")) == -12.5
    assert whole(real_minus("-12")) == -12

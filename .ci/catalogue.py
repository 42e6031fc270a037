"""Bring the catalogues of translated texts up to date: python .ci/catalogue.py [--check] [--missing].

Every text that is said (`say`, `mark`), every label and option of a field, and the words of tables that are said, get
an entry; what is said no more is dropped. Translations stay. --check changes nothing and fails where a catalogue is not
up to date; --missing prints what is not translated.
"""

from __future__ import annotations

import ast
import json
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from sim.data import data  # noqa: E402
from sim.fields import Choice  # noqa: E402
from sim.say import ENGLISH, LANGUAGES, read_catalogue  # noqa: E402
from sim.setup import FIELDS  # noqa: E402

# Tables whose words are said: package, file, and under which keys the words stand.
TABLES = (
    ("sim.cuff", "bladders.toml", ("name",)),
    ("sim.explain", "categories.toml", ("label", "note", "name", "sure", "home_sure")),
    ("sim.explain", "impossible.toml", ("question", "unwell", "high", "low", "source", "steps")),
    ("sim.explain", "population.toml", ("label", "note", "sure", "source", "id")),
    ("sim.explain", "schedules.toml", ("label", "note", "sure", "source")),
    ("sim.explain", "variation.toml", ("what", "population", "note", "sure", "source", "id")),
    ("sim.teach", "practice.toml", ("name", "tell", "tell_right", "put_right", "why")),
)
# A name that is no word: all such in these tables end in a year.
IDENTIFIER = re.compile(r"[a-z]+(?:-[a-z]+)*-[0-9]{4}")
HEAD = re.compile(r'\A(?:#.*\n|\s*\n)*msgid ""\nmsgstr ""\n(?:".*"\n)*')


def texts() -> dict[str, list[str]]:
    """Every text that is said, with the files that have it."""
    found: dict[str, list[str]] = {}
    for file in sorted((ROOT / "sim").rglob("*.py")):
        name = file.relative_to(ROOT).as_posix()
        for text in said(file.read_text(encoding="utf-8")):
            found.setdefault(text, []).append(name)
    for name, text in [*declared(), *tables()]:
        found.setdefault(text, []).append(name)
    return {text: sorted(set(files)) for text, files in found.items()}


def said(source: str) -> Iterator[str]:
    """The texts of a module's calls of `say` and `mark`. Raises ValueError where `mark` is given no plain text."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("say", "mark"):
            first = node.args[0]
            found = list(_choices(first))
            if isinstance(first, ast.JoinedStr) or (node.func.id == "mark" and not found):
                raise ValueError(f"line {node.lineno}: a text that is said is a plain text, with {{names}} for values")
            yield from found


def _choices(node: ast.expr) -> Iterator[str]:
    """The plain texts that an expression may be: one, or the branches of a choice."""
    if isinstance(node, ast.IfExp):
        yield from (*_choices(node.body), *_choices(node.orelse))
    elif isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value


def declared() -> Iterator[tuple[str, str]]:
    """Labels, options and mistakes of the fields, as they are declared."""
    for field in FIELDS.values():
        place = "the fields of a reading"
        yield place, field.label
        if isinstance(field.said, str) and field.said:
            yield place, field.said
        if isinstance(field, Choice):
            yield from ((place, label) for label in field.options.values())


def tables() -> Iterator[tuple[str, str]]:
    """Words of the tables beside the code that are said."""
    for package, name, keys in TABLES:
        for text in _words(data(package, name), keys):
            yield f"{package.replace('.', '/')}/{name}", text


def _words(table: Any, keys: tuple[str, ...]) -> Iterator[str]:
    """The texts under these keys, however deep they stand."""
    if isinstance(table, dict):
        for key, value in table.items():
            if key in keys:
                each = value if isinstance(value, list) else [value]
                yield from (text for text in each if isinstance(text, str) and text and not IDENTIFIER.fullmatch(text))
            else:
                yield from _words(value, keys)
    elif isinstance(table, list):
        for value in table:
            yield from _words(value, keys)


def updated(text: str) -> str:
    """A catalogue with an entry for every text that is said, and with none besides."""
    head = HEAD.match(text)
    if head is None:
        raise ValueError("a catalogue begins with its header")
    known = read_catalogue(text)
    entries = sorted(texts().items(), key=lambda entry: entry[1][0])  # sorted keeps the order within a file
    return head[0] + "".join(_entry(said, known.get(said, ""), files) for said, files in entries)


def _entry(text: str, translated: str, files: list[str]) -> str:
    quoted = [json.dumps(words, ensure_ascii=False) for words in (text, translated)]
    return f"\n#: {' '.join(files)}\nmsgid {quoted[0]}\nmsgstr {quoted[1]}\n"


def catalogues() -> list[Path]:
    """The catalogue of each language but English."""
    return [ROOT / f"sim/locale/{name}/LC_MESSAGES/cuffbias.po" for name in LANGUAGES if name != ENGLISH]


def main(options: list[str]) -> int:
    """What the command does; 1 where --check finds a catalogue that is not up to date."""
    old = False
    for file in catalogues():
        before = file.read_text(encoding="utf-8")
        after = updated(before)
        entries = read_catalogue(after)
        missing = [text for text, translated in entries.items() if not translated]
        old = old or before != after
        if "--check" not in options:
            file.write_text(after, encoding="utf-8")
        print(f"{file.relative_to(ROOT)}: {len(entries) - len(missing)} of {len(entries)} translated")  # noqa: T201
        if "--missing" in options:
            print(*missing, sep="\n")  # noqa: T201
    return int(old and "--check" in options)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

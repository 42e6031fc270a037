"""Values whose source cannot be looked up by a number, or that nobody has seen: all of them, with the reason.

Gone through are the lessons' evidence and the tables of figures beside the code. The page of the evidence shows what is
found here; a test holds it to a few.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from importlib import resources
from typing import Any

from sim.teach.lesson_record import Lesson
from sim.teach.parts import RECORD

# Identifiers of an article, a book, a standard.
_IDENTIFIER = re.compile(r"DOI 10\.\d{4,9}/\S+|PMID \d{6,9}|PMC\d{5,9}|ISBN 97[89][-\d]{10,14}|ISO \d+-\d+")
# The tables: package, file, and what its figures are, in words.
TABLES = (
    ("sim.body", "responses.toml", "what moves the pressure itself"),
    ("sim.cuff", "bladders.toml", "bladder sizes"),
    ("sim.cuff", "empirical.toml", "effects without a mechanism"),
    ("sim.cuff", "movement.toml", "what shakes a cuff"),
    ("sim.explain", "categories.toml", "categories at home"),
    ("sim.explain", "population.toml", "populations"),
    ("sim.explain", "schedules.toml", "schedules"),
    ("sim.explain", "variation.toml", "how readings vary"),
)
TRADE = "common practice"  # trade facts have no source, and say so


@dataclass(frozen=True)
class Incomplete:
    """A source without an identifier, or a value from memory.

    where: the lessons and tables that use it;  reason: why the source is not complete
    """

    source: str
    where: tuple[str, ...]
    reason: str


def incomplete(lessons: Iterable[Lesson]) -> tuple[Incomplete, ...]:
    """Every such source once, in the order in which they come. The tables beside the code come after the lessons."""
    found: dict[tuple[str, str], list[str]] = {}
    for where, source, reason in (*_of_lessons(lessons), *_of_tables()):
        places = found.setdefault((source, reason), [])
        if where not in places:
            places.append(where)
    return tuple(Incomplete(source, tuple(places), reason) for (source, reason), places in found.items())


def identified(text: str) -> bool:
    """Whether `text` is the identifier of a source, as this program writes it."""
    return bool(_IDENTIFIER.fullmatch(text) or RECORD.fullmatch(text))


def entries(table: Any) -> Iterator[dict[str, Any]]:
    """Every entry of a table that names a source, however deep it stands."""
    if isinstance(table, dict):
        if "source" in table and not isinstance(table["source"], dict):
            yield table
        for value in table.values():
            yield from entries(value)
    elif isinstance(table, list):
        for value in table:
            yield from entries(value)


def read(package: str, name: str) -> dict[str, Any]:
    """A table of figures beside the code."""
    return tomllib.loads(resources.files(package).joinpath(name).read_text(encoding="utf-8"))


def _of_lessons(lessons: Iterable[Lesson]) -> Iterator[tuple[str, str, str]]:
    for lesson in lessons:
        for evidence in lesson.evidence:
            if evidence.unlisted:
                yield f"lesson: {lesson.title}", evidence.source, evidence.unlisted
            if evidence.sure == "from memory":
                yield f"lesson: {lesson.title}", evidence.source, "from memory"


def _of_tables() -> Iterator[tuple[str, str, str]]:
    for package, name, what in TABLES:
        for entry in entries(read(package, name)):
            if not identified(identifier(entry)) and entry.get("sure") != TRADE:
                yield what, entry["source"], entry.get("unlisted", "")
            if "from memory" in (entry.get("sure"), entry.get("home_sure")):
                yield what, entry["source"], "from memory: the guideline's pressures at home were not checked"


def identifier(entry: dict[str, Any]) -> str:
    """An entry's identifier as text, "" where it has none."""
    doi = entry.get("doi")
    return f"DOI {doi}" if doi else str(entry.get("id") or entry.get("record") or "")

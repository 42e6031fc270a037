"""What a PDF holds, as a library that did not make it reads it."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

from pypdf import PdfReader

from sim.screens.handouts.paper_pictures import pictures
from sim.teach.handouts.typeset import pdf
from sim.teach.handouts.wanted import Wanted
from sim.teach.lesson import Lesson


def made(lessons: list[Lesson], **more: Any) -> PdfReader:
    """The PDF of these lessons with their drawings, opened."""
    drawn = {lesson.name: pictures(lesson) for lesson in lessons}
    return PdfReader(io.BytesIO(pdf(Wanted(lessons, drawn, **more))))


def run_together(text: str) -> str:
    """Text without spaces and marks of bold, since a PDF breaks lines where it likes."""
    return "".join(text.replace("**", "").split())


def words_on(reader: PdfReader) -> list[str]:
    """The text of each page, run together."""
    return [run_together(page.extract_text()) for page in reader.pages]


def sizes(reader: PdfReader) -> list[list[float]]:
    """The sizes of the letters on each page in points, one for each letter, without those inside drawings."""
    found = []
    for page in reader.pages:
        here: list[float] = []

        def look(text: str, place: Any, line: Any, _font: Any, size: float, here: list[float] = here) -> None:
            here += [round(abs(size * line[3] * place[3]), 2)] * len(text.strip())

        page.extract_text(visitor_text=look)
        found.append(here)
    return found


def tags(reader: PdfReader) -> list[dict[str, Any]]:
    """Every element of the tree that programs read out loud, from its root."""
    root: Any = reader.trailer["/Root"]
    return list(_below(root["/StructTreeRoot"]))


def _below(element: Any) -> Iterator[dict[str, Any]]:
    yield element
    kids = element.get("/K", [])
    kids = kids.get_object() if hasattr(kids, "get_object") else kids
    for kid in kids if isinstance(kids, list) else [kids]:
        kid = kid.get_object() if hasattr(kid, "get_object") else kid
        if isinstance(kid, dict) and "/S" in kid:
            yield from _below(kid)


def fonts(reader: PdfReader) -> list[dict[str, Any]]:
    """Every font that a page or a drawing on it uses."""
    found = []
    for page in reader.pages:
        found += list(_fonts(page["/Resources"]))
    return found


def _fonts(resources: Any) -> Iterator[dict[str, Any]]:
    resources = resources.get_object()
    for font in resources.get("/Font", {}).values():
        font = font.get_object()
        yield font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
    for drawing in resources.get("/XObject", {}).values():
        yield from _fonts(drawing.get_object().get("/Resources", {}))

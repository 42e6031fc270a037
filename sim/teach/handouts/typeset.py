"""The wanted pages as one PDF: tagged, with its title and language, vector drawings, and every font inside.

What people wrote goes to the typesetter as data (JSON) and is never a part of its source, so nothing in it is an
instruction. No font of the machine is used: the letters are DejaVu Sans, which comes with matplotlib, as people with
low vision are served best without serifs.
"""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterator
from functools import lru_cache
from importlib import resources
from pathlib import Path
from typing import Any, Final

from sim.fields import FieldError
from sim.say import ENGLISH, NOT_REVIEWED, language, say, spoken
from sim.teach.handouts import class_sheet, lesson_page, log_form, words
from sim.teach.handouts.wanted import Wanted, home_schedules
from sim.teach.safety import NO_DEVICE

_FONT = "DejaVu Sans"
# ISO 14289-1, for readers that speak: the typesetter refuses to write a file that does not keep to it.
_STANDARD: Final = "ua-1"


def file_name(wanted: Wanted) -> str:
    """What the PDF is called as a file."""
    if len(wanted.lessons) == 1 and not wanted.log and not wanted.class_sheet:
        return f"cuffbias-{wanted.lessons[0].name}.pdf"
    return "cuffbias-handouts.pdf" if wanted.lessons else f"cuffbias-{wanted.log}.pdf"


def pdf(wanted: Wanted) -> bytes:
    """The PDF, the same bytes for the same pages. Raises FieldError where a letter cannot be printed (`check`)."""
    import typst  # here, so that nobody waits for it who prints nothing

    check(wanted)
    return typst.compile(
        resources.files("sim.teach.handouts").joinpath("pages.typ").read_bytes(),
        sys_inputs={"data": json.dumps(content(wanted))},
        font_paths=typst.Fonts(include_system_fonts=False, font_paths=[str(_fonts())]),
        pdf_standards=_STANDARD,
    )


def check(wanted: Wanted) -> None:
    """Raises FieldError where a text has a letter that the typeface lacks: no page goes out with a hole in it."""
    for name, text in dataclasses.asdict(wanted.clinic).items():
        _check(name, text)
    for lesson in wanted.lessons:
        alone = Wanted([lesson], paper=wanted.paper, class_sheet=wanted.class_sheet, language=wanted.language)
        for text in _texts(content(alone)):
            _check(f"lesson {lesson.name}", text)


def _check(name: str, text: str) -> None:
    odd = unprintable(text)
    if odd:
        raise FieldError(
            name,
            say("{letters} in it", letters=repr(odd)),
            say("in letters that can be printed: Latin, Greek, Cyrillic, Arabic and others"),
        )


def content(wanted: Wanted) -> dict[str, Any]:
    """Everything that stands on the pages, as plain data, in the language that is wanted."""
    with spoken(wanted.language):
        return _content(wanted)


def _content(wanted: Wanted) -> dict[str, Any]:
    clinic = wanted.clinic
    pages = [lesson_page.page(each, wanted.pictures.get(each.name, ()), clinic) for each in wanted.lessons]
    return {
        "title": _title(wanted),
        "language": wanted.language,
        "font": _FONT,
        "paper": {"a4": "a4", "letter": "us-letter"}[wanted.paper],
        "large": wanted.large_print,
        "clinic": [lesson_page.line(name, clinic) for name in ("clinic", "telephone", "hours")],
        "notes": {"label": lesson_page.line("notes", clinic)["label"], "lines": clinic.notes.splitlines()},
        "no_device": _reviewed(NO_DEVICE, NOT_REVIEWED),
        "foot": _reviewed(words.FOOT, words.FOOT_NOT_REVIEWED),
        "lessons": pages,
        "sheets": class_sheet.sheets(wanted.lessons) if wanted.class_sheet else None,
        "log": log_form.form(home_schedules()[wanted.log], clinic) if wanted.log else None,
    }


def unprintable(text: str) -> str:
    """The characters of a text for which there is no letter in the typeface, each once.

    >>> unprintable("Clínica Łódź, ≥ 18"), unprintable("a\\N{CJK UNIFIED IDEOGRAPH-4E00}b")
    ('', '一')
    """
    return "".join(dict.fromkeys(c for c in text if ord(c) not in _letters() and c != "\n"))


def _reviewed(text: str, not_reviewed: str) -> str:
    """The text, and in another language than English that nobody of the trade has read the translation."""
    return say(text) if language() == ENGLISH else f"{say(text)} {say(not_reviewed)}"


def _title(wanted: Wanted) -> str:
    if not wanted.lessons:
        return say(words.FILE_TITLE_LOG)
    count = len(wanted.lessons) - 1
    return say(words.FILE_TITLE_MORE if count else words.FILE_TITLE, first=wanted.lessons[0].title, count=count)


def _texts(data: Any) -> Iterator[str]:
    """Every text in nested lists and dictionaries, but for drawings, which are our own."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, list):
        for each in data:
            yield from _texts(each)
    elif isinstance(data, dict):
        for name, each in data.items():
            if name != "svg":
                yield from _texts(each)


@lru_cache(maxsize=1)
def _letters() -> frozenset[int]:
    """The characters of the typeface, as numbers."""
    from matplotlib.ft2font import FT2Font

    return frozenset(FT2Font(str(_fonts() / "DejaVuSans.ttf")).get_charmap())


def _fonts() -> Path:
    """The folder of the typefaces that come with matplotlib."""
    import matplotlib

    return Path(matplotlib.get_data_path()) / "fonts" / "ttf"

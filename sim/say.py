"""Texts in the language of whoever reads them: the English text is the name under which a catalogue has the others.

    say("Begin this lesson")                       the text in the language that is spoken now
    say("{done} of {all} done.", done=3, all=7)    with numbers put in afterwards, so that a language can order them
    QUESTION = mark("Which arm?")                  a text that is kept, and said later: `say(QUESTION)`

What is spoken is a context variable: each thread has its own, so that one learner's choice never reaches another.
The screens set it at the start of each run (`sim.screens.language`); everywhere else English is spoken. The catalogues
are `sim/locale/<language>/LC_MESSAGES/cuffbias.po`, read as they stand; `.ci/catalogue.py` brings them up to date.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache
from importlib import resources
from typing import Any

ENGLISH = "en"
# Each language by the name that its speakers know.
LANGUAGES = {ENGLISH: "English", "es": "Español"}
_SPOKEN: ContextVar[str] = ContextVar("spoken", default=ENGLISH)


def language() -> str:
    """The language that is spoken now, a key of LANGUAGES."""
    return _SPOKEN.get()


def speak(name: str) -> None:
    """From now on, in this thread, texts are said in this language. Raises ValueError where there is no such one."""
    if name not in LANGUAGES:
        raise ValueError(f"language = {name}: must be one of {', '.join(LANGUAGES)}")
    _SPOKEN.set(name)


@contextmanager
def spoken(name: str) -> Iterator[None]:
    """Texts are said in this language within a `with`.

    >>> with spoken("es"):
    ...     say("Lessons")
    'Lecciones'
    """
    before = language()
    speak(name)
    try:
        yield
    finally:
        speak(before)


def mark(text: str) -> str:
    """A text as it is, which is said elsewhere: marked so that it is found for the catalogues."""
    return text


# In every other language, on every screen and every printed page.
NOT_REVIEWED = mark("This translation has not been reviewed by a native-speaking clinician yet.")


def say(text: str, **values: Any) -> str:
    """A text in the language that is spoken, in English where the catalogue lacks it; `values` in its placeholders.

    >>> say("{done} of {all} lessons done.", done=1, all=2)
    '1 of 2 lessons done.'
    """
    found = text if language() == ENGLISH else catalogue(language()).get(text) or text
    return found.format(**values) if values else found


@lru_cache(maxsize=len(LANGUAGES))
def catalogue(name: str) -> dict[str, str]:
    """All texts of a language by the English text; "" for what is not translated yet."""
    folder = resources.files("sim").joinpath("locale", name, "LC_MESSAGES")
    return read_catalogue(folder.joinpath("cuffbias.po").read_text(encoding="utf-8"))


def read_catalogue(text: str) -> dict[str, str]:
    r"""What a catalogue in gettext's text format says: entries of msgid and msgstr, without the header.

    >>> read_catalogue('msgid "Two\\n"\n"lines"\nmsgstr "Dos líneas"\n')
    {'Two\nlines': 'Dos líneas'}
    """
    entries: list[dict[str, str]] = []
    kind = ""
    for line in text.splitlines():
        word, _, rest = line.partition(" ")
        if word in ("msgid", "msgstr"):
            if word == "msgid":
                entries.append({"msgid": "", "msgstr": ""})
            kind = word
            entries[-1][kind] = ast.literal_eval(rest)
        elif line.startswith('"'):
            entries[-1][kind] += ast.literal_eval(line)
    return {entry["msgid"]: entry["msgstr"] for entry in entries if entry["msgid"]}


def all_said(texts: Mapping[Any, str]) -> dict[Any, str]:
    """The texts of a choice, said at once: what a widget asks for later may be asked for where nobody speaks.

    >>> all_said({1: "Lessons"})
    {1: 'Lessons'}
    """
    return {name: say(text) for name, text in texts.items()}

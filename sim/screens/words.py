"""Text that comes from outside (an address, a lesson file, an estimator), made safe to show."""

from __future__ import annotations

import re

from sim.say import mark

NO_FIGURE = mark("No model figure: ")
# A colon with a space behind it begins no directive, and a backslash before it would be read aloud in names.
_SPECIAL = re.compile(r"([\\`*_{}\[\]<>()#+\-.!|$~&]|:(?! ))")


def plain(text: str) -> str:
    """Text as it stands, whatever it contains: nothing in it is taken for Markdown.

    >>> plain("a*b*")
    'a\\\\*b\\\\*'
    >>> plain("Two: :red[x]")
    'Two: \\\\:red\\\\[x\\\\]'
    """
    return _SPECIAL.sub(r"\\\1", text)


def sentence(text: str) -> str:
    """Text with a capital in front and a full stop behind.

    >>> sentence("too much movement")
    'Too much movement.'
    """
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")

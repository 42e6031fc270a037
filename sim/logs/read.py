"""A log from a file's bytes: a table or FHIR, whichever it is."""

from __future__ import annotations

from sim.logs.log import Log, LogError
from sim.logs.read_csv import read_csv
from sim.logs.read_fhir import read_fhir
from sim.say import say

# Size of a file [bytes]. Chosen: MOST_ROWS rows of 100 characters, so that no file keeps the program busy for long.
LARGEST_BYTES = 2_000_000


def read_log(content: bytes, order: str | None = None) -> Log:
    """The log in a file's content; `order` as for `read_csv`. Raises LogError where it is none."""
    if len(content) > LARGEST_BYTES:
        sizes = {"bytes": len(content), "most": LARGEST_BYTES}
        raise LogError(say("the file has {bytes:,} bytes: must be at most {most:,}", **sizes))
    text = _text(content)
    return read_fhir(text) if text.lstrip()[:1] in ("{", "[") else read_csv(text, order)


def _text(content: bytes) -> str:
    """The text, in the encodings that spreadsheets write."""
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        try:
            return content.decode("utf-16")
        except UnicodeDecodeError:
            raise LogError(say("the file is no text: must be a table or FHIR")) from None
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("latin-1")

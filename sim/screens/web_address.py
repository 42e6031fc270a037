"""The whole address of a page, as others type or copy it, and its QR code; whether others can open it at all."""

from __future__ import annotations

from urllib.parse import urlencode, urlsplit

import segno
import streamlit as st

from sim.figures.colours import TEXT
from sim.say import mark, say
from sim.screens import language
from sim.screens.drawings.shapes import image

_HERE_ONLY = ("127.0.0.1", "localhost", "")
ONLY_HERE = mark(
    "This works only on this computer, and only while the program runs. For a class: `cuffbias app --share` lets "
    "phones in the same network open it."
)


def shared_host() -> str:
    """The address or name that others open, as `cuffbias app --share` set it; "" where only this computer is served."""
    if st.get_option("server.address") in _HERE_ONLY:
        return ""
    host = str(st.get_option("browser.serverAddress") or "")
    return "" if host in _HERE_ONLY else host


def origin() -> str:
    """ "http://192.168.0.20:8501": for others where they can open it, else as this browser has it."""
    port = st.get_option("server.port")
    if host := shared_host():
        return f"http://{host}:{port}"
    here = urlsplit(st.context.url or "")
    return f"{here.scheme}://{here.netloc}" if here.netloc else f"http://localhost:{port}"


def whole(page: str, query: dict[str, str] | None = None) -> str:
    """The whole address of a page of the app, a name of `page_links`; "" is the first screen. It keeps the language."""
    spoken = (query or {}) | language.query()
    return f"{origin()}/{page}" + (f"?{urlencode(spoken, safe=',')}" if spoken else "")


def copyable(address: str, key: str, alone: bool = True) -> None:
    """The address with the button that copies it. alone: it is said here where only this computer can open it"""
    with st.container(key=key):
        st.code(address, language=None, wrap_lines=True)
        if alone and not shared_host():
            st.caption(say(ONLY_HERE))


def qr_figure(address: str, words: str) -> str:
    """The address as a QR code in HTML, with the address in letters beneath; `words` say what it opens.

    Its least width is set by the page's style.
    """
    document = segno.make(address, micro=False, error="m").svg_inline(
        border=4, omitsize=True, dark=TEXT, light="#FFFFFF"
    )
    # A picture in an address of its own needs its namespace; segno's inline form has none.
    document = document.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
    told = say("QR code: {words}, {address}", words=words, address=address)
    return f'<figure class="qr">{image(document, told)}</figure>'

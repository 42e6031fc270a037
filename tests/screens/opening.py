"""Opening the app's pages in Streamlit's own test harness, and reading what is on them."""

from __future__ import annotations

import re
from base64 import b64decode
from pathlib import Path
from typing import Any

from streamlit.testing.v1 import AppTest

APP = Path(__file__).resolve().parents[2] / "app.py"


def open_home() -> AppTest:
    """The first screen."""
    return AppTest.from_file(str(APP), default_timeout=60).run()


def open_page(name: str, **parameters: str) -> AppTest:
    """A page ("lesson", "cautions") by a link with these query parameters."""
    page = AppTest.from_file(str(APP), default_timeout=60)
    page.switch_page(f"sim/screens/page_files/{name}.py")
    for parameter, value in parameters.items():
        page.query_params[parameter] = value
    return page.run()


def html(page: AppTest) -> str:
    """All pieces of HTML on the page."""
    elements: Any = page.get("html")
    return "\n".join(element.proto.body for element in elements)


def drawn(shown: str) -> list[str]:
    """The drawings in a piece of HTML, as SVG."""
    return [b64decode(one).decode() for one in re.findall(r'src="data:image/svg\+xml;base64,([^"]*)"', shown)]


def texts(page: AppTest) -> str:
    """All Markdown, captions and messages on the page."""
    kinds: tuple[Any, ...] = (page.title, page.header, page.subheader, page.markdown, page.caption)
    kinds += (page.warning, page.success, page.info)
    return "\n".join(element.value for kind in kinds for element in kind)


def links(page: AppTest) -> list[Any]:
    """All links to pages of the app."""
    elements: Any = page.get("page_link")
    return [element.proto for element in elements]


def address(page: AppTest) -> dict[str, str]:
    """The page's query parameters."""
    return {name: value if isinstance(value, str) else value[0] for name, value in page.query_params.items()}


def buttons(page: AppTest) -> list[str | None]:
    """The keys of the page's own buttons, without that for the language, which every page has at its head."""
    return [button.key for button in page.button if not str(button.key).startswith("language-")]

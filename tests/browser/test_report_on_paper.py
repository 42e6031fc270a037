"""A study's report as a browser prints it: nothing is torn, no heading stands alone at the foot of a page."""

from __future__ import annotations

import io
import unicodedata

import numpy as np
import pytest
from playwright.sync_api import Page
from pypdf import PdfReader

from sim.figures.report import Pages
from sim.study.axes import axis
from sim.study.origin import Origin
from sim.study.plan import Study
from sim.study.report import report
from sim.study.run import run
from sim.study.stress import StressMap

pytestmark = pytest.mark.browser
# For each heading of the page what must stand on the same sheet: the first words of the table, the end of its note.
TOGETHER = """() => [...document.querySelectorAll('h3')].map(heading => {
    const table = heading.nextElementSibling, note = table.nextElementSibling;
    const last = note && note.matches('p') ? note : table;
    return [heading.textContent, last.textContent.trim().split(/\\s+/).slice(-3).join(' ')];
})"""
CAPTIONS = """() => [...document.querySelectorAll('figcaption')].map(one => {
    const words = one.textContent.trim().split(/\\s+/);
    return [words.slice(0, 4).join(' '), words.slice(-3).join(' ')];
})"""
HEADINGS = "() => [...document.querySelectorAll('h2')].map(one => [one.textContent, one.nextElementSibling.innerText])"


@pytest.fixture(scope="module")
def html() -> str:
    study = Study(40, ("fixed-ratio", "slope", "corrected-ratio"), seed=11, readings=2, people="standard")
    share = np.linspace(0, 1, 12).reshape(3, 4)
    x, y = axis("slack_cm", [0.0, 2.0, 4.0, 6.0]), axis("rhythm")
    shown = StressMap("slope", "at_measurement", Origin(1), x, y, share, share, share, share, 1 - share, share)
    return Pages(report(run(study, workers=1).sums(), study.origin, maps=(shown, shown))).html()


def _sheets(page: Page, html: str) -> list[str]:
    page.set_content(html)
    printed = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True)))
    return [_plain(sheet.extract_text()) for sheet in printed.pages]


def _plain(text: str) -> str:
    """Without line breaks, and letters that are printed as one taken apart."""
    return " ".join(unicodedata.normalize("NFKC", text).split())


def test_nothing_is_torn(page: Page, html: str) -> None:
    sheets = _sheets(page, html)
    assert 8 <= len(sheets) <= 20
    pairs = page.evaluate(TOGETHER) + page.evaluate(CAPTIONS)
    assert len(pairs) > 20
    for first, last in pairs:
        assert any(first in sheet and last in sheet[sheet.index(first) :] for sheet in sheets), (first, last)


def test_no_heading_stands_alone(page: Page, html: str) -> None:
    sheets = _sheets(page, html)
    for heading, following in page.evaluate(HEADINGS):
        # A picture has no words before its caption, which stands on the same sheet.
        words = " ".join(following.split()[:2])
        assert any(heading in sheet and words in sheet for sheet in sheets), heading
        assert not any(sheet.endswith(heading) for sheet in sheets), heading

"""Whatever an address says, every page stands, and what it says is text."""

import re

import pytest

from sim.screens.page_links import _TITLES
from tests.screens.opening import html, open_page, texts

MARKUP = "<img src=x onerror=window.ran=1>[go](javascript:1)![p](http://elsewhere.example/p.png)"
# What each page asks the address for, and where it is known already what it shows.
ASKED = {
    "home": ({}, "view lesson"),
    "lesson": ({}, "lesson predicted step look my.sbp my.cuffs"),
    "watch": ({"lesson": "01-arm-height"}, "reading seed technique.cuff_below_heart_cm my.sbp"),
    "present": ({}, "lessons lesson at my.cuffs"),
    "practice": ({}, "case my.sbp my.cuffs"),
    "final_test": ({}, "seed case"),
    "progress": ({}, "view"),
    "averages": ({}, "view schedule bias wrong over margin sbp days readings who scheme rule dates population"),
    "algorithms": ({}, "view from algorithms with arm cuff seed chance amplitude paired_with stretch my.sbp"),
    "handouts": ({}, "lessons paper my.sbp"),
    "evidence": ({}, "view"),
    "cautions": ({}, "view"),
}


def test_no_page_is_left_out():
    assert set(ASKED) == set(_TITLES)


@pytest.mark.parametrize("name", ASKED)
def test_markup_in_an_address_is_text(name):
    known, asked = ASKED[name]
    page = open_page(name, **known, lang=MARKUP, **{MARKUP: MARKUP}, **dict.fromkeys(asked.split(), MARKUP))
    assert not page.exception
    assert "<img src=x" not in html(page)
    assert not re.search(r"(?<!\\)!\\?\[p|(?<!\\)\[go\]", texts(page))
    assert not [each for each in page.markdown if each.allow_html and "onerror" in each.value]

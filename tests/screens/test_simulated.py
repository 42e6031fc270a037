"""Every card with a pressure that the model made says so on the card itself: cards are projected and printed alone."""

import json
import re
from html.parser import HTMLParser

import numpy as np
import pytest

from sim import Instrument, Subject, Technique
from sim.explain.breakdown import breakdown
from sim.figures.measurement import measurement_figure
from sim.teach.lesson import load_all
from tests.screens.opening import html, open_page

LESSONS, _ = load_all()
WORD = "SIMULATED"


class _Cards(HTMLParser):
    """The words of each card for a number, in the order of the page."""

    def __init__(self) -> None:
        super().__init__()
        self.cards: list[tuple[str, str]] = []
        self.depth = 0

    def handle_starttag(self, tag, attrs):
        kind = dict(attrs).get("class") or ""
        if tag == "div" and self.depth == 0 and kind.startswith("number "):
            self.cards.append((kind.removeprefix("number "), ""))
            self.depth = 1
        elif tag == "div" and self.depth:
            self.depth += 1

    def handle_endtag(self, tag):
        self.depth -= tag == "div" and self.depth > 0

    def handle_data(self, data):
        if self.depth:
            kind, words = self.cards[-1]
            self.cards[-1] = (kind, words + data)


def cards(page):
    """Kind and words of each card on the page."""
    parser = _Cards()
    parser.feed(html(page))
    return parser.cards


def pressures(page):
    """The cards with a pressure on them; a difference is none."""
    return [words for kind, words in cards(page) if kind != "difference" and re.search(r"\d+/\d+", words)]


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
def test_the_cards_of_a_lesson(lesson):
    page = open_page("lesson", lesson=lesson.name, predicted="none")
    found = pressures(page)
    assert found
    assert all(WORD in words for words in found), found


def test_the_cards_of_a_fresh_case():
    lesson = next(lesson for lesson in LESSONS if lesson.case is not None)
    page = open_page("lesson", lesson=lesson.name, predicted="none", step="check")
    page.radio(key=f"{lesson.name}/case").set_value(0).run()
    assert len(pressures(page)) == 2
    assert all(WORD in words for words in pressures(page))


def test_the_cards_of_a_case_to_practise_on():
    found = pressures(open_page("practice"))
    assert found
    assert all(WORD in words for words in found), found


def test_the_cards_of_averages():
    found = cards(open_page("averages"))
    assert found
    assert all(WORD in words for _, words in found), found


def test_a_log_of_real_readings_does_not_say_simulated():
    assert WORD not in html(open_page("averages", view="log"))


def test_the_player_is_given_the_word_for_its_cards():
    (player,) = (
        each.proto
        for each in open_page("watch", lesson=LESSONS[0].name, predicted="1").get("bidi_component")
        if each.proto.component_name == "cuffbias_player"
    )
    assert json.loads(player.json)["simulated"] == WORD


def test_the_figure_says_so_beside_each_of_its_two_numbers():
    found = breakdown(Subject(), Technique(), Instrument(), rng=np.random.default_rng(1))
    texts = [text.get_text() for axes in measurement_figure(found).axes for text in axes.texts]
    assert texts.count(WORD) == 2

"""Evidence and limits: every published effect on one page, the misses first."""

import re
from html import unescape

import pytest

from sim.screens import cache
from sim.screens.evidence.finding import Scale, finding, scale
from sim.teach.lesson import place
from sim.teach.limits import left_out
from sim.teach.sources import incomplete
from sim.teach.verdicts import GROUPS, NAMES, OUTSIDE, count, grouped
from sim.teach.verdicts import finding as with_reasons
from tests.screens.opening import html, open_page, texts

# Built in, computed, missed, without a figure: these two lessons have each of them.
SHOWN = ("01-arm-height", "07-elbow-crease")
FILES = [file for file in place().iterdir() if file.name.removesuffix(".md") in SHOWN]


@pytest.fixture
def two_lessons(lesson_folder):
    for file in FILES:
        (lesson_folder / file.name).write_bytes(file.read_bytes())
    cache.lessons.clear()
    return cache.lessons()[0]


def shown_findings(lessons):
    """The findings as the app works them out, once; tests/commands/test_validate.py holds them to the command's."""
    return [with_reasons(k, cache.comparison(k, number)) for k in lessons for number in range(len(k.evidence))]


def test_every_finding_is_on_the_page_with_both_figures_and_its_source(two_lessons):
    page = open_page("evidence")
    assert not page.exception
    shown = unescape(html(page))
    for each in shown_findings(two_lessons):
        evidence = each.evidence
        assert evidence.label in shown
        assert evidence.source in shown
        assert evidence.identifier in shown
        for reason in each.reasons.values():
            assert f"Why: {reason}" in shown
        for effect in each.effects.values():
            if effect.model:
                mean = f"{effect.model.mean:+.1f}".replace("-", "−")
                assert f"■ {mean} [" in shown
    assert count(shown_findings(two_lessons)).sentence in shown
    assert "nan" not in re.findall(r"\w+", shown.lower())


def test_the_misses_come_first_and_alone_are_open(two_lessons):
    page = open_page("evidence")
    found = grouped(shown_findings(two_lessons))
    assert next(iter(found)) == OUTSIDE
    labels = [expander.label for expander in page.expander]
    *of_readings, others = labels
    assert of_readings == [f"{GROUPS[group]} ({len(some)} findings)" for group, some in found.items()]
    assert others.startswith("Misses of other kinds")
    assert [expander.proto.expanded for expander in page.expander] == [*(group == OUTSIDE for group in found), True]


def test_what_the_model_leaves_out_stands_on_the_page(two_lessons):
    words = texts(open_page("evidence")).replace("\\", "")
    for part in left_out():
        assert part.title in words
        for item in part.items:
            assert item in words
    assert "One reading diagnoses nothing." in words


def test_values_without_a_complete_source_stand_on_the_page_with_their_reason(two_lessons):
    words = texts(open_page("evidence")).replace("\\", "")
    listed = incomplete(two_lessons)
    assert any(each.where == (f"lesson: {two_lessons[0].title}",) for each in listed)
    assert any(each.where == ("categories at home",) for each in listed)
    for each in listed:
        assert each.source in words
        assert each.reason in words


def test_without_lessons_the_page_still_says_what_is_left_out(lesson_folder):
    page = open_page("evidence")
    assert not page.exception
    assert left_out()[0].items[0] in texts(page).replace("\\", "")


def test_all_figures_lie_on_the_scale(two_lessons):
    found = shown_findings(two_lessons)
    on = scale(found)
    for each in found:
        places = [float(x) for x in re.findall(r"left:([\d.]+)%", finding(each, on))]
        assert all(0 <= place <= 100 for place in places)
        for effect in each.effects.values():
            for figure in (effect.published, effect.model):
                for name in ("low", "high", "value", "mean"):
                    value = getattr(figure, name, None)
                    assert value is None or on.low <= value <= on.high
    assert set(NAMES) == {"sbp", "dbp"}


def test_places_on_a_scale_run_straight():
    on = Scale(-10, 30)
    assert [on.at(v) for v in (-10, 0, 10, 30)] == [0, 25, 50, 100]

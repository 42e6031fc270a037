"""The page of a log to talk over: what stands on it, and what it says where it leaves something out."""

import re
from html import unescape
from xml.etree import ElementTree

import pytest

from sim.cli import main
from sim.explain.schedules import schedules
from sim.logs.read_csv import read_csv
from sim.logs.summary import COUNTS, summarise
from sim.teach.log_page import ASK, MOST_DAYS, log_page
from sim.teach.safety import SIGNS
from tests.logs.files import week

RULE = next(iter(schedules().values()))
ODD = (
    "2024-05-12,07:00,90,146,70,\n2024-05-12,07:05,1320,84,70,\n2024-05-12,19:10,150,141,,\n2024-05-12,20:00,abc,80,,\n"
)


def page(text=None):
    log = read_csv(text or week())
    found = summarise(log, RULE)
    return log_page(log, found), found


def words(html):
    return unescape(re.sub(r"<[^>]+>", " ", html.split("</style>")[1]))


def drawing(html):
    return ElementTree.fromstring(html[html.index("<svg") : html.index("</svg>") + 6])


def test_it_has_the_average_by_the_rule_the_questions_and_what_to_do_at_once():
    html, found = page()
    said = words(html)
    assert f"{found.figures.sbp:.0f}/{found.figures.dbp:.0f}" in said
    assert f"mean of {found.figures.n} readings" in said
    assert RULE.label in said
    assert all(question in said for question in ASK)
    assert SIGNS in said
    assert "no medical device" in said


def test_it_stands_alone_and_has_no_buttons():
    html, _ = page()
    assert not re.search(r"<(button|script|a|input|link|img)\b|https?://|url\(|@import", html)


def test_the_drawing_has_a_filled_mark_for_what_counts_and_a_hollow_one_for_the_rest():
    html, found = page()
    fills = [mark.get("fill") for mark in drawing(html) if mark.tag == "polygon"]
    counting = sum(row.status == COUNTS for row in found.rows)
    assert (fills.count("#000"), fills.count("#fff")) == (2 * counting, 2 * (len(found.rows) - counting))


def test_the_marks_stand_where_the_readings_are():
    html, found = page()
    svg = drawing(html)
    ticks = {float(t.text): float(t.get("y")) for t in svg if t.tag == "text" and t.get("text-anchor") == "end"}
    (low, high), first = (min(ticks), max(ticks)), found.rows[0].entry
    scale = (ticks[low] - ticks[high]) / (high - low)
    tip = next(m for m in svg if m.tag == "polygon").get("points").split()[2]
    assert float(tip.split(",")[1]) == pytest.approx(ticks[low] - 4 - (first.sbp - low) * scale - 4.6, abs=0.2)


def test_what_was_set_aside_marked_or_not_read_is_there_with_its_reason():
    html, found = page(week() + ODD)
    said = words(html)
    assert "No mean by this rule yet" in said
    assert found.aside[0].reason in said
    assert "Not drawn: 1" in said
    assert "systolic 'abc': must be a number" in said
    assert "First: readings of 180/120 or more" in said
    assert "150/141" in said


def test_a_longer_log_says_how_it_is_shortened():
    html, _ = page(week(days=40, readings=4))
    said = words(html)
    assert f"Only the latest {MOST_DAYS} of 40 days are listed; the picture has all" in said
    assert html.count("<tr>") == MOST_DAYS + 1
    assert "+2" in said
    assert "in the picture" in said
    assert "Only the latest" not in words(page(week(days=MOST_DAYS))[0])


def test_what_a_file_says_cannot_become_part_of_the_page():
    html, _ = page(week() + "2024-05-13,07:00,<script>alert(1)</script>,80,,\n")
    assert "<script" not in html
    assert "&lt;script" in html


def test_a_log_without_readings_still_makes_a_page():
    assert "no readings" in words(page("date,time,sbp,dbp\nsoon,07:00,120,80\n")[0])


def test_the_command_writes_it(tmp_path, capsys):
    log, out = tmp_path / "log.csv", tmp_path / "page.html"
    log.write_text(week(), encoding="utf-8")
    assert main(["average", str(log), "--as-page", str(out)]) == 0
    assert out.read_text(encoding="utf-8") == page()[0]
    capsys.readouterr()
    assert main(["average", str(log), "--as-page", str(tmp_path / "no" / "page.html")]) == 2
    assert "--as-page" in capsys.readouterr().err

"""Lessons on a wall: the queue of an address, the steps of a room, the poll, and what is on the page."""

import re
from urllib.parse import parse_qs, urlsplit

import pytest

from sim.screens import web_address
from sim.screens.present import keys, queue
from sim.screens.present.poll import bars
from sim.screens.present.room import STEPS, Room
from sim.teach.lesson import load_all
from tests.screens.opening import buttons, html, links, open_page, texts

LESSONS, _ = load_all()
FIRST, SECOND = LESSONS[:2]
EACH = pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)


def said(page):
    """What is on the page, as it is read: without the marks that keep it from being taken for Markdown."""
    return texts(page).replace("\\", "")


def right(lesson):
    return next(choice for choice in lesson.predict.choices if choice.right)


def press(page, name):
    return page.button(key=f"room/press/{name}").click().run()


# The queue of an address


def test_a_queue_is_in_the_order_of_the_address_and_names_each_lesson_once():
    asked = {"lessons": f"{SECOND.name}, {FIRST.name},{SECOND.name}"}
    assert queue.wanted(asked, LESSONS) == ((SECOND, FIRST), [])


def test_one_lesson_is_a_queue_of_one_and_none_is_the_first():
    assert queue.wanted({"lesson": SECOND.name}, LESSONS)[0] == (SECOND,)
    assert queue.wanted({}, LESSONS)[0] == (FIRST,)
    assert queue.wanted({"lessons": " , "}, LESSONS)[0] == (FIRST,)


def test_a_wrong_name_is_said_and_the_others_are_shown():
    found, problems = queue.wanted({"lessons": f"nothing,{FIRST.name},{'x' * 500}"}, LESSONS)
    assert found == (FIRST,)
    assert problems[0] == "lessons = nothing: there is no lesson of this name."
    assert len(problems) == 2
    assert len(problems[1]) < 100


def test_what_a_queue_writes_it_reads():
    for chosen in ((FIRST,), (SECOND, FIRST)):
        assert queue.wanted(queue.query(chosen), LESSONS) == (chosen, [])


# The steps of a room


def test_nothing_but_revealing_leads_past_a_question():
    room = Room((FIRST, SECOND))
    room.reveal()
    assert (room.step, room.revealed) == ("start", set())
    for _ in range(5):
        room.go_on()
    assert (room.step, room.revealed) == ("ask", set())
    room.reveal()
    assert room.step == "answer"


def test_after_the_last_step_comes_the_next_lesson_unrevealed():
    room = Room((FIRST, SECOND))
    room.go_on()
    room.reveal()
    for _ in range(3):
        room.go_on()
    assert room.step == list(STEPS)[-1]
    room.go_on()
    assert (room.lesson, room.step, room.can_reveal) == (SECOND, "start", False)
    room.go_on()
    room.go_on()
    assert (room.step, room.can_go_on) == ("ask", False)
    room.go_back()
    room.go_back()
    assert (room.lesson, room.step) == (FIRST, list(STEPS)[-1])


@EACH
def test_a_lever_is_moved_by_steps_that_it_has_and_never_past_its_ends(lesson):
    room = Room((lesson,))
    for _ in lesson.levers:
        lever = room.moving
        for way in (1, -1):
            for _ in range(30):
                room.move(way)
                lever.check(room.values[lever.field])
                if not lever.is_choice:
                    steps = (room.values[lever.field] - lever.low) / lever.step
                    at_end = room.values[lever.field] in (lever.low, lever.high)
                    assert at_end or steps == pytest.approx(round(steps), abs=1e-6)
            ends = (lever.options[0].value, lever.options[-1].value) if lever.is_choice else (lever.high, lever.low)
            assert room.values[lever.field] == ends[way < 0]
        room.put_mistake()
        assert room.values[lever.field] == lever.tempting
        room.put_correct()
        assert room.values == lesson.correct
        room.other_lever()


def test_what_is_held_stays_while_the_lever_moves():
    room = Room((FIRST,))
    room.hold()
    assert room.held is None  # there is nothing to hold before the question
    room.go_on()
    room.reveal()
    room.go_on()
    before = dict(room.values)
    room.hold()
    room.move(-1)
    assert room.shown == before != room.values
    room.hold()
    assert room.shown == room.values


# The poll


def test_hands_are_drawn_as_bars_with_their_numbers_beside_the_right_answer():
    drawn = bars([2, 0, 1], right=0, hands={0: 5, 1: 20, 2: 0})
    rows = re.findall(r'<li class="(\w+)"><b>(\w)</b>.*?width: (\d+)%.*?<span>([^<]*)</span></li>', drawn)
    assert rows == [
        ("other", "A", "0", "0 of 25"),
        ("right", "B", "25", "5 of 25 ✓ right"),
        ("other", "C", "100", "20 of 25"),
    ]
    assert bars([0, 1], right=0, hands={0: 0}) == ""


# The page


@EACH
def test_each_lesson_gives_nothing_away_before_it_is_revealed(lesson):
    page = open_page("present", lesson=lesson.name)
    assert not page.exception
    assert page.button(key="room/press/reveal").disabled
    press(page, "next")
    assert lesson.predict.question in said(page)
    assert page.button(key="room/press/next").disabled
    assert right(lesson).reply.removeprefix("Yes. ") not in texts(page)
    assert 'class="numbers"' not in html(page)
    press(page, "reveal")
    assert not page.exception
    assert right(lesson).reply.removeprefix("Yes. ") in texts(page)
    assert "number truth" in html(page)
    assert "number display" in html(page)


def test_a_class_goes_through_a_queue_of_two_with_a_poll():
    page = open_page("present", lessons=f"{FIRST.name},nothing,{SECOND.name}")
    assert "nothing: there is no lesson of this name" in said(page)
    press(page, "next")
    for number, count in enumerate((3, 5, 12, 1)):
        page.number_input(key=f"room/hands/{FIRST.name}/{number}").set_value(count)
    page.run()
    press(page, "reveal")
    assert "12 of 21 ✓ right" in html(page)
    press(page, "next")
    shown = html(page)
    press(page, "hold")
    press(page, "down")
    assert html(page) == shown
    press(page, "hold")
    assert html(page) != shown
    press(page, "next")
    assert FIRST.takeaway.steps[0] in texts(page)
    press(page, "next")
    press(page, "next")
    assert SECOND.question in said(page)
    assert page.button(key="room/press/reveal").disabled
    press(page, "next")
    assert page.number_input(key=f"room/hands/{SECOND.name}/0").value == 0
    press(page, "back")
    press(page, "back")
    for _ in range(4):
        press(page, "back")
    assert [page.number_input(key=f"room/hands/{FIRST.name}/{n}").value for n in range(4)] == [3, 5, 12, 1]


def test_a_blank_screen_shows_nothing_and_comes_back_where_it_was():
    page = open_page("present", lesson=FIRST.name)
    press(page, "next")
    press(page, "blank")
    assert FIRST.predict.question not in said(page)
    assert buttons(page) == ["room/press/blank"]
    press(page, "blank")
    assert FIRST.predict.question in said(page)


def test_an_address_without_any_lesson_says_so():
    page = open_page("present", lesson="nothing")
    assert not page.exception
    assert "lesson = nothing: there is no lesson of this name" in said(page)


def test_loaded_again_a_queue_goes_on_with_the_same_lesson_and_reveals_nothing():
    page = open_page("present", lessons=f"{FIRST.name},{SECOND.name}", at="2")
    assert SECOND.question in said(page)
    assert page.button(key="room/press/reveal").disabled
    for wrong in ("0", "3", "x", "-1", "²", "9" * 50):
        assert FIRST.question in said(open_page("present", lessons=f"{FIRST.name},{SECOND.name}", at=wrong))


def test_lesson_and_player_lead_to_the_wall():
    for page, query in (
        (open_page("lesson", lesson=FIRST.name), f"lesson={FIRST.name}"),
        (open_page("lesson", lesson=FIRST.name, predicted="1"), f"lesson={FIRST.name}"),
        (open_page("watch", lesson=FIRST.name), "view=watch"),
    ):
        (link,) = [each for each in links(page) if each.label == "Show this to a room"]
        assert query in link.query_string


def test_the_player_stands_on_the_wall_and_its_lever_moves_the_reading():
    page = open_page("present", view="watch", lesson=FIRST.name, predicted="1", seed="1", chance="yes")
    assert not page.exception

    def given():
        (made,) = (c for c in page.get("bidi_component") if c.proto.component_name == "cuffbias_player_on_wall")
        return made.proto.json

    before = given()
    press(page, "up")
    assert given() != before


def test_every_key_names_a_button_and_no_key_does_two_things():
    all_keys = [key for each in keys.KEYS for key in each.keys]
    assert len(all_keys) == len(set(all_keys))
    assert all(each.shown in keys.table() and each.words in keys.table() for each in keys.KEYS)
    page = open_page("present", lesson=SECOND.name)
    press(page, "next")
    press(page, "reveal")
    press(page, "next")
    on_page = {str(button.key).rpartition("/")[2] for button in page.button}
    assert {each.button for each in keys.KEYS} - on_page == {"keys"}  # a popover


# Addresses for others


@pytest.fixture
def shared(monkeypatch):
    """The app as `cuffbias app --share --host 192.168.0.20 --port 8765` serves it."""
    options = {"server.address": "0.0.0.0", "browser.serverAddress": "192.168.0.20", "server.port": 8765}
    monkeypatch.setattr("sim.screens.web_address.st.get_option", options.__getitem__)


def test_shared_links_have_the_address_for_phones_and_a_qr_code_with_words(shared):
    page = open_page("lesson", lesson=FIRST.name, predicted="1")
    found = [block.value for block in page.code]
    assert len(found) == 3
    for link in found:
        split = urlsplit(link)
        assert (split.scheme, split.netloc, split.path) == ("http", "192.168.0.20:8765", "/lesson")
        assert parse_qs(split.query)["lesson"] == [FIRST.name]
    assert re.search(r'<figure class="qr"><img alt="QR code: [^"]*192\.168\.0\.20:8765/lesson', html(page))
    assert web_address.ONLY_HERE not in texts(page)
    assert "192.168.0.20:8765" in html(open_page("present", lesson=FIRST.name))


def test_links_say_that_they_work_only_here_where_nothing_is_shared(monkeypatch):
    options = {"server.address": "127.0.0.1", "browser.serverAddress": "localhost", "server.port": 8765}
    monkeypatch.setattr("sim.screens.web_address.st.get_option", options.__getitem__)
    page = open_page("lesson", lesson=FIRST.name, predicted="1")
    assert web_address.ONLY_HERE in texts(page)
    assert 'class="qr"' not in html(page)
    assert len(page.code) == 3

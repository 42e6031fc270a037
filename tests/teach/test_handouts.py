"""Pages to print: complete, one side a lesson, safe to hand out, readable by every program."""

from __future__ import annotations

import dataclasses
import itertools
import re

import pytest

from sim.fields import FieldError
from sim.screens.handouts.paper_pictures import pictures
from sim.teach import safety
from sim.teach.handouts import words
from sim.teach.handouts.class_sheet import sheets
from sim.teach.handouts.lesson_page import page, runs
from sim.teach.handouts.typeset import content, pdf, unprintable
from sim.teach.handouts.wanted import LINES, NOTE_LINES, Clinic, Wanted, home_schedules
from sim.teach.lesson import Lesson, load_all
from tests.teach.pdf_pages import fonts, made, run_together, sizes, tags, words_on

LESSONS = list(load_all()[0])
EMPTY = Clinic()
FULL = Clinic(
    **{name: ("Wide words " * 30)[: line.longest].strip() for name, line in LINES.items() if name != "notes"},
    notes="\n".join(["Bring this page with you to each and every visit, please"] * NOTE_LINES),
)
SIDES = {"A4": ("a4", (595, 842)), "Letter": ("letter", (612, 792))}

each_lesson = pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)


@pytest.fixture(scope="module", params=[("A4", EMPTY), ("Letter", FULL)])
def all_lessons(request):
    """Paper, what the clinic says, and every lesson on it."""
    paper, clinic = request.param
    return paper, clinic, made(LESSONS, paper=SIDES[paper][0], clinic=clinic)


@pytest.fixture(scope="module")
def everything():
    """Two lessons in large print with all that there can be besides."""
    return made(LESSONS[:2], class_sheet=True, log="home-week-drop", large_print=True)


# One side for each lesson


def test_each_lesson_has_one_side_whose_letters_can_be_read(all_lessons):
    """The least was looked at. In this typeface an x is tall: 0.547 of the size."""
    paper, clinic, reader = all_lessons
    assert len(reader.pages) == len(LESSONS) >= 24
    for lesson, side, text, letters in zip(LESSONS, reader.pages, words_on(reader), sizes(reader), strict=True):
        assert (round(side.mediabox.width), round(side.mediabox.height)) == SIDES[paper][1]
        assert run_together(lesson.title) in text
        body = max(set(letters), key=letters.count)
        assert body >= (9.0 if clinic == EMPTY else 8.0), (lesson.name, body)


def test_every_word_of_a_page_is_on_its_side(all_lessons):
    _, clinic, reader = all_lessons
    for lesson, text in zip(LESSONS, words_on(reader), strict=True):
        told = page(lesson, pictures(lesson), clinic)
        shown = [lesson.title, lesson.takeaway.text, *lesson.takeaway.steps, *told["sources"]]
        shown += [p.words for p in pictures(lesson)] + [line.label for line in LINES.values()]
        shown += [v for name in LINES for v in getattr(clinic, name).splitlines()]
        shown += [words.SURPRISE_TITLE, words.SURPRISE, words.EITHER, words.WHATEVER, words.TREATMENT]
        shown += [safety.EMERGENCY_TITLE, safety.EMERGENCY_SYMPTOMS, safety.EMERGENCY_NONE, safety.NO_DEVICE]
        shown += [safety.ARMS_TITLE, safety.ARMS, safety.WHICH_ARM]
        assert not [each for each in shown if run_together(each) not in text], lesson.name


def test_nothing_is_cut_at_the_edge(all_lessons):
    """Every letter stands inside the paper."""
    _, _, reader = all_lessons
    for side in reader.pages:
        places: list[tuple[float, float]] = []
        side.extract_text(
            visitor_text=lambda text, place, line, font, size, places=places: places.append(
                (line[4] * place[0] + place[4], line[5] * place[3] + place[5]) if text.strip() else (50, 50)
            )
        )
        assert all(20 < x < float(side.mediabox.width) and 15 < y < float(side.mediabox.height) for x, y in places)


# Large print


def test_large_print_has_no_letter_below_18_points(everything):
    assert min(min(letters) for letters in sizes(everything)) >= 18
    headings = {size for letters in sizes(everything) for size in letters}
    assert {20, 22} <= headings


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_lesson_in_large_print_has_two_sheets_at_most(paper):
    starts = [i for i, side in enumerate(words_on(made(LESSONS, large_print=True, paper=paper))) if "Hours:" in side]
    assert len(starts) == len(LESSONS)
    assert all(2 <= after - here <= 4 for here, after in itertools.pairwise(starts))


def test_every_side_of_many_says_that_this_is_no_medical_device(everything):
    assert all(run_together(words.FOOT) in text for text in words_on(everything))


# For every program and every printer


def test_title_language_and_tags(everything):
    root = everything.trailer["/Root"]
    assert root["/Lang"] == "en"
    assert LESSONS[0].title in everything.metadata.title
    assert root["/MarkInfo"]["/Marked"].value
    assert root["/ViewerPreferences"]["/DisplayDocTitle"].value
    assert b"<pdfuaid:part>1</pdfuaid:part>" in everything.xmp_metadata.stream.get_data()
    kinds = [tag.get("/S") for tag in tags(everything)]
    assert kinds.count("/H1") == 2 + 2 + 1  # lessons, questions and answers, the form
    assert kinds.count("/H2") > 10
    assert {"/L", "/LI", "/P", "/Table", "/TH", "/TD"} <= set(kinds)
    told = [tag["/Alt"] for tag in tags(everything) if tag.get("/S") == "/Figure"]
    assert told == [picture.words for lesson in LESSONS[:2] for picture in pictures(lesson)]


def test_every_font_is_inside_and_none_is_the_machines(all_lessons):
    for font in fonts(all_lessons[2]):
        assert "DejaVuSans" in font["/BaseFont"]
        assert {"/FontFile2", "/FontFile3"} & set(font["/FontDescriptor"])


def test_drawings_are_lines_and_not_pixels(all_lessons):
    for side in all_lessons[2].pages:
        assert not side.images


def test_the_same_pages_are_the_same_bytes():
    wanted = Wanted(LESSONS[:1], class_sheet=True)
    assert pdf(wanted) == pdf(wanted)


# What people write


def test_what_people_write_is_shown_as_it_stands_and_does_nothing():
    odd = '#panic("x") *b* $1/0$ <a> @b \\ {{ "q" \' é Ł ≥ Ж'
    clinic = Clinic(clinic=odd[:50], notes=f"{odd}\n= no heading\n// no comment /* */ [x](y) **b**")
    reader = made(LESSONS[:1], clinic=clinic)
    text = words_on(reader)[0]
    assert run_together('#panic("x") *b* $1/0$ <a> @b \\ {{ "q" \' é Ł ≥ Ж') in text
    for each in ("= no heading", "// no comment /* */ [x](y)"):
        assert run_together(each) in text
    lesson = dataclasses.replace(
        LESSONS[0],
        title='#import "x": *',
        takeaway=dataclasses.replace(LESSONS[0].takeaway, text="$x #eval(1)", steps=('#read("/etc/hosts")',)),
    )
    text = words_on(made([lesson]))[0]
    assert '#import"x":*' in text
    assert "$x#eval(1)" in text
    assert '#read("/etc/hosts")' in text


def test_a_letter_that_cannot_be_printed_is_named():
    assert unprintable("Zürich, Łódź, Αθήνα, Москва, عيادة") == ""
    with pytest.raises(FieldError, match="hours = '时'"):
        pdf(Wanted(LESSONS[:1], clinic=Clinic(hours="8 时")))
    odd = dataclasses.replace(LESSONS[0], title="读数")
    with pytest.raises(FieldError, match="lesson 01-arm-height = '读数'"):
        pdf(Wanted([odd]))


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (lambda: Clinic(telephone="1" * 41), "telephone = 41 letters: must be at most 40 letters"),
        (lambda: Clinic(notes="a\n" * 5), "notes = 5 lines: must be at most 4 lines"),
        (lambda: Wanted(), "pages = none"),
        (lambda: Wanted(LESSONS[:1], paper="a5"), "paper = 'a5': must be one of a4, letter"),
        (lambda: Wanted(log="office-one"), "log = 'office-one': must be one of home-week-drop"),
        (lambda: Wanted(log="home-week", class_sheet=True), "class sheet = alone"),
    ],
)
def test_what_cannot_be_printed_is_named(wrong, says):
    with pytest.raises(FieldError) as raised:
        wrong()
    assert says in str(raised.value)


def test_an_empty_line_is_left_to_write_on():
    assert Clinic(clinic="  \n ").clinic == ""
    assert Clinic(notes=" a \n\n b  c ").notes == "a\nb c"
    assert runs("") == []


# Safe to hand out


@each_lesson
def test_no_pressure_of_the_model_is_in_a_drawing(lesson: Lesson):
    """A drawing for patients has no number but the minutes of rest, and its words have none."""
    for picture in pictures(lesson):
        labels = re.findall(r"<text[^>]*>([^<]*)</text>", picture.svg)
        assert set(re.findall(r"\d+ ?\w*", " ".join(labels))) <= {"0 min", "5 min"}, labels
        assert not re.search(r"\d|mmHg", picture.words)


@each_lesson
def test_a_lesson_has_its_drawing_of_what_to_do(lesson: Lesson):
    shown = pictures(lesson)
    assert [p.like_this for p in shown] in ([True], [False, True], [None])
    assert len({p.svg for p in shown}) == len({p.words for p in shown}) == len(shown)


@each_lesson
def test_nobody_is_told_to_correct_a_number(lesson: Lesson):
    """Where a sentence speaks of altering a number, it forbids it."""
    fixed = [value for name, value in vars(words).items() if name.isupper() and isinstance(value, str)]
    text = " ".join([lesson.takeaway.text, *lesson.takeaway.steps, *fixed])
    assert "subtract" not in text.lower()
    alters = re.compile(
        r"\b(correct|convert|adjust|shift|change one|add \d|deduct|take (?:\d+|\w*thing) off|"
        r"(?:off|to|from) (?:the|both) numbers?)",
        re.I,
    )
    for sentence in re.split(r"(?<=[.:;?!])\s", text):
        if alters.search(sentence):
            assert re.search(r"\b(never|not|no)\b", sentence, re.I), sentence


@each_lesson
def test_sources_stand_on_the_page_once(lesson: Lesson):
    told = page(lesson, (), EMPTY)["sources"][1]
    for evidence in (e for e in lesson.evidence if e.doi or e.pmid or e.pmcid):
        assert told.count(f"{evidence.source}, {evidence.identifier}") == 1


# For a class, and for home


def test_the_answers_stand_on_a_sheet_apart_and_are_right(everything):
    told = sheets(LESSONS)
    asked = [q for part in told["parts"] for q in part["questions"]]
    assert [q["number"] for q in asked] == list(range(1, len(asked) + 1))
    assert len(asked) == sum(1 + len(lesson.checks) for lesson in LESSONS)
    right = {c.text for lesson in LESSONS for c in lesson.predict.choices if c.right}
    right |= {c.text for lesson in LESSONS for check in lesson.checks for c in check.choices if c.right}
    for question in asked:
        (chosen,) = [c for c in question["choices"] if c["letter"] == question["letter"]]
        assert chosen["text"] == question["right"]
        assert "".join(piece["text"] for piece in chosen["text"]) in {text.replace("**", "") for text in right}
    assert len({q["letter"] for q in asked}) >= 3  # the right one has no place of its own
    text = words_on(everything)
    (questions,) = [i for i, side in enumerate(text) if run_together(words.CLASS_TITLE) in side]
    (answers,) = [i for i, side in enumerate(text) if run_together(words.ANSWERS_TITLE) in side]
    reason = run_together(LESSONS[0].checks[0].choices[0].reason)
    assert questions < answers
    assert reason not in "".join(text[:answers])
    assert reason in "".join(text[answers:])


@pytest.mark.parametrize("name", home_schedules())
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_form_has_room_for_every_reading_of_its_schedule_on_one_side(name, paper):
    plan = home_schedules()[name]
    reader = made([], log=name, paper=paper, clinic=FULL)
    assert len(reader.pages) == 1
    large = made([], log=name, large_print=True)
    cells = [tag for tag in tags(large) if tag.get("/S") == "/TD"]
    assert len(cells) == plan.days * (1 + plan.sessions) + plan.taken * 5  # number, upper, lower, pulse, note
    text = words_on(reader)[0]
    told = [safety.EMERGENCY_SYMPTOMS, safety.NO_DEVICE, words.TREATMENT, plan.source, plan.doi, FULL.emergency]
    assert not [each for each in told if run_together(each) not in text]
    assert text.count("Morning") == text.count("Evening") == plan.days
    assert ("notcountedinthemean" in text) is (plan.drop_days > 0)


def test_everything_on_the_pages_is_told_to_the_typesetter_as_data():
    from importlib import resources

    source = resources.files("sim.teach.handouts").joinpath("pages.typ").read_text("utf-8")
    assert "eval" not in source
    assert content(Wanted(LESSONS[:1]))["lessons"][0]["title"] == LESSONS[0].title

"""Lessons of one's own: read beside the built-in ones; each mistake is told with its line and in plain words."""

import re
from importlib import resources
from pathlib import Path

import pytest

from sim.explain.same_arm import FIRST_SEED
from sim.teach import path
from sim.teach.check_file import problems
from sim.teach.claims import check
from sim.teach.lesson import LONGEST, load_all, load_folder
from sim.teach.parse import parse
from tests.teach.files import OFF_THE_LINES

TEMPLATE = resources.files("sim.teach").joinpath("new_lesson.md").read_text(encoding="utf-8")
BUILT_IN = [lesson.name for lesson in load_all()[0]]


def without_evidence(text):
    return text[: text.index("[[evidence]]")] + text[text.index("[takeaway]") :]


OWN = without_evidence(OFF_THE_LINES)


def wrong(old, new, text=OWN):
    assert old in text
    lesson, found = parse("our-cuffs.md", text.replace(old, new, 1), local=True)
    assert lesson is None
    return [(fault.line, fault.key, fault.expected) for fault in found]


def line_of(words, text=OWN):
    return text[: text.index(words)].count("\n") + 1


def test_they_come_after_the_built_in_ones_and_are_marked(tmp_path: Path):
    (tmp_path / "our-cuffs.md").write_text(OWN, encoding="utf-8")
    (tmp_path / "02-and-more.md").write_text(OWN, encoding="utf-8")
    lessons, faults = load_all(tmp_path)
    assert not faults
    assert [lesson.name for lesson in lessons] == [*BUILT_IN, "02-and-more", "our-cuffs"]
    assert [lesson.local for lesson in lessons[-3:]] == [False, True, True]
    assert [lesson.name for lesson in path.parts(lessons)[2]] == ["02-and-more", "our-cuffs"]
    assert path.number(lessons[-2]) == ""


def test_a_built_in_name_is_taken_and_a_built_in_lesson_needs_evidence(tmp_path: Path):
    (tmp_path / "01-arm-height.md").write_text(OWN, encoding="utf-8")
    lessons, faults = load_all(tmp_path)
    assert [lesson.name for lesson in lessons] == BUILT_IN
    assert str(faults[0]) == (
        "01-arm-height.md: file name: expected a name that no other lesson has; found 01-arm-height.md"
    )
    assert [fault.key for fault in parse("25-ours.md", OWN)[1]] == ["evidence"]
    assert parse("25-ours.md", OWN, local=True)[0] is not None


@pytest.mark.parametrize("name", ["Our.md", "our cuffs.md", "-a.md", "a--b.md", f"{'a' * 61}.md", "a_b.md"])
def test_a_name_that_no_address_takes_is_a_fault(name):
    assert [fault.key for fault in parse(name, OWN, local=True)[1]] == ["file name"]


def test_a_folder_that_is_gone_and_files_that_are_none(tmp_path: Path):
    assert [fault.local for fault in load_all(tmp_path / "gone")[1]] == [True]
    (tmp_path / "a.md").write_bytes(b"+++\n\n\xff")
    (tmp_path / "b.md").mkdir()
    (tmp_path / "c.md").write_bytes(b"+" * (LONGEST + 1))
    (tmp_path / "d.md").write_bytes(b"")
    (tmp_path / ".e.md").write_bytes(b"of an editor")
    lessons, faults = load_folder(tmp_path, local=True)
    assert not lessons
    assert [(fault.file, fault.line) for fault in faults] == [("a.md", 3), ("b.md", 0), ("c.md", 0), ("d.md", 1)]


# What is changed in the file, and the words of what was expected. The line is that of the change.
MISTAKES = [
    ('title = "Height"', "title = “Height”", "straight quotes"),
    ('title = "Height"', "title = „Height“", "straight quotes"),
    ('title = "Height"', "title = ‘Height’", "straight quotes"),
    ('title = "Height"', 'title = “The "best" height”', "straight quotes"),
    ('steps = ["Rest it."]', "steps = [“Rest it.”]", "straight quotes"),
    ('value = "10.5x21", label = "small"', "value = “10.5x21”, label = “small”", "straight quotes"),
    ('title = "Height"', "title = The height of it", "a text between straight quotes"),
    ('title = "Height"', 'title = "Height', "a closing quote"),
    ('title = "Height"', 'title = Height"', "an opening quote"),
    ('title = "Height"', 'title = "The "best" height"', "curly or single quotes inside a text"),
    ('title = "Height"', 'title = "Height\nof it"', "on one line"),
    ('title = "Height"', 'title = "C:\\our"', "two backslashes"),
    ('title = "Height"', 'title: "Height"', "the sign ="),
    ('title = "Height"', 'title "Height"', "the sign ="),
    ('title = "Height"', 'title == "Height"', "one sign ="),
    ('title = "Height"', "title =", "a value behind"),
    ('title = "Height"', "our title", "a line of TOML"),
    ("step = 2", "step = 0,5", "a point in a number"),
    ("tempting = 12", "tempting = −12", "a hyphen"),
    ("right = false", "right = False", "true or false"),
    ("right = true", "right = yes", "true or false"),
    ("[[check]]", "[[check]", "two brackets on both sides"),
    ("[takeaway]", "[takeaway", "as many brackets"),
    ('steps = ["Rest it."]', 'steps = ["Rest it."', "a closing bracket"),
    ('}, { value = "13.5x26"', '} { value = "13.5x26"', "a comma"),
    ("minutes = 5", "minutes = 5\nminutes = 6", "each key once"),
    ("[takeaway]", "[predict]\n[takeaway]", "each key once"),
    ('title = "Height"', "title = " + "[" * 5000, "a line of TOML"),
    ("minutes = 5", "minutes = " + "9" * 5000, "a number"),
]


@pytest.mark.parametrize(("old", "new", "expected"), MISTAKES, ids=[f"{new[:20]}" for _, new, _ in MISTAKES])
def test_a_mistake_in_toml_names_its_line_and_what_was_expected(old, new, expected):
    found = wrong(old, new)
    told = [(line, words) for line, _, words in found if expected in words]
    changed = line_of(old) + ("\nminutes" in new or ("our title" in new and 0))
    assert told, found
    assert told[0][0] == changed


def test_a_mistake_within_a_list_of_many_lines_names_the_line_within():
    steps = 'steps = [\n    "Rest it.",\n    “Wait.”,\n    "Measure."\n]'
    assert [line for line, *_ in wrong('steps = ["Rest it."]', steps)] == [line_of("steps = [") + 2]
    steps = steps.replace("“Wait.”,", '"Wait."')
    assert [line for line, *_ in wrong('steps = ["Rest it."]', steps)] == [line_of("steps = [") + 2]


def test_all_mistakes_are_told_at_once_those_of_toml_and_those_of_keys():
    text = OWN.replace('title = "Height"', "title = “Height”").replace("step = 2", "step = 0,5")
    found = wrong("minutes = 5", "minutes = 99", text)
    assert [line for line, *_ in found][:2] == [line_of("title"), line_of("minutes")]
    assert (line_of("step = 2"), "", "a point in a number, no comma") in found


@pytest.mark.parametrize(
    ("old", "new", "key", "words", "up"),
    [
        ("sbp = 134", "sbp = 1340", "scenario, subject, sbp", "from 60 to 260 mmHg", 0),
        ("dbp = 85", "dpb = 85", "scenario, subject, dpb", "perhaps 'dbp'", 0),
        ('picture = "arm-height"', 'picture = "arm-hieght"', "picture", "perhaps 'arm-height'", 0),
        ('"technique.cuff_below_heart_cm"', '"technique.cuff_below_hart_cm"', "lever 1, field", "(perhaps 'tech", 0),
        ('question = "Which?"\n', "", "check 1, question", "some text", 1),
        ('reason = "It is not."', "", "check 1, choice 2, reason", "its reason", 3),
        ("## What to do\n", "## Doing\n", "body", "## What to do", 4),
        ("Weight.", "", "body, Why it happens", "some text below", 2),
    ],
)
def test_a_fault_of_a_key_names_the_line_of_the_key_or_of_its_table(old, new, key, words, up):
    """up: so many lines above the change, where the key is missing: its table, or the first heading."""
    found = wrong(old, new)
    assert [k for _, k, _ in found] == [key]
    assert words in found[0][2]
    assert found[0][0] == line_of(old) - up


def test_positions_that_do_not_go_together_are_a_fault_and_no_traceback_later():
    lever = OWN.replace('"technique.cuff_below_heart_cm"', '"subject.sbp"', 1)
    lever = lever.replace(
        "low = -10\nhigh = 30\nstep = 2\ncorrect = 0", "low = 60\nhigh = 200\nstep = 2\ncorrect = 134"
    )
    found = wrong("tempting = 12", "tempting = 160", lever.replace('"technique.cuff_below_heart_cm" = 12', ""))
    assert ("lever", True) in [(key, "positions that go together" in words) for _, key, words in found]
    found = wrong("[scenario.instrument]", "[scenario.instrument]\nstart_mmhg = 60\nend_mmhg = 60")
    assert found[0][1] == "scenario"
    assert "far enough above the end of deflation" in found[0][2]


def test_numbers_beyond_all_bounds_are_faults():
    for number in ("9" * 400, "0x" + "f" * 6000, "1e999", "nan"):
        for old in ("sbp = 134", "step = 2", "minutes = 5"):
            assert wrong(old, old.split("=")[0] + "= " + number)


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('title = "Height"', 'title = "Height ![x](http://elsewhere.example/x.png)"', "title"),
        ('title = "Height"', r'title = "Height \u0021[x](http://elsewhere.example/x.png)"', "title"),
        ('steps = ["Rest it."]', 'steps = ["Rest it.", "![x][y]"]', "takeaway, steps"),
        ('reason = "It is not."', 'reason = "![x][y]"', "check 1, choice 2, reason"),
        ("\nMuch.\n", "\nMuch. ![x][y]\n\n[y]: http://elsewhere.example/x.png\n", "body"),
    ],
)
def test_a_text_fetches_no_picture_from_elsewhere(old, new, key):
    (found,) = wrong(old, new)
    assert found[1] == key
    assert found[2] == "no picture in a text; the key picture says which drawing the lesson has"


def test_what_is_told_stays_on_one_line():
    for old, new in (('title = "Height"', '"ti\\ntle" = 1'), ('title = "Height"', f"{'x' * 3000} = 1")):
        _, found = parse("our-cuffs.md", OWN.replace(old, new), local=True)
        assert all("\n" not in str(fault) and len(str(fault)) < 400 for fault in found)


def test_the_lesson_to_begin_with_has_no_fault_and_agrees_with_the_model(tmp_path: Path):
    (tmp_path / "our-table.md").write_text(TEMPLATE, encoding="utf-8")
    assert problems(tmp_path / "our-table.md") == []
    lesson, _ = parse("our-table.md", TEMPLATE, local=True)
    assert lesson is not None
    assert not [str(each) for each in check(lesson, seed=FIRST_SEED + 1, n=200) if not each.holds]


def test_the_lesson_to_begin_with_explains_every_key():
    """A note stands above each key, or above an earlier one of the same name or the table that it stands in."""
    keys = TEMPLATE[: TEMPLATE.rindex("+++")].split("\n")
    explained, noted = set(), False
    for line in keys:
        if line.startswith("#"):
            noted = True
        elif not line:
            noted = False
        elif named := re.match(r"(\[+[a-z.]+\]+|[a-z_]+ =)", line):
            assert noted or named[1] in explained, line
            explained.add(named[1])
    assert len(explained) > 30


def test_words_that_part_from_the_model_are_told_with_line_and_sentence(tmp_path: Path):
    file = tmp_path / "our-table.md"
    file.write_text(TEMPLATE.replace('way = "lower", about = -8', 'way = "higher", about = 8'), encoding="utf-8")
    found = problems(file)
    line = TEMPLATE[: TEMPLATE.index("[case.shows]")].count("\n") + 1
    assert len(found) == 2
    assert found[0].startswith(f"our-table.md: line {line}: case, shows: the words say systolic higher by about +8")
    assert 'The words: "Above the heart the weight of the blood is missing, so both' in found[0]


def test_a_cuff_that_does_not_fit_is_told_once_with_sizes_that_do(tmp_path: Path):
    file = tmp_path / "our-table.md"
    file.write_text(TEMPLATE.replace('bladder = "13.5x26"', 'bladder = "9x18"', 1), encoding="utf-8")
    told = [line for line in problems(file) if ": scenario: " in line]
    assert len(told) == 1
    assert "a bladder that fits an arm of 30 cm is 11 to 15 cm wide" in told[0]

"""Every way to spoil a lesson file is reported with the file, the key and what was expected."""

import pickle

import pytest

from sim.teach.keys import LessonFault
from sim.teach.lesson import load, load_folder
from sim.teach.parse import SECOND_ESTIMATORS, parse
from tests.teach.files import GOOD

FILE = "07-height.md"
SECOND = ", ".join(SECOND_ESTIMATORS)


def faults(text, file=FILE):
    lesson, found = parse(file, text)
    assert (lesson is None) == bool(found)
    assert all(fault.file == file for fault in found)
    return [(fault.key, fault.expected, fault.found) for fault in found]


def spoiled(old, new, count=1):
    assert old in GOOD
    return GOOD.replace(old, new, count)


def test_the_lesson_to_be_spoiled_has_no_fault():
    assert faults(GOOD) == []
    assert faults(GOOD.replace("\n", "\r\n")) == []


# What is changed: old text, new text; where the fault is reported; words of what was expected.
SPOILED = [
    # the whole file
    ('title = "Height"', "", "title", "some text"),
    ('title = "Height"', 'title = ""', "title", "some text"),
    ('title = "Height"', "title = 3", "title", "some text"),
    ('title = "Height"', 'titel = "Height"\ntitle = "Height"', "titel", "perhaps 'title'"),
    ("minutes = 5", "minutes = 0", "minutes", "a whole number from 1 to 60"),
    ("minutes = 5", "minutes = 5.5", "minutes", "a whole number from 1 to 60"),
    ("minutes = 5", "minutes = true", "minutes", "a whole number from 1 to 60"),
    ("minutes = 5", "minutes = nan", "minutes", "a whole number from 1 to 60"),
    ('picture = "arm-height"', 'picture = "arm"', "picture", "one of arm-height, cuff-field, sleeve, talking"),
    (
        "minutes = 5",
        'minutes = 5\ncompare_with = "ratio"',
        "compare_with",
        f"one of {SECOND}",
    ),
    (
        "minutes = 5",
        'minutes = 5\ncompare_with = ""',
        "compare_with",
        f"one of {SECOND}",
    ),
    # the scenario
    ("sbp = 130", "sbp = 300", "scenario, subject, sbp", "from 60 to 260 mmHg"),
    ("sbp = 130", 'sbp = "130"', "scenario, subject, sbp", "from 60 to 260 mmHg"),
    ("sbp = 130", "sbp = true", "scenario, subject, sbp", "from 60 to 260 mmHg"),
    ("sbp = 130", "sbp = 85", "scenario, subject, dbp", "at least 10 mmHg below sbp"),
    ("sbp = 130", "spb = 130", "scenario, subject, spb", "a field of the subject: sbp, dbp"),
    ('bladder = "13.5x26"', 'bladder = "huge"', "scenario, instrument, bladder", "'small adult'"),
    ("[scenario.subject]", "[scenario.person]", "scenario, person", "known here: instrument, subject, technique"),
    # levers
    ('"technique.cuff_below_heart_cm"', '"technique.height"', "lever 1, field", "cuff_below_heart_cm"),
    ('"technique.cuff_below_heart_cm"', '"arm.height"', "lever 1, field", "subject., technique. or instrument."),
    ('label = "Below the heart"', "", "lever 1, label", "some text"),
    ("low = -10", "low = -90", "lever 1, low", "from -40 to 60 cm"),
    ("high = 30", "high = 90", "lever 1, high", "from -40 to 60 cm"),
    ("high = 30", "high = -20", "lever 1, high", "a number above low"),
    ("step = 2", "step = 0", "lever 1, step", "a number above 0"),
    ("step = 2", "step = 100", "lever 1, step", "up to high less low, 40"),
    ("correct = 0", "correct = 2", "lever 1, correct", "the scenario's value, 0"),
    ("correct = 0", "correct = 1", "lever 1, correct", "in steps of 2"),
    ("tempting = 12", "tempting = 32", "lever 1, tempting", "from -10 to 30"),
    ("tempting = 12", "tempting = 0", "lever 1, tempting", "other than the correct one"),
    ("tempting = 12", "tempting = nan", "lever 1, tempting", "a number"),
    ("tempting = 12", 'tempting = 12\noptions = [{ value = "no", label = "no" }]', "lever 1, options", "no such key"),
    ('value = "10.5x21"', 'value = "vast"', "lever 2, options 1, value", "width x length"),
    ('value = "10.5x21"', 'value = "13.5x26"', "lever 2, options", "each value once"),
    ('{ value = "10.5x21", label = "small" }, ', "", "lever 2, options", "from 2 to 8"),
    ('tempting = "10.5x21"', 'tempting = "adult"', "lever 2, tempting", "one of 10.5x21, 13.5x26"),
    ('tempting = "10.5x21"', 'tempting = "13.5x26"', "lever 2, tempting", "a wrong value"),
    ('bladder = "13.5x26"', 'bladder = "16x32"', "lever 2, correct", "the scenario's value, 16x32"),
    ('help = "Its size."', 'help = "Its size."\nstep = 1', "lever 2, step", "no such key"),
    # what the words claim
    (
        '[lever.shows]\nsbp = { way = "higher", about = 9 }\ndbp = { way = "higher", about = 9 }\nmore = "alike"\n',
        "",
        "lever 1, shows",
        "what the words claim of the readings",
    ),
    ('[case.shows]\nsbp = { way = "lower", about = -8 }\n', "", "case, shows", "what the words claim of the readings"),
    ('sbp = { way = "higher", about = 9 }', 'sbp = { way = "up" }', "lever 1, shows, sbp, way", "higher, lower, same"),
    ('sbp = { way = "higher", about = 9 }', "sbp = {}", "lever 1, shows, sbp", "at least one of about, high, low, way"),
    ('sbp = { way = "higher", about = 9 }', "sbp = 9", "lever 1, shows, sbp", 'a table such as { way = "higher"'),
    ('sbp = { way = "higher", about = 9 }', "sbp = { low = 3, high = 2 }", "lever 1, shows, sbp, high", "above low"),
    ('sbp = { way = "lower", about = -8 }', "", "case, shows, sbp", "here or for dbp"),
    ('more = "alike"', 'more = "both"', "lever 1, shows, more", "one of alike, sbp, dbp"),
    ('more = "alike"', 'scatter = "less"', "lever 1, shows, scatter", "one of wider"),
    ('more = "alike"', 'numbers = "some"', "lever 1, shows, numbers", "one of all, nearly all, most, few"),
    ('more = "alike"', 'than = "before"', "lever 1, shows, than", "one of rest, correct"),
    (
        'at = { "technique.cuff_below_heart_cm" = 12 }',
        'at = { "technique.legs" = "knees" }',
        "predict, shows, at, technique.legs",
        "a lever of this lesson: technique.cuff_below_heart_cm",
    ),
    (
        'at = { "technique.cuff_below_heart_cm" = 12 }',
        'at = { "technique.cuff_below_heart_cm" = 99 }',
        "predict, shows, at, technique.cuff_below_heart_cm",
        "a number from -10 to 30",
    ),
    # the prediction
    ('reply = "It does."', "", "predict, choice 1, reply", "every wrong choice is answered"),
    ('reply = "It does."', 'reply = " "', "predict, choice 1, reply", "every wrong choice is answered"),
    ("right = true", "right = false\nreply = 'No.'", "predict, choice", "exactly one choice with right = true"),
    ("right = false", "right = true", "predict, choice", "exactly one choice with right = true"),
    ("right = false", "right = 'no'", "predict, choice 1, right", "true or false"),
    ('text = "It rises"', 'text = "Nothing"', "predict, choice", "choices that differ"),
    ('question = "What happens?"', "", "predict, question", "some text"),
    # questions afterwards
    ('reason = "So it is."', "", "check 1, choice 1, reason", "every answer has its reason"),
    ('right = true\nreason = "So', 'right = false\nreason = "So', "check 1, choice", "exactly one choice"),
    ('question = "Which?"', "question = 1", "check 1, question", "some text"),
    # the case
    ('question = "And here?"', "", "case, question", "some text"),
    ("sbp = 150\ndbp = 90", "sbp = 130\ndbp = 80", "case, subject", "another person than the scenario's"),
    ("sbp = 150", "sbp = 95", "case, subject, dbp", "at least 10 mmHg below sbp"),
    ("sbp = 150", "weight = 150", "case, subject, weight", "a field of the subject: sbp, dbp"),
    ("cuff_below_heart_cm = -10", "cuff_below_heart_cm = -99", "case, technique, cuff_below_heart_cm", "from -40"),
    ("[case.technique]", "[case.mistake]", "case, mistake", "known here: choice, instrument, question, shows, subject"),
    ("[case.technique]", "[case.techniques]", "case, techniques", "perhaps 'technique'"),
    ('reason = "The arm is raised."', "", "case, choice 1, reason", "every answer has its reason"),
    ('right = true\nreason = "The arm', 'right = false\nreason = "The arm', "case, choice", "exactly one choice"),
    ('text = "Too low"', 'text = "Too high"', "case, choice", "choices that differ"),
    (
        '\n[[case.choice]]\ntext = "Too high"\nright = false\nreason = "It is raised, not lowered."\n',
        "",
        "case, choice",
        "2 to 6",
    ),
    # evidence
    ("sbp = { value = 4.0, low = 3.0, high = 5.0 }\ndbp = { value = 4.0, sd = 5.0 }", "", "evidence 1, sbp", "effect"),
    ("low = 3.0, ", "", "evidence 1, sbp, low", "both low and high"),
    ("low = 3.0", "low = 4.5", "evidence 1, sbp, low", "low, value and high in this order"),
    ("value = 4.0, low", "low", "evidence 1, sbp, value", "the mean that the interval is of"),
    ("value = 4.0, sd", "sd", "evidence 1, dbp, value", "a number"),
    ("sd = 5.0", "sd = 0", "evidence 1, dbp, sd", "above 0"),
    ("high = 5.0 }", 'high = 5.0, bounds = "99 %" }', "evidence 1, sbp, bounds", "one of 95 %, studies, within"),
    ("n = 100", "n = 1", "evidence 1, n", "a whole number from 2"),
    ('source = "Invented A, et al. Journal 2000"', "", "evidence 1, source", "authors, journal and year"),
    ('doi = "10.1000/182"', "", "evidence 1, doi", "one of doi, pmid, pmcid, isbn, standard, record, or unlisted"),
    ('doi = "10.1000/182"', 'doi = "10.1000/182"\npmid = "1234567"', "evidence 1, doi", "one of doi, pmid"),
    ('doi = "10.1000/182"', 'doi = "https://doi.org/10.1000/182"', "evidence 1, doi", "without https://"),
    ('doi = "10.1000/182"', "pmid = 1234567", "evidence 1, pmid", "in quotes"),
    ('doi = "10.1000/182"', 'pmcid = "123"', "evidence 1, pmcid", "PMC1234567"),
    ('sure = "seen"', 'sure = "certain"', "evidence 1, sure", "one of seen, quoted, from memory, derived"),
    ('sure = "seen"', 'sure = "seen"\nmodel = false', "evidence 1, why", "why the model has no figure"),
    ('sure = "seen"', 'sure = "seen"\nwhy = "just so"', "evidence 1, why", "no reason"),
    ('sure = "seen"', 'sure = "seen"\nbuilt_in = ["map"]', "evidence 1, built_in", '"sbp", "dbp"'),
    ("cuff_below_heart_cm = 5", "cuff_below_heart_cm = 0", "evidence 1, technique", "a mistake that differs"),
    ("cuff_below_heart_cm = 5", "cuff_below_heart_cm = 99", "evidence 1, technique, cuff_below_heart_cm", "from -40"),
    ("cuff_below_heart_cm = 5", "height = 5", "evidence 1, technique, height", "a field of the technique"),
    (
        "[evidence.technique]",
        "[evidence.subject]\nsbp = 82\n[evidence.technique]",
        "evidence 1, subject, dbp",
        "at least",
    ),
    (
        "[evidence.technique]",
        "[evidence.right.subject]\nsbp = 120\n[evidence.technique]",
        "evidence 1, right, subject",
        "the same people: only arm_slant_degrees",
    ),
    # takeaway and body
    ('steps = ["Rest it."]', "steps = []", "takeaway, steps", "one or more steps"),
    ('steps = ["Rest it."]', "steps = 'Rest it.'", "takeaway, steps", "one or more steps"),
    ('text = "Rest the arm."', "", "takeaway, text", "some text"),
    ("## What to do", "## Doing", "body", "## Why it happens, ## What to do, ## What is not known"),
    ("Weight.\n", "", "body, Why it happens", "some text below the heading"),
    ("## Why it happens", "First.\n\n## Why it happens", "body", "nothing before ## Why it happens"),
]


@pytest.mark.parametrize(("old", "new", "key", "expected"), SPOILED, ids=[f"{k}-{e[:20]}" for *_, k, e in SPOILED])
def test_a_fault_names_key_and_expected(old, new, key, expected):
    found = faults(spoiled(old, new))
    assert [k for k, *_ in found] == [key], found
    assert expected in found[0][1]


@pytest.mark.parametrize("key", ["scenario", "lever", "predict", "check", "evidence", "takeaway"])
def test_a_missing_table_is_named(key):
    """Each table is dropped from the parsed keys by giving it another name."""
    keys = [k for k, *_ in faults(_renamed(key, "other"))]
    assert key in keys
    assert "other" in keys


@pytest.mark.parametrize("key", ["scenario", "lever", "predict", "check", "evidence", "takeaway"])
def test_a_misspelt_table_is_not_missed_as_well(key):
    found = faults(_renamed(key, f"x{key}"))
    assert [k for k, *_ in found if k.startswith(key)] == []
    assert (f"x{key}", True) in [(k, f"perhaps '{key}'" in expected) for k, expected, _ in found]


def _renamed(key, other):
    text = GOOD.replace(f"[[{key}]]", f"[[{other}]]").replace(f"[{key}]", f"[{other}]")
    return text.replace(f"[{key}.", f"[{other}.").replace(f"[[{key}.", f"[[{other}.")


def test_two_levers_on_one_field():
    twice = GOOD.replace('"instrument.bladder"', '"technique.cuff_below_heart_cm"')
    assert ("lever", "each field once", "'technique.cuff_below_heart_cm'") in faults(twice)


def test_all_faults_of_a_file_are_found_at_once():
    text = spoiled("minutes = 5", "minutes = 0").replace("step = 2", "step = 0").replace('reply = "It does."', "")
    assert [k for k, *_ in faults(text)] == ["minutes", "lever 1, step", "predict, choice 1, reply"]


def test_the_value_that_was_found_is_shown():
    assert faults(spoiled("sbp = 130", "sbp = 300"))[0][2] == "300"
    assert faults(spoiled("right = false", "right = 'no'"))[0][2] == "'no'"
    assert faults(spoiled('title = "Height"', ""))[0][2] == ""


@pytest.mark.parametrize(
    ("text", "line", "expected"),
    [
        ("", 1, "+++ and nothing else on the first line"),
        ("# A heading\n", 1, "+++ and nothing else on the first line"),
        ("+++\ntitle = 'x'\n\n## Why it happens\n", 4, "a second line of +++"),
        ("+++\ntitle = 'x'\nminutes as many\n+++\n", 3, "a line of TOML"),
        ("+++\ntitle = 'x'\ntitle = 'y'\n+++\n", 3, "each key once"),
    ],
)
def test_a_file_without_readable_keys(text, line, expected):
    _, found = parse(FILE, text)
    assert [fault.line for fault in found] == [line]
    assert expected in found[0].expected


@pytest.mark.parametrize("name", ["height.md", "7-height.md", "07-Height.md", "07 height.md"])
def test_a_file_name_out_of_the_ordinary_is_a_fault(name):
    assert [k for k, *_ in faults(GOOD, name)] == ["file name"]


def test_the_other_files_still_load(tmp_path):
    (tmp_path / "01-good.md").write_text(GOOD, encoding="utf-8")
    (tmp_path / "02-bad.md").write_text(spoiled("minutes = 5", "minutes = 99"), encoding="utf-8")
    (tmp_path / "03-bytes.md").write_bytes(b"+++\ntitle = '\xff'\n+++\n")
    (tmp_path / "04-folder.md").mkdir()
    (tmp_path / "05-good.md").write_bytes(b"\xef\xbb\xbf" + GOOD.encode())  # with the mark some editors put in front
    (tmp_path / "README.md").write_text("no lesson", encoding="utf-8")
    (tmp_path / "notes.txt").write_text("no lesson", encoding="utf-8")
    lessons, found = load_folder(tmp_path)
    assert [lesson.name for lesson in lessons] == ["01-good", "05-good"]
    assert [fault.file for fault in found] == ["02-bad.md", "03-bytes.md", "04-folder.md"]
    assert str(found[0]) == "02-bad.md: line 4: minutes: expected a whole number from 1 to 60; found 99"


def test_load_raises_the_first_fault(tmp_path):
    path = tmp_path / "02-bad.md"
    path.write_text(spoiled('title = "Height"', ""), encoding="utf-8")
    with pytest.raises(LessonFault, match=r"02-bad\.md: line 1: title: expected some text; found nothing") as caught:
        load(path)
    assert (caught.value.file, caught.value.key) == ("02-bad.md", "title")
    assert str(pickle.loads(pickle.dumps(caught.value))) == str(caught.value)
    with pytest.raises(LessonFault, match=r"03-none\.md: expected a file that can be read"):
        load(tmp_path / "03-none.md")


def test_a_missing_folder_is_a_fault(tmp_path):
    lessons, found = load_folder(tmp_path / "none")
    assert lessons == ()
    assert found[0].expected == "a folder of lessons"

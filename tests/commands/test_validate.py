"""`cuffbias validate`, and what the app's page of evidence is made from."""

import json
from dataclasses import astuple, dataclass, replace

import pytest

from sim import PARAMETERS_VERSION, __version__
from sim.cli import main
from sim.commands import validate
from sim.teach import verdicts
from sim.teach.evidence import PEOPLE, Effect, Modelled, Published
from sim.teach.lesson import load_all
from sim.teach.limits import left_out
from sim.teach.mechanisms import MECHANISMS, without
from sim.teach.verdicts import (
    BUILT_IN,
    GROUPS,
    INSIDE,
    NO_FIGURE,
    NOT_COMPARABLE,
    OUTSIDE,
    UNTESTED,
    count,
    grouped,
    verdict,
)

LESSONS, _ = load_all()
FEW = 2  # people: enough to see that the report is whole


def run(capsys, *arguments):
    """Exit status, stdout, stderr."""
    status = main(["validate", *map(str, arguments)])
    return status, *capsys.readouterr()


@pytest.fixture(scope="module")
def few():
    return list(verdicts.findings(LESSONS, seed=3, people=FEW))


@pytest.fixture(scope="module")
def asked(few):
    from sim.commands import validation_report

    off = tuple(without(mechanism, few, 3, FEW) for mechanism in MECHANISMS)
    return validation_report.Asked(tuple(few), len(LESSONS), FEW, 3, off)


@pytest.fixture(scope="module")
def document(asked):
    from sim.commands import validation_report

    return validation_report.document(asked)


@pytest.fixture(scope="module")
def text(asked):
    from sim.commands import validation_report

    return validation_report.text(asked)


def test_each_mechanism_stands_there_with_what_it_does(text, document):
    assert "EACH MECHANISM SWITCHED OFF" in text
    assert [each["mechanism"] for each in document["mechanisms_switched_off"]] == [m.name for m in MECHANISMS]
    assert {each["tested"] for each in document["mechanisms_switched_off"]} == {document["counts"]["tested"]}


def test_status_is_zero_although_there_are_misses(capsys, document):
    status, out, err = run(capsys, "--people", FEW, "--seed", 3, "--json")
    assert (status, err) == (0, "")
    assert json.loads(out) == json.loads(json.dumps(document))
    assert document["counts"]["outside"] > 0


def test_the_text_says_with_which_model_it_was_made(text):
    last = text.splitlines()[-1]
    assert last == f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}, seed 3, {FEW} people"
    assert "no medical device" in text
    assert "emergency services" in text.replace("\n", " ")
    assert "nan" not in text.split()
    assert [line for line in text.splitlines() if len(line) > 78] == []


def test_every_finding_of_every_lesson_is_there_with_its_source(text, document):
    listed = {(entry["lesson"], entry["label"]) for entry in document["findings"]}
    flat = " ".join(text.split())
    for lesson in LESSONS:
        for evidence in lesson.evidence:
            assert (lesson.name, evidence.label) in listed
            assert " ".join(f"{lesson.name}: {evidence.label}".split()) in flat
            assert evidence.identifier in flat
    assert len(document["findings"]) == sum(len(lesson.evidence) for lesson in LESSONS)


def test_misses_come_first_with_their_reason(text, document):
    groups = [entry["group"] for entry in document["findings"]]
    assert groups == sorted(groups, key=list(GROUPS).index)
    assert groups[0] == OUTSIDE
    positions = [text.index(words.upper()[:40]) for words in GROUPS.values()]
    assert positions == sorted(positions)
    missed = [e for e in document["findings"] if e["group"] == OUTSIDE]
    known = [e for e in missed if any(e[name]["why_missed"] for name in ("sbp", "dbp"))]
    assert len(known) >= 4
    for entry in known:
        for name in ("sbp", "dbp"):
            assert " ".join((entry[name]["why_missed"] or "").split()) in " ".join(text.split())


def test_counts_add_up_to_the_published_figures_each_once(document):
    # The misses come first: of a figure that several lessons quote, that one is kept.
    quoted: dict[tuple, dict] = {}
    for entry in document["findings"]:
        for name in ("sbp", "dbp"):
            if entry[name]["published"]:
                key = entry["identifier"], entry["label"], name
                quoted[key] = min(
                    quoted.get(key, entry[name]), entry[name], key=lambda f: list(GROUPS).index(f["verdict"])
                )
    figures = list(quoted.values())
    assert len(figures) < sum(e[name]["published"] is not None for e in document["findings"] for name in ("sbp", "dbp"))
    counts = document["counts"]
    assert counts["tested"] == counts["inside"] + counts["outside"]
    others = sum(counts[name] for name in ("built_in", "not_comparable", "untested", "no_figure"))
    assert counts["tested"] + others == len(figures)
    assert counts["not_comparable"] == sum(f["verdict"] == "not comparable" for f in figures) > 0
    own = [f for f in figures if not f["built_in"]]
    assert counts["inside"] == sum(f["inside"] is True for f in own)
    assert counts["outside"] == sum(f["inside"] is False for f in own)
    assert counts["built_in_outside"] == sum(f["inside"] is False for f in figures if f["built_in"])


def test_a_figure_that_two_lessons_quote_has_one_label(few):
    """So that it is counted once: the same value from the same source is one figure, or two in one lesson."""
    labels: dict[tuple, dict[str, set]] = {}
    for each in few:
        for name, effect in each.effects.items():
            if effect.published and effect.published.value is not None:
                key = each.evidence.identifier, name, effect.published
                labels.setdefault(key, {}).setdefault(each.lesson.name, set()).add(each.evidence.label)
    for key, lessons in labels.items():
        assert len(set().union(*lessons.values())) <= max(map(len, lessons.values())), (key, lessons)


def test_the_share_is_of_those_that_can_be_compared_and_were_not_built_in(text, document):
    counts = document["counts"]
    share = 100 * counts["inside"] / counts["tested"]
    said = f"{counts['inside']} of {counts['tested']} published figures ({share:.0f} %)"
    assert said in " ".join(text.split())
    for entry in document["findings"]:
        judged = [entry[name]["verdict"] == "not comparable" for name in ("sbp", "dbp")]
        assert any(judged) <= bool(entry["not_comparable_because"])
        if any(judged):
            assert " ".join(entry["not_comparable_because"].split()) in " ".join(text.split())


def test_inside_means_that_the_mean_lies_between_the_bounds(document):
    for entry in document["findings"]:
        for name in ("sbp", "dbp"):
            f = entry[name]
            if f["inside"] is not None:
                within = f["published"]["low"] <= f["model"]["mean"] <= f["published"]["high"]
                assert f["inside"] is within


@dataclass(frozen=True)
class _Case:
    effect: Effect
    expected: str


def _effect(mean, low, high, built_in=False, comparable=True):
    inside = None if low is None or mean is None or not comparable else low <= mean <= high
    model = None if mean is None else Modelled(mean, mean - 1, mean + 1)
    return Effect(Published(1.0, low, high, ""), model, inside, built_in, comparable)


@pytest.mark.parametrize(
    "case",
    [
        _Case(_effect(1.5, 1, 2), INSIDE),
        _Case(_effect(3.0, 1, 2), OUTSIDE),
        _Case(_effect(1.5, 1, 2, built_in=True), BUILT_IN),
        _Case(_effect(3.0, 1, 2, built_in=True), OUTSIDE),
        _Case(_effect(1.5, None, None), UNTESTED),
        _Case(_effect(1.5, None, None, built_in=True), BUILT_IN),
        _Case(_effect(None, 1, 2), NO_FIGURE),
        _Case(_effect(3.0, 1, 2, comparable=False), NOT_COMPARABLE),
        _Case(_effect(1.5, None, None, comparable=False), UNTESTED),
        _Case(_effect(3.0, 1, 2, built_in=True, comparable=False), BUILT_IN),
    ],
)
def test_verdicts(case):
    assert verdict(case.effect) == case.expected


def test_a_miss_is_never_counted_as_inside_or_hidden_as_built_in(few):
    groups = grouped(few)
    for group, some in groups.items():
        for each in some:
            missed = any(effect.inside is False for effect in each.effects.values())
            assert missed == (group == OUTSIDE)
    assert sum(map(len, groups.values())) == len(few)
    quoted = {
        (each.evidence.identifier, each.evidence.label, name)
        for each in few
        for name, effect in each.effects.items()
        if effect.inside is False and not effect.built_in
    }
    assert count(few).outside == len(quoted)


def test_app_and_command_work_out_the_same_figures():
    assert validate.USUAL == PEOPLE
    defaults = main.__globals__["_parser"]().parse_args(["validate"])
    assert (defaults.seed, defaults.people) == (verdicts.SEED, PEOPLE)
    from sim.screens import cache

    lesson = LESSONS[0]
    shown = cache.comparison(lesson, 0)
    (printed, *_) = verdicts.findings([lesson])
    for name in ("sbp", "dbp"):
        app, command = getattr(shown, name), getattr(printed.comparison, name)
        assert replace(app, model=None) == replace(command, model=None)
        assert astuple(app.model) == pytest.approx(astuple(command.model), abs=1e-5)  # kept with so many digits


@pytest.mark.parametrize(("option", "value"), [("--people", 1), ("--people", "many"), ("--seed", -1)])
def test_what_cannot_be_is_refused_in_one_line(capsys, option, value):
    status, out, err = run(capsys, option, value)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert option in err
    assert "from" in err


def test_what_the_model_leaves_out_is_told(text, document):
    assert len(left_out()) >= 4
    flat = " ".join(text.split())
    for part, told in zip(left_out(), document["left_out"], strict=True):
        assert (part.title, list(part.items)) == (told["title"], told["items"])
        for item in part.items:
            assert " ".join(item.split()) in flat


def test_a_faulty_lesson_file_is_named_and_the_rest_is_still_compared(capsys, tmp_path, monkeypatch):
    from sim.teach.lesson import place

    source = next(file for file in place().iterdir() if file.name.startswith("01-"))
    (tmp_path / "01-good.md").write_bytes(source.read_bytes())
    (tmp_path / "02-bad.md").write_text("no lesson", encoding="utf-8")
    monkeypatch.setattr("sim.teach.lesson.place", lambda: tmp_path)
    status, out, err = run(capsys, "--people", FEW)
    assert status == 1
    assert "02-bad.md" in err
    assert "01-good: " in out

"""Choices of all lessons together: neither length nor place says which one is right."""

from collections import Counter

import pytest

from sim.explain.same_arm import FIRST_SEED
from sim.teach.choice_order import shown_order
from sim.teach.lesson import load_all

LESSONS, _ = load_all()
# At most so many questions may be answered by length alone, and so many less than all by place alone.
MOST = 0.4


def questions():
    """Lesson, name of the question, its choices."""
    for lesson in LESSONS:
        yield lesson, "prediction", lesson.predict.choices
        for number, check in enumerate(lesson.checks):
            yield lesson, f"check-{number}", check.choices
        if lesson.case is not None:
            yield lesson, "case", lesson.case.choices


QUESTIONS = list(questions())


def lengths(choices):
    """Of the right choice, and of all."""
    every = [len(choice.text) for choice in choices]
    return every[[choice.right for choice in choices].index(True)], every


@pytest.mark.parametrize("extreme", [max, min], ids=["longest", "shortest"])
def test_the_right_choice_is_seldom_the_longest_or_the_shortest(extreme):
    told = [right == extreme(every) for right, every in (lengths(choices) for _, _, choices in QUESTIONS)]
    assert len(told) >= 100
    assert sum(told) / len(told) <= MOST


def test_no_way_to_guess_by_length_is_good():
    """Not by the longest wrong one either: whoever leaves out the longest gains little."""
    told = [right == max(every) for right, every in (lengths(choices) for _, _, choices in QUESTIONS)]
    assert sum(told) / len(told) >= 0.15


def places(kind, seed):
    """How often the right choice is shown where, in questions of four choices (predictions, cases) or of three."""
    found = Counter()
    for lesson, name, choices in QUESTIONS:
        if name.startswith(kind):
            right = [choice.right for choice in choices].index(True)
            found[shown_order(lesson.name, name, len(choices), seed).index(right)] += 1
    return found


@pytest.mark.parametrize(("kind", "most_choices"), [("prediction", 4), ("check", 3), ("case", 4)])
def test_the_right_choice_is_shown_in_every_place(kind, most_choices):
    found = places(kind, FIRST_SEED)
    assert all(found[place] for place in range(most_choices)), found
    assert max(found.values()) / sum(found.values()) <= 0.5


@pytest.mark.parametrize("kind", ["prediction", "check", "case"])
def test_over_many_seeds_every_place_is_as_likely(kind):
    asked = [len(choices) for _, name, choices in QUESTIONS if name.startswith(kind)]
    many = range(1, 201)
    found = sum((places(kind, seed) for seed in many), Counter())
    for place in range(max(asked)):
        expected = sum(1 / n for n in asked if place < n)
        assert found[place] / len(many) == pytest.approx(expected, rel=0.15, abs=0.15)


def test_an_order_is_a_permutation_the_same_for_the_same_seed_and_another_for_others():
    orders = [tuple(shown_order("01-arm-height", "check-0", 4, seed)) for seed in range(1, 60)]
    assert orders == [tuple(shown_order("01-arm-height", "check-0", 4, seed)) for seed in range(1, 60)]
    assert all(sorted(order) == [0, 1, 2, 3] for order in orders)
    assert len(set(orders)) > 12
    assert {tuple(shown_order("01-arm-height", f"check-{i}", 4, 3)) for i in range(9)} != {orders[2]}

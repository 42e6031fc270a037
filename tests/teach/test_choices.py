"""Choices of all lessons together: neither length nor place says which one is right."""

from collections import Counter

import pytest

from sim.explain.same_arm import FIRST_SEED
from sim.teach.choice_order import shown_order
from sim.teach.lesson import load_all

LESSONS, _ = load_all()
# At most so many questions may be answered by length alone.
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


def test_the_longest_choice_is_not_always_wrong_either():
    told = [right == max(every) for right, every in (lengths(choices) for _, _, choices in QUESTIONS)]
    assert sum(told) / len(told) >= 0.15


def places(asked, seed):
    """How often the right choice is shown where, in questions of so many choices."""
    found: Counter[int] = Counter()
    for lesson, name, choices in QUESTIONS:
        if len(choices) == asked:
            right = [choice.right for choice in choices].index(True)
            found[shown_order(lesson.name, name, len(choices), seed).index(right)] += 1
    return found


@pytest.mark.parametrize("asked", [3, 4])
def test_the_right_choice_is_shown_in_every_place(asked):
    """By the seed that everybody has who gives none; with so few questions no nearer to equal shares than this."""
    found = places(asked, FIRST_SEED)
    assert all(found[place] / found.total() >= 0.5 / asked for place in range(asked)), found
    assert max(found.values()) / found.total() <= 0.5


@pytest.mark.parametrize("asked", [3, 4])
def test_over_many_seeds_every_place_is_as_likely(asked):
    found: Counter[int] = sum((places(asked, seed) for seed in range(1, 201)), Counter())
    for place in range(asked):
        assert found[place] / found.total() == pytest.approx(1 / asked, abs=0.02)


def test_an_order_is_a_permutation_the_same_for_the_same_seed_and_another_for_others():
    orders = [tuple(shown_order("01-arm-height", "check-0", 4, seed)) for seed in range(1, 60)]
    assert orders == [tuple(shown_order("01-arm-height", "check-0", 4, seed)) for seed in range(1, 60)]
    assert all(sorted(order) == [0, 1, 2, 3] for order in orders)
    assert len(set(orders)) > 12
    assert {tuple(shown_order("01-arm-height", f"check-{i}", 4, 3)) for i in range(9)} != {orders[2]}

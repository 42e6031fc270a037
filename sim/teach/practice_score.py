"""First answers to cases, counted by kind of mistake and of question."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sim.teach import own_setup
from sim.teach.own_setup import Chosen
from sim.teach.practice import case, possible
from sim.teach.practice_answers import NOTHING, Answer, verdict


@dataclass(frozen=True)
class Count:
    """How often something was right, of how many; and of a mistake how often it was named where it was not made."""

    what: str
    right: int
    asked: int
    falsely: int = 0


def tally(first: Mapping[int, Answer | Chosen]) -> list[Count]:
    """The score: answers by the number of their case. What was neither asked nor named is left out."""
    answers = {number: answer for number, answer in first.items() if isinstance(answer, Answer)}
    chosen = {number: choice for number, choice in first.items() if isinstance(choice, Chosen)}
    counts = [*_mistakes(answers), *_questions(answers), *_own(chosen)]
    return [count for count in counts if count.asked or count.falsely]


def _mistakes(answers: Mapping[int, Answer]) -> list[Count]:
    judged = [verdict(case(number), answer) for number, answer in answers.items()]
    counts = [
        Count(
            m.name,
            sum(m.name in v.found for v in judged),
            sum(m.name in v.found + v.missed for v in judged),
            sum(m.name in v.false for v in judged),
        )
        for m in possible()
    ]
    clean = [v for number, v in zip(answers, judged, strict=True) if not case(number).possible]
    return [*counts, Count(NOTHING, sum(v.mistakes for v in clean), len(clean))]


def _questions(answers: Mapping[int, Answer]) -> list[Count]:
    judged = [verdict(case(number), answer) for number, answer in answers.items()]
    return [
        Count("Direction", sum(v.direction for v in judged), len(judged)),
        Count("Size", sum(v.band for v in judged), len(judged)),
        Count("What to do next", sum(v.following for v in judged), len(judged)),
    ]


def _own(chosen: Mapping[int, Chosen]) -> list[Count]:
    said = [remark for number, choice in chosen.items() for remark in own_setup.remarks(own_setup.room(number), choice)]
    return [
        Count(f"Set up yourself: {about}", sum(r.right for r in said if r.about == about), len(chosen))
        for about in ("cuff", "support", "moment")
    ]

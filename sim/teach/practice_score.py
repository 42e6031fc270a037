"""First answers to cases, counted by kind of mistake and of question."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sim.say import mark
from sim.teach import own_setup
from sim.teach.own_setup import Chosen, Room
from sim.teach.practice import possible
from sim.teach.practice_answers import NOTHING, Verdict
from sim.teach.progress import OwnVerdict


@dataclass(frozen=True)
class Count:
    """How often something was right, of how many; and of a mistake how often it was named where it was not made."""

    what: str
    right: int
    asked: int
    falsely: int = 0


def tally(cases: Mapping[int, Verdict], own: Mapping[int, OwnVerdict] | None = None) -> list[Count]:
    """The score: first answers by the number of their case. What was neither asked nor named is left out."""
    counts = [*_mistakes(list(cases.values())), *_questions(list(cases.values())), *_own(list((own or {}).values()))]
    return [count for count in counts if count.asked or count.falsely]


def own_verdict(found: Room, chosen: Chosen) -> OwnVerdict:
    """What was right of a reading that somebody set up."""
    right = {remark.about: remark.right for remark in own_setup.remarks(found, chosen)}
    return OwnVerdict(right["cuff"], right["support"], right["moment"])


def _mistakes(judged: list[Verdict]) -> list[Count]:
    counts = [
        Count(
            m.name,
            sum(m.name in v.found for v in judged),
            sum(m.name in v.found + v.missed for v in judged),
            sum(m.name in v.false for v in judged),
        )
        for m in possible()
    ]
    clean = [v for v in judged if not v.found and not v.missed]
    return [*counts, Count(NOTHING, sum(v.mistakes for v in clean), len(clean))]


def _questions(judged: list[Verdict]) -> list[Count]:
    return [
        Count(mark("Direction"), sum(v.direction for v in judged), len(judged)),
        Count(mark("Size"), sum(v.band for v in judged), len(judged)),
        Count(mark("What to do next"), sum(v.following for v in judged), len(judged)),
    ]


def _own(judged: list[OwnVerdict]) -> list[Count]:
    return [
        Count(words, sum(getattr(v, about) for v in judged), len(judged))
        for about, words in (
            ("cuff", mark("Set up yourself: cuff")),
            ("support", mark("Set up yourself: support")),
            ("moment", mark("Set up yourself: moment")),
        )
    ]

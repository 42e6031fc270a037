"""A poll by show of hands: counts for each choice, drawn as bars beside the right answer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

from sim.say import say

MOST_HANDS = 999


def letter(place: int) -> str:
    """What the choice at this place is called on the wall, from "A"; places count from 0."""
    return chr(ord("A") + place)


def bars(order: Sequence[int], right: int, hands: Mapping[int, int]) -> str:
    """The hands for each choice as bars in HTML, each with its number in words; "" where none were counted.

    order: the author's numbers of the choices as they stand on the wall;  right: the author's number of the right one
    """
    total, most = sum(hands.values()), max(hands.values(), default=0)
    if not total:
        return ""
    rows = []
    for place, number in enumerate(order):
        count = hands.get(number, 0)
        of_all = say("{count} of {total}", count=count, total=total)
        said = f"{of_all} ✓ {say('right')}" if number == right else of_all
        rows.append(
            f'<li class="{"right" if number == right else "other"}"><b>{letter(place)}</b>'
            f'<span class="room-for-bar" aria-hidden="true"><span class="bar" style="width: {100 * count / most:.0f}%">'
            f"</span></span><span>{escape(said)}</span></li>"
        )
    return f'<ul class="hands" aria-label="{say("Hands in this room")}">{"".join(rows)}</ul>'

"""One colour, marker and pattern for each thing that a picture shows, the same everywhere.

The truth and the display keep theirs on every screen, figure and page. Colours come from the set that Okabe and
Ito chose to be told apart with any common colour vision ("Color universal design", 2008); the marker, the
pattern and the symbol in text say the same again without colour.

Words and small signs need more contrast than large areas: WCAG 2.2, success criterion 1.4.3, asks for 4.5 to 1. So each
look has a second, darker colour for them, which keeps 4.5 to 1 on the page's own pale ground
(`tests/figures/test_colours.py`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from sim.say import mark


@dataclass(frozen=True)
class Look:
    """How one thing is drawn.

    label: what legends call it
    colour: "#RRGGBB"
    marker: matplotlib's marker name
    symbol: the marker as a character, for text and for pages
    hatch: matplotlib's pattern for areas; "" is plain
    words: "#RRGGBB", the colour for words and small signs
    """

    label: str
    colour: str
    marker: str
    symbol: str
    hatch: str
    words: str


TRUTH = Look(mark("truth"), "#0072B2", "o", "●", "", "#005C91")
RESTING = replace(TRUTH, label=mark("resting"))  # where the truth in a picture is the resting pressure
DISPLAY = Look(mark("display"), "#D55E00", "D", "◆", "", "#A84A00")
GUESS = Look(mark("your guess"), "#222222", "X", "✖", "", "#222222")

RESPONSE = Look(mark("response"), "#009E73", "^", "▲", "//", "#00704F")
MEASURING_ERROR = Look(mark("measuring error"), "#CC79A7", "s", "■", "", "#9A4877")
ALGORITHM = Look(mark("algorithm"), "#E69F00", "P", "✚", "..", "#8A5F00")
CHANCE = Look(mark("random variation"), "#999999", "v", "▼", "xx", "#666666")

# By the `kind` of a contribution in a breakdown.
KINDS = {"response": RESPONSE, "measuring error": MEASURING_ERROR, "algorithm": ALGORITHM, "chance": CHANCE}

TEXT = "#222222"
QUIET = "#666666"  # lines and words that stand back: 5.7 to 1 on white
GRID = "#DDDDDD"

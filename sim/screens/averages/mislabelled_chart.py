"""Wrongly labelled and missed, by bias, by chance and by both."""

from __future__ import annotations

from sim.explain.population import Effect, Labels
from sim.figures.colours import QUIET, TEXT
from sim.say import mark, say
from sim.screens.charts.common import ONE_ROW, Spec, at, chart, label, layer, number, rule

# Told apart by side and by name; neither is a colour that judges.
_WRONG, _MISSED = "#3C4F5C", "#8A6FA8"
_MISSED_WORDS = "#6F5590"  # dark enough for words
_ROWS = (
    ("bias", mark("bias alone")),
    ("chance", mark("random variation alone")),
    ("both", mark("bias and random variation")),
)


def shares(found: Effect) -> Spec:
    """For bias, chance and both: missed to the left, wrongly labelled to the right, of 1,000 people."""
    values: list[Spec] = []
    for place, (name, _) in enumerate(_ROWS):
        labels: Labels = getattr(found, name)
        for share, side, shade in ((labels.missed, -1, _MISSED), (labels.wrongly, 1, _WRONG)):
            of_thousand = 1000 * share.value
            row = {"x": round(side * of_thousand, 1), "y": place + 0.12, "words": f"{of_thousand:.0f}"}
            values.append(row | {"colour": shade, "side": side})
    limit = round(1.3 * max(20.0, *(abs(v["x"]) for v in values)), 1)
    axis = {"title": say("of 1,000 people"), "grid": True, "tickCount": 5, "labelExpr": "abs(datum.value)"}
    x = number("x") | {"scale": {"domain": [-limit, limit], "nice": False}, "axis": axis}
    y = number("y") | {"scale": {"domain": [len(_ROWS) - 0.3, -0.9], "nice": False}, "axis": None}
    colour: Spec = {"field": "colour", "type": "nominal", "scale": None, "legend": None}
    bar: Spec = {"type": "rule", "strokeWidth": 20, "opacity": 0.75}
    words: Spec = {"type": "text", "fontSize": 14, "color": TEXT}
    bold = words | {"fontWeight": 600}
    layers = [
        layer(ONE_ROW, rule(QUIET, 1.5), x=at(0)),
        layer({"values": values}, bar, x=x, x2=at(0), y=y, color=colour),
    ]
    said: list[Spec] = []
    for side, align, name, shade in (
        (-1, "right", "◂ " + say("missed"), _MISSED_WORDS),
        (1, "left", say("wrongly labelled") + " ▸", _WRONG),
    ):
        chosen = [v for v in values if v["side"] == side]
        number_of = words | {"align": align, "dx": 6 * side}
        layers.append(layer({"values": chosen}, number_of, x=x, y=y, text={"field": "words"}))
        edge = bold | {"text": name, "align": "left" if side < 0 else "right", "color": shade}
        said.append(layer(ONE_ROW, edge, x=at(side * limit), y=at(-0.72)))
    for place, (_, name) in enumerate(_ROWS):
        said += label(ONE_ROW, TEXT, {"x": at(0), "y": at(place - 0.26)}, text=say(name), align="center")
    # What has no field comes last: a layer with an axis of its own after it is not drawn.
    return chart(layers + said, 260)


def sentence(found: Effect) -> str:
    """The same in words."""
    said = []
    for name, words in _ROWS:
        labels: Labels = getattr(found, name)
        said.append(
            say(
                "{by}: {wrongly:.0f} wrongly labelled, {missed:.0f} missed",
                by=say(words),
                wrongly=1000 * labels.wrongly.value,
                missed=1000 * labels.missed.value,
            )
        )
    truly = say("Of 1,000 people {truly:.0f} truly reach the threshold.", truly=1000 * found.neither.truly.value)
    each = "; ".join(said)
    return f"{truly} {each[0].upper()}{each[1:]}."

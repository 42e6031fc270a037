"""How probable each category is, as bars of one colour: length says it, and no colour judges."""

from __future__ import annotations

from collections.abc import Sequence

from sim.explain.probabilities import CategoryChance
from sim.figures.colours import DISPLAY, TEXT
from sim.say import say
from sim.screens.charts.common import Spec, at, axis_x, chart, layer, point, rule

_OTHER = "#3C4F5C"
_LOOKS = ((DISPLAY.colour, "diamond"), (_OTHER, "square"))


def chances(groups: Sequence[tuple[str, Sequence[CategoryChance]]]) -> Spec:
    """One bar a category for each group, a name and its chances; the lowest category on top."""
    names = [say(chance.name) for chance in groups[0][1]]
    labels = [name for name, _ in groups]
    scale = {"domain": names, "paddingInner": 0.4, "paddingOuter": 0.2}
    y: Spec = {"field": "name", "type": "nominal", "sort": names, "scale": scale, "axis": None}
    offset: Spec = {"field": "group", "type": "nominal", "sort": labels, "scale": {"domain": labels}}
    x = axis_x(say("probability, %"), 0, 140 if len(groups) > 1 else 120, grid=True)
    x["axis"] |= {"values": [0, 20, 40, 60, 80, 100]}
    layers: list[Spec] = []
    for (group, found), (colour, shape) in zip(groups, _LOOKS, strict=False):
        values = [
            {
                "name": say(c.name),
                "group": group,
                "x": round(100 * c.probability, 1),
                "words": _words(c, group, len(groups)),
            }
            for c in found
        ]
        place = {"x": x, "y": y, "yOffset": offset}
        text = {"type": "text", "align": "left", "dx": 12, "color": TEXT, "fontSize": 13}
        layers.append(layer({"values": values}, rule(colour, 7) | {"opacity": 0.4}, **place, x2=at(0)))
        layers.append(layer({"values": values}, point(shape, 110, colour), **place))
        layers.append(layer({"values": values}, text, **place, text={"field": "words"}))
    layers.append(_names(names, y, offset, labels[0]))
    return chart(layers, (24 * len(groups) + 32) * len(names))


def sentence(groups: Sequence[tuple[str, Sequence[CategoryChance]]]) -> str:
    """The same in words."""
    said = []
    for label, found in groups:
        listed = ", ".join(f"{say(c.name)} {percent(c.probability)}" for c in found)
        said.append(f"{label}: {listed}")
    return ". ".join(said) + "."


def percent(probability: float) -> str:
    """A probability as people read it: never 0 or 100 %."""
    share = 100 * probability
    if share < 1:
        return say("under 1 %")
    return say("over 99 %") if share > 99 else f"{share:.0f} %"


def _words(chance: CategoryChance, group: str, groups: int) -> str:
    """What stands behind a bar: whose it is, where there are two."""
    return percent(chance.probability) + ("  " + say("for {pair}", pair=group) if groups > 1 else "")


def _names(names: list[str], y: Spec, offset: Spec, group: str) -> Spec:
    """Each category's name above its bars, where phones have room."""
    mark = {"type": "text", "align": "left", "dy": -17, "color": TEXT, "fontSize": 14, "fontWeight": 600}
    values = [{"name": name, "group": group} for name in names]
    return layer({"values": values}, mark, x=at(0), y=y, yOffset=offset, text={"field": "name"})

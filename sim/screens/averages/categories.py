"""Categories: how probable each is, given readings; 129 and 131 are the same."""

from __future__ import annotations

import streamlit as st

from sim.explain.averaging import Law, mean_error
from sim.explain.categories import categorise, schemes
from sim.explain.population import population
from sim.explain.probabilities import CategoryChance, Usual, category_chances, given_one_reading
from sim.explain.schedules import schedules
from sim.explain.variation import usual
from sim.say import say
from sim.screens import url_widgets
from sim.screens.averages import category_chart
from sim.screens.charts.shown import draw
from sim.screens.words import plain

ONE = "one"
_FLAT, _PEOPLE = "none", "people"


def show() -> None:
    """Two means beside each other, and what they say of the resting pressure."""
    st.markdown(
        say(
            "A category is cut at one number. A mean is never known exactly. So each category has a probability, and "
            "two means on either side of a cut hardly differ."
        )
    )
    hands, eyes = st.columns([9, 11], gap="large")
    known = schemes()
    with hands:
        name = url_widgets.choose("scheme", say("Category scheme"), {k: say(s.label) for k, s in known.items()})
        options = {n: say(p.label) for n, p in schedules().items() if n != "office-one"}
        how = url_widgets.choose(
            "mean", say("The numbers below are"), {ONE: say("one reading in the office")} | options
        )
        place = "office" if how == ONE else schedules()[how].place
        left, right = st.columns(2)
        with left:
            first = _pair("a", say("First: systolic"), say("First: diastolic"), 129, 79)
        with right:
            second = _pair("b", say("Second: systolic"), say("Second: diastolic"), 131, 79)
        view = url_widgets.choose(
            "beforehand",
            say("Known beforehand"),
            {
                _FLAT: say("nothing is known of this person"),
                _PEOPLE: say("someone like the adults of the United States"),
            },
        )
    groups: list[tuple[str, list[CategoryChance]]] = []
    for pair in (first, second):
        label = f"{pair[0]}/{pair[1]}"
        if label not in dict(groups):
            groups.append((label, category_chances(_usual(pair, how, place, view), name, place)))
    with eyes:
        draw(category_chart.chances(groups), category_chart.sentence(groups), "chances")
        st.caption(_sentence([first, second], how, place, view, name))
    _sources(name, place)


def _pair(key: str, systolic: str, diastolic: str, sbp: int, dbp: int) -> tuple[int, int]:
    s = url_widgets.number(f"{key}-sbp", systolic, 60, 260, sbp)
    d = url_widgets.number(f"{key}-dbp", diastolic, 30, 160, dbp)
    return s if s is not None else sbp, d if d is not None else dbp


def _usual(pair: tuple[int, int], how: str, place: str, view: str) -> Usual:
    people = population("us-usual").law if view == _PEOPLE else None
    if how == ONE:
        return given_one_reading(*pair, place, population=people)
    spread = mean_error(schedules()[how], usual(place, *pair))
    law = Law(float(pair[0]), float(pair[1]), spread.sd_sbp, spread.sd_dbp, spread.correlation)
    return Usual(law.given(people) if people is not None else law)


def _sentence(pairs: list[tuple[int, int]], how: str, place: str, view: str, name: str) -> str:
    words = []
    for pair in pairs:
        low, high = _usual(pair, how, place, view).interval()
        words.append(
            say(
                "{pair} by itself is called {called}; the systolic resting pressure lies between {low:.0f} and "
                "{high:.0f}",
                pair=f"{pair[0]}/{pair[1]}",
                called=say(str(categorise(*pair, name, place))),
                low=low,
                high=high,
            )
        )
    return say("{each} (95 %), if nothing was measured wrongly. One reading diagnoses nothing.", each="; ".join(words))


def _sources(name: str, place: str) -> None:
    scheme = schemes()[name]
    with st.expander(say("Office and home, and where the categories come from"), icon=":material/menu_book:"):
        st.markdown(
            say(
                "What is measured at home is called by lower numbers, since people's pressure is higher in the office "
                "and first readings count there."
            )
        )
        for pair in scheme.equivalents:
            office, home = (f"{p[0]:g}/{p[1]:g}" for p in (pair.office, pair.home))
            line = say(
                "{office} in the office stands beside {home} at home ({sure})",
                office=office,
                home=home,
                sure=say(pair.sure),
            )
            st.markdown(f"- {line}")
        sure = say(scheme.home_sure if place == "home" else scheme.sure)
        about = say("categories at home: {sure}" if place == "home" else "categories in the office: {sure}", sure=sure)
        st.caption(
            f"{plain(scheme.source)}, [DOI {scheme.doi}](https://doi.org/{scheme.doi}); "
            f"{about}. {plain(say(scheme.note))}"
        )

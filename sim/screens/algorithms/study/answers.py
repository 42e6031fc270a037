"""The answers to the four questions that a study is asked."""

from __future__ import annotations

import streamlit as st

from sim.estimate.named import NAMED
from sim.figures import agreement as pictures
from sim.figures.stress_map import stress_picture
from sim.screens import url_widgets
from sim.screens.algorithms.study import study_charts, study_tables
from sim.screens.charts.common import Spec
from sim.screens.words import plain
from sim.study import in_words, tables
from sim.study.agreement import Agreement
from sim.study.background.plan import Plan
from sim.study.contract import Finding, check
from sim.study.origin import OPTIMISTIC
from sim.study.report import Report, Scatter


def passing(found: Report, plan: Plan) -> None:
    """Verdicts by the standard, and why a pass here is optimistic."""
    columns = st.columns(min(2, len(found.agreements)))
    for place, a in enumerate(found.agreements):
        with columns[place % len(columns)]:
            st.html(study_tables.panel(a))
    st.markdown(plain(OPTIMISTIC))
    if plan.people != "standard":
        st.info(
            "These people are not distributed as the standard asks. To have that, choose such people in the plan. The "
            "rules below "
            "say which are reached.",
            icon=":material/info:",
        )
    read = tuple(a for a in found.agreements if a.counts.complete)
    if read:
        st.markdown("### Criterion 2")
        _pair(
            {p: study_charts.criterion(read, p, study_charts.highest(read)) for p in ("sbp", "dbp")},
            _criterion_words(read),
            "criterion",
        )
    for a in found.agreements:
        with st.expander(f"{a.estimator}: every figure", expanded=len(found.agreements) == 1):
            if a.counts.complete:
                st.markdown(plain(in_words.chances(a)))
            st.markdown(plain(in_words.tolerable(a)))
            study_tables.show(*tables.tables(a)[1:3])
    if found.rules:
        with st.expander("How the people were spread"):
            study_tables.show(tables.rules_table(found.rules))


def far(found: Report, plan: Plan) -> None:
    """Errors of one algorithm: bias, limits, shares."""
    a, scatter = _chosen(found)
    if in_words.silent(a):
        _silence(a)
        return
    if a.counts.subjects > 1:
        words = pictures.limits_picture(a, scatter).words
        _pair({s.pressure: study_charts.limits(scatter, s) for s in a.scores}, words, "limits")
    study_tables.show(tables.tables(a)[4], tables.tables(a)[3])


def where(found: Report, plan: Plan) -> None:
    """Failures of one algorithm by reason, errors over people, the map, recordings that break algorithms."""
    a, _ = _chosen(found)
    st.markdown(plain(in_words.failures(a)))
    study_tables.show(tables.tables(a)[0])
    if in_words.silent(a):
        _silence(a)
    else:
        st.markdown("### Errors against what differs between people")
        _dependences(a)
    for mapped in found.maps:
        if mapped.estimator == a.estimator:
            st.markdown("### The map")
            st.caption(plain(stress_picture(mapped).words))
            charts = {name: study_charts.stress(mapped, name) for name in ("tolerable", "failed")}
            as_table = tables.stress_table(mapped)
            _pair(charts, as_table.title, "map", words_below=False)
            with st.expander("The map as a table"):
                study_tables.show(as_table)
    if not plan.mapped:
        st.caption("A map over two inputs, chosen in the plan, shows where an algorithm fails.")
    _contract(a.estimator)


def better(found: Report, plan: Plan) -> None:
    """Each two algorithms on the same recordings."""
    if not found.comparisons:
        st.info("Choose a second algorithm in the plan: both then read the same recordings.", icon=":material/info:")
        return
    st.markdown(
        "Both read the same recordings, so a difficult recording is difficult for both. Recordings without a number "
        "are counted separately: an algorithm that gives no number for the difficult ones looks better on the rest."
    )
    for c in found.comparisons:
        st.markdown(f"### {plain(c.first)} or {plain(c.second)}?")
        st.markdown("\n".join(f"- {line}" for line in in_words.better(c)))
        with st.expander("Every figure", expanded=len(found.comparisons) == 1):
            study_tables.show(tables.comparison_table(c))


def _chosen(found: Report) -> tuple[Agreement, Scatter]:
    """The algorithm that the address names, and what its picture shows."""
    names = [a.estimator for a in found.agreements]
    name = url_widgets.segments("about", "Algorithm", {n: n for n in names}) if len(names) > 1 else names[0]
    place = names.index(name)
    return found.agreements[place], found.scatters[place]


_TITLES = {
    "sbp": "Systolic",
    "dbp": "Diastolic",
    "tolerable": "Readings within 10 mmHg, %",
    "failed": "Readings without a number, %",
}


def _pair(charts: dict[str, Spec], words: str, key: str, words_below: bool = True) -> None:
    """Two charts beside each other, on a phone below each other, with what they show in words."""
    for column, (name, spec) in zip(st.columns(2), charts.items(), strict=True):
        with column:
            st.markdown(f"**{_TITLES[name]}**")
            st.vega_lite_chart(None, spec, theme=None, alt=f"{_TITLES[name]}. {words}", key=f"study-{key}-{name}")
    if words_below:
        st.caption(plain(words))


def _criterion_words(read: tuple[Agreement, ...]) -> str:
    return pictures.criterion_picture(read).words


def _dependences(a: Agreement) -> None:
    if not a.sbp.by:
        st.caption("Too few people for this.")
        return
    st.markdown("● systolic, ▲ diastolic: mean error in fifths of the people; upright lines: one SD up and down.")
    columns = st.columns(3)
    span = study_charts.span(a)
    for place, (s, d) in enumerate(zip(a.sbp.by, a.dbp.by, strict=True)):
        with columns[place % 3]:
            alt = f"Errors in fifths of the people by {s.label}"
            st.vega_lite_chart(None, study_charts.dependence(s, d, span), theme=None, alt=alt, key=f"study-by-{s.name}")
    st.caption(plain(pictures.dependence_picture(a).words))
    study_tables.show(tables.tables(a)[5])


def _silence(a: Agreement) -> None:
    st.info(f"{plain(a.estimator)} gave no number at all in this study: there are no errors.", icon=":material/info:")


def _contract(name: str) -> None:
    """What an algorithm does on recordings that break algorithms; tried only where asked for."""
    with st.expander("Difficult recordings", icon=":material/healing:"):
        st.markdown(
            "No pulse, a weak one, clipped or dropped samples, other sampling rates, steps, movement, an irregular "
            "heart: an algorithm must read them roughly, or say why it gives no number."
        )
        if st.toggle(f"Try {name} on them (a few seconds)", key=f"study-contract-{name}"):
            with st.spinner("Trying"):
                study_tables.show(tables.contract_table(_tried(name), name))


@st.cache_resource(max_entries=16, show_spinner=False)
def _tried(name: str) -> tuple[Finding, ...]:
    return check(NAMED[name]).findings

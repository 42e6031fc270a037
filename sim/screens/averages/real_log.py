"""A real log: read, shown, averaged by a schedule's rule, written out. Kept only while the page is open."""

from __future__ import annotations

import json
from html import escape
from importlib import resources

import streamlit as st

from sim.explain.categories import schemes
from sim.explain.schedules import schedules
from sim.figures.numbers import pair
from sim.logs.aside import decided
from sim.logs.log import Log, LogError
from sim.logs.read import read_log
from sim.logs.reasons import many
from sim.logs.summary import Summary, summarise
from sim.logs.urgent import urgent_if_so
from sim.logs.write_csv import write_csv
from sim.logs.write_fhir import write_fhir
from sim.screens import url_widgets
from sim.screens.averages import category_chart, implausible_readings, log_chart, urgent_words
from sim.screens.charts.shown import draw
from sim.screens.words import plain, sentence
from sim.teach.log_page import FILE, log_page

_KEY, _ROUND = "log", "log-round"
# For those who have none at hand; nobody's.
_INVENTED = resources.files("sim.screens.averages").joinpath("invented_log.csv")
# The scheme in the address where the rule chooses it.
_GOES_WITH = "rule"
_MOST = 30
ORDERS = {"": "found from the file", "day first": "day first, 31/05/2024", "month first": "month first, 05/31/2024"}


def show() -> None:
    """Ask for a file, then show it under a rule."""
    st.markdown(
        "A log of real readings is averaged by the rule of a schedule. Every value stays as it was written down. A "
        "value that cannot be right is set aside until you decide. A doubtful one is marked. Nothing is deleted."
    )
    st.caption(
        "The file is kept only while this page is open: it is not stored and not sent on. No name is asked for, and "
        "none should be in it."
    )
    hands, eyes = st.columns([9, 11], gap="large")
    with hands:
        name = url_widgets.choose("rule", "The rule", {n: p.label for n, p in schedules().items()})
        goes_with = schedules()[name].scheme or next(iter(schemes()))
        named = {n: s.label for n, s in schemes().items()}
        options = {_GOES_WITH: f"those of the rule's guideline ({named[goes_with]})", **named}
        scheme = url_widgets.choose("scheme", "Category scheme", options)
    with eyes:
        log = _log()
    if log is None:
        return
    first = st.container()
    decisions = implausible_readings.ask(log)
    with first:
        said = urgent_words.show(log, decisions)
    urgent_words.if_so(urgent_if_so(decided(log, decisions).waiting), said)
    found = summarise(log, schedules()[name], None if scheme == _GOES_WITH else scheme, decisions=decisions)
    _faults(log)
    if not log.entries:
        return
    _shown(found)
    _table(found)
    _keep(log, found)


def _log() -> Log | None:
    """The log that was given, from a file or the invented example."""
    order = url_widgets.choose("dates", "Dates such as 03/04/2024", ORDERS)
    uploaded = st.file_uploader(
        "A table (CSV), also a diary with columns for mornings and evenings, or FHIR R4 (JSON)",
        type=["csv", "txt", "tsv", "json"],
        key=f"log-file-{st.session_state.get(_ROUND, 0)}",
        max_upload_size=2,
    )
    if uploaded is not None:
        st.session_state[_KEY] = uploaded.getvalue()
    with st.container(horizontal=True):
        st.button("Use an invented example", on_click=_example, icon=":material/description:")
        st.button("Remove this file", on_click=_forget, icon=":material/delete:", disabled=_KEY not in st.session_state)
    content = st.session_state.get(_KEY)
    if content is None:
        return None
    try:
        return read_log(content, order or None)
    except LogError as error:
        st.warning(plain(sentence(str(error))), icon=":material/description:")
        return None


def _example() -> None:
    _forget()
    st.session_state[_KEY] = _INVENTED.read_bytes()


def _forget() -> None:
    """Drop the file, and the uploader's own copy of it with a new uploader."""
    st.session_state.pop(_KEY, None)
    implausible_readings.forget()
    st.session_state[_ROUND] = st.session_state.get(_ROUND, 0) + 1


def _faults(log: Log) -> None:
    if not log.faults:
        return
    total = len(log.faults) + len(log.entries)
    with st.expander(
        f"{len(log.faults)} of {total} rows could not be read", icon=":material/edit_note:", expanded=True
    ):
        st.markdown("\n".join(f"- {plain(str(fault))}" for fault in log.faults[:_MOST]))
        if len(log.faults) > _MOST:
            st.caption(f"and {len(log.faults) - _MOST} more")


def _shown(found: Summary) -> None:
    for reason in found.short:
        st.info(plain(sentence(f"no mean by this rule yet: {reason}")), icon=":material/hourglass_empty:")
    if found.mixed:
        st.info(plain(sentence(found.mixed)), icon=":material/call_split:")
    if found.figures is not None:
        st.html(_panel(found))
        st.html(_remarks(found))
    left, right = st.columns(2, gap="large")
    with left:
        said = log_chart.sentence(found)
        draw(log_chart.timeline(found), said, "timeline")
        st.caption(said)
    if found.figures is not None:
        with right:
            _named(found)
    _after(found)


def _named(found: Summary) -> None:
    """How probable each category is; or why the mean has none yet."""
    if found.nameless:
        few = f"too few readings for a category: {'; '.join(found.nameless)}"
        st.info(plain(sentence(few)), icon=":material/label_off:")
        return
    assert found.figures is not None
    few = f"From {many(found.figures.n, 'reading')} on {many(found.days, 'day')}."
    label = pair(found.figures.sbp, found.figures.dbp)
    said = category_chart.sentence([(label, found.chances)])
    draw(category_chart.chances([(label, found.chances)]), said, "log-chances")
    place = "at home" if found.schedule.place == "home" else "in the office"
    st.caption(
        f"{few} {said} {plain(schemes()[found.scheme].label)}, {place}. If nothing was measured wrongly: a mistake "
        "that was made every time is in every mean."
    )


def _after(found: Summary) -> None:
    """What stands under mean and pictures: readings still expected, and remarks on the whole."""
    if found.missing:
        listed = "; ".join(f"{m.day:%a %d %b} {m.part} ({m.readings})" for m in found.missing[:_MOST])
        more = f"; and {many(len(found.missing) - _MOST, 'more session')}" if len(found.missing) > _MOST else ""
        st.markdown(
            "**Readings still expected by the schedule**, for each session (one sitting) their number: "
            f"{plain(listed + more)}."
        )
    for remark in found.remarks:
        st.info(plain(sentence(remark)), icon=":material/help:")


def _panel(found: Summary) -> str:
    """The mean, large."""
    f = found.figures
    assert f is not None
    tag = f'<p class="tag">Mean <small>of {f.n} readings</small></p>'
    return f'<section class="numbers"><div class="number display">{tag}{_big(f.sbp, f.dbp)}</div></section>'


def _remarks(found: Summary) -> str:
    """What stands under the mean: how sure it is, how the readings scatter, its parts."""
    f, known = found.figures, found.usual
    assert f is not None
    assert known is not None
    sbp, dbp = (known.interval(0.95, name) for name in ("sbp", "dbp"))
    lines = [
        f"The resting pressure over months lies with 95 % probability between <b>{sbp[0]:.0f} and {sbp[1]:.0f}</b> "
        f"systolic, <b>{dbp[0]:.0f} and {dbp[1]:.0f}</b> diastolic. What it means is for the clinician who knows the "
        "person."
    ]
    if f.sd_sbp is not None and f.sd_dbp is not None:
        low, high = (pair(f.range_sbp[k], f.range_dbp[k]) for k in (0, 1))
        lines.append(
            f"Single readings scatter by {f.sd_sbp:.1f}/{f.sd_dbp:.1f} (SD); lowest and highest of each: {low} and "
            f"{high}."
        )
    parts = [f"{part}s <b>{pair(p.sbp, p.dbp)}</b> ({p.n})" for part, p in found.by_part.items()]
    if parts:
        lines.append(f"Means of {' and '.join(parts)}.")
    if found.without_doubtful is not None:
        w = found.without_doubtful
        lines.append(f"Without the doubtful ones the mean of {w.n} is <b>{pair(w.sbp, w.dbp)}</b>.")
    return f'<section class="remarks">{"".join(f"<p>{line}</p>" for line in lines)}</section>'


def _big(sbp: float, dbp: float) -> str:
    return f'<p class="big"><span class="pair">{sbp:.0f}<i>/</i>{dbp:.0f}</span> <small>mmHg</small></p>'


def _table(found: Summary) -> None:
    doubtful = [row for row in found.rows if row.doubtful]
    with st.expander(f"All {len(found.rows)} readings, {len(doubtful)} of them doubtful", icon=":material/table_rows:"):
        rows = "".join(
            f"<tr><td>{escape(row.entry.where)}, {row.entry.day} "
            f"{f'{row.entry.when:%H:%M}' if row.entry.timed else escape(row.entry.part)}"
            f"<small>{escape('; '.join((row.status, *row.doubts)))}</small></td>"
            f"<td>{pair(row.entry.sbp, row.entry.dbp)}</td><td>{'?' if row.doubtful else ''}</td></tr>"
            for row in found.rows[:500]
        )
        st.html(
            '<table class="steps"><thead><tr><th>reading</th><th>mmHg</th><th>doubtful</th></tr></thead>'
            f"<tbody>{rows}</tbody></table>"
        )


def _keep(log: Log, found: Summary) -> None:
    with st.container(horizontal=True):
        st.download_button(
            "One page to print (HTML)",
            log_page(log, found),
            FILE,
            "text/html",
            on_click="ignore",
            icon=":material/print:",
            help="To talk over with the clinician: the readings drawn, the average, what was set aside and why, what "
            "to ask. Open it in the browser and print it: one side, A4 or Letter.",
        )
        st.download_button("As a table (CSV)", write_csv(log), "log.csv", "text/csv", icon=":material/download:")
        fhir = json.dumps(write_fhir(log), indent=2, ensure_ascii=False)
        st.download_button("As FHIR R4", fhir, "log.json", "application/fhir+json", icon=":material/download:")

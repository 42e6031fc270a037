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
from sim.logs.summary import Summary, summarise
from sim.logs.told import many, place, short, weekday
from sim.logs.urgent import urgent_if_so
from sim.logs.write_csv import write_csv
from sim.logs.write_fhir import write_fhir
from sim.say import all_said, mark, say
from sim.screens import url_widgets
from sim.screens.averages import category_chart, implausible_readings, log_chart, urgent_words
from sim.screens.charts.shown import draw
from sim.screens.words import plain, sentence
from sim.teach.log_page import FILE, MEANS_OF, log_page

_KEY, _ROUND = "log", "log-round"
# For those who have none at hand; nobody's.
_INVENTED = resources.files("sim.screens.averages").joinpath("invented_log.csv")
# The scheme in the address where the rule chooses it.
_GOES_WITH = "rule"
_MOST = 30
ORDERS = {
    "": mark("found from the file"),
    "day first": mark("day first, 31/05/2024"),
    "month first": mark("month first, 05/31/2024"),
}


def show() -> None:
    """Ask for a file, then show it under a rule."""
    st.markdown(
        say(
            "A log of real readings is averaged by the rule of a schedule. Every value stays as it was written down. A "
            "value that cannot be right is set aside until you decide. A doubtful one is marked. Nothing is deleted."
        )
    )
    st.caption(
        say(
            "The file is kept only while this page is open: it is not stored and not sent on. No name is asked for, "
            "and none should be in it."
        )
    )
    hands, eyes = st.columns([9, 11], gap="large")
    with hands:
        name = url_widgets.choose("rule", say("The rule"), {n: say(p.label) for n, p in schedules().items()})
        goes_with = schedules()[name].scheme or next(iter(schemes()))
        named = {n: say(s.label) for n, s in schemes().items()}
        options = {_GOES_WITH: say("those of the rule's guideline ({scheme})", scheme=named[goes_with]), **named}
        scheme = url_widgets.choose("scheme", say("Category scheme"), options)
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
    order = url_widgets.choose("dates", say("Dates such as 03/04/2024"), all_said(ORDERS))
    uploaded = st.file_uploader(
        say("A table (CSV), also a diary with columns for mornings and evenings, or FHIR R4 (JSON)"),
        type=["csv", "txt", "tsv", "json"],
        key=f"log-file-{st.session_state.get(_ROUND, 0)}",
        max_upload_size=2,
    )
    if uploaded is not None:
        st.session_state[_KEY] = uploaded.getvalue()
    with st.container(horizontal=True):
        st.button(say("Use an invented example"), on_click=_example, icon=":material/description:")
        there = _KEY in st.session_state
        st.button(say("Remove this file"), on_click=_forget, icon=":material/delete:", disabled=not there)
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
    title = say("{n} of {all} rows could not be read", n=len(log.faults), all=total)
    with st.expander(title, icon=":material/edit_note:", expanded=True):
        st.markdown("\n".join(f"- {plain(str(fault))}" for fault in log.faults[:_MOST]))
        if len(log.faults) > _MOST:
            st.caption(say("and {n} more", n=len(log.faults) - _MOST))


def _shown(found: Summary) -> None:
    for reason in found.short:
        st.info(
            plain(sentence(say("no mean by this rule yet: {reason}", reason=reason))), icon=":material/hourglass_empty:"
        )
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
        few = say("too few readings for a category: {why}", why="; ".join(found.nameless))
        st.info(plain(sentence(few)), icon=":material/label_off:")
        return
    assert found.figures is not None
    few = say("From {readings} on {days}.", readings=many(found.figures.n, "reading"), days=many(found.days, "day"))
    label = pair(found.figures.sbp, found.figures.dbp)
    said = category_chart.sentence([(label, found.chances)])
    draw(category_chart.chances([(label, found.chances)]), said, "log-chances")
    at = say("at home" if found.schedule.place == "home" else "in the office")
    st.caption(
        f"{few} {said} {plain(say(schemes()[found.scheme].label))}, {at}. "
        + say("If nothing was measured wrongly: a mistake that was made every time is in every mean.")
    )


def _after(found: Summary) -> None:
    """What stands under mean and pictures: readings still expected, and remarks on the whole."""
    if found.missing:
        listed = "; ".join(
            f"{weekday(m.day)} {short(m.day)} {say(m.part)} ({m.readings})" for m in found.missing[:_MOST]
        )
        rest = len(found.missing) - _MOST
        more = say("; and {more}", more=many(rest, "more session")) if rest > 0 else ""
        st.markdown(
            say(
                "**Readings still expected by the schedule**, for each session (one sitting) their number: {listed}.",
                listed=plain(listed + more),
            )
        )
    for remark in found.remarks:
        st.info(plain(sentence(remark)), icon=":material/help:")


def _panel(found: Summary) -> str:
    """The mean, large."""
    f = found.figures
    assert f is not None
    tag = f'<p class="tag">{say("Mean <small>of {n} readings</small>", n=f.n)}</p>'
    return f'<section class="numbers"><div class="number display">{tag}{_big(f.sbp, f.dbp)}</div></section>'


def _remarks(found: Summary) -> str:
    """What stands under the mean: how sure it is, how the readings scatter, its parts."""
    f, known = found.figures, found.usual
    assert f is not None
    assert known is not None
    sbp, dbp = (known.interval(0.95, name) for name in ("sbp", "dbp"))
    lines = [
        say(
            "The resting pressure over months lies with 95 % probability between <b>{low:.0f} and {high:.0f}</b> "
            "systolic, <b>{dbp_low:.0f} and {dbp_high:.0f}</b> diastolic. What it means is for the clinician who knows "
            "the person.",
            low=sbp[0],
            high=sbp[1],
            dbp_low=dbp[0],
            dbp_high=dbp[1],
        )
    ]
    if f.sd_sbp is not None and f.sd_dbp is not None:
        low, high = (pair(f.range_sbp[k], f.range_dbp[k]) for k in (0, 1))
        lines.append(
            say(
                "Single readings scatter by {sbp:.1f}/{dbp:.1f} (SD); lowest and highest of each: {low} and {high}.",
                sbp=f.sd_sbp,
                dbp=f.sd_dbp,
                low=low,
                high=high,
            )
        )
    parts = [f"{say(MEANS_OF[part])} <b>{pair(p.sbp, p.dbp)}</b> ({p.n})" for part, p in found.by_part.items()]
    if parts:
        lines.append(say("Means of {parts}.", parts=say(" and ").join(parts)))
    if found.without_doubtful is not None:
        w = found.without_doubtful
        mean = pair(w.sbp, w.dbp)
        lines.append(say("Without the doubtful ones the mean of {n} is <b>{mean}</b>.", n=w.n, mean=mean))
    return f'<section class="remarks">{"".join(f"<p>{line}</p>" for line in lines)}</section>'


def _big(sbp: float, dbp: float) -> str:
    return f'<p class="big"><span class="pair">{sbp:.0f}<i>/</i>{dbp:.0f}</span> <small>mmHg</small></p>'


def _table(found: Summary) -> None:
    doubtful = [row for row in found.rows if row.doubtful]
    title = say("All {n} readings, {doubtful} of them doubtful", n=len(found.rows), doubtful=len(doubtful))
    with st.expander(title, icon=":material/table_rows:"):
        rows = "".join(
            f"<tr><td>{escape(place(row.entry.where))}, {row.entry.day} "
            f"{f'{row.entry.when:%H:%M}' if row.entry.timed else escape(say(row.entry.part))}"
            f"<small>{escape('; '.join((say(row.status), *row.doubts)))}</small></td>"
            f"<td>{pair(row.entry.sbp, row.entry.dbp)}</td><td>{'?' if row.doubtful else ''}</td></tr>"
            for row in found.rows[:500]
        )
        st.html(
            f'<table class="steps"><thead><tr><th>{say("reading")}</th><th>mmHg</th><th>{say("doubtful")}</th></tr>'
            f"</thead><tbody>{rows}</tbody></table>"
        )


def _keep(log: Log, found: Summary) -> None:
    with st.container(horizontal=True):
        st.download_button(
            say("One page to print (HTML)"),
            log_page(log, found),
            FILE,
            "text/html",
            on_click="ignore",
            icon=":material/print:",
            help=say(
                "To talk over with the clinician: the readings drawn, the average, what was set aside and why, what to "
                "ask. Open it in the browser and print it: one side, A4 or Letter."
            ),
        )
        table = write_csv(log)
        st.download_button(say("As a table (CSV)"), table, "log.csv", "text/csv", icon=":material/download:")
        fhir = json.dumps(write_fhir(log), indent=2, ensure_ascii=False)
        kind = "application/fhir+json"
        st.download_button(say("As FHIR R4"), fhir, "log.json", kind, icon=":material/download:")

"""Files of a study, made when they are asked for."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

import streamlit as st

from sim.figures.report import Pages
from sim.study.background.job import Job
from sim.study.background.plan import Plan
from sim.study.report import Report
from sim.study.store import write_table


def show(plan: Plan, job: Job, found: Report) -> None:
    """One button a file."""
    st.header("Download", anchor=False)
    name = f"study-{plan.digest[:8]}"
    with st.container(horizontal=True):
        for suffix, label, mime, made in (
            ("html", "Report as a page (HTML)", "text/html", lambda: page(found)),
            ("pdf", "Report on paper (PDF)", "application/pdf", lambda: paper(found)),
            ("csv", "Every reading (CSV)", "text/csv", lambda: readings(job, ".csv")),
            ("parquet", "Every reading (Parquet)", "application/vnd.apache.parquet", lambda: readings(job, ".parquet")),
        ):
            st.download_button(
                label,
                made,
                file_name=f"{name}.{suffix}",
                mime=mime,
                key=f"study-file-{suffix}",
                icon=":material/download:",
                on_click="ignore",
            )
    st.caption(
        "Made when you ask; the PDF takes a few seconds. The study is kept only until the app's server stops or newer "
        "studies need the space. The seed and the command line give the same readings again."
    )


def page(found: Report) -> bytes:
    """The report as a page that needs nothing from elsewhere."""
    return Pages(found).html().encode()


def paper(found: Report) -> bytes:
    """The report as sheets of A4."""
    return _written(".pdf", Pages(found).write_pdf)


def readings(job: Job, suffix: str) -> bytes:
    """Every reading of the study as one table, each with what it comes from."""
    return _written(suffix, lambda file: write_table(file, job.outcome().parts(), job.plan.study.origin))


def _written(suffix: str, write: Callable[[Path], None]) -> bytes:
    with tempfile.TemporaryDirectory(prefix="cuffbias-") as folder:
        file = Path(folder) / f"study{suffix}"
        write(file)
        return file.read_bytes()

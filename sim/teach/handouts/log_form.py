"""The form on which somebody writes down readings at home, by a schedule."""

from __future__ import annotations

from typing import Any

from sim.explain.schedules import Schedule
from sim.teach.handouts import words
from sim.teach.handouts.lesson_page import runs, urgent
from sim.teach.handouts.wanted import Clinic


def form(plan: Schedule, clinic: Clinic) -> dict[str, Any]:
    """The form as plain data: how and when to measure, and one row for each reading of the schedule."""
    return {
        "title": words.LOG_TITLE,
        "lines": [{"label": label, "text": ""} for label in words.LOG_PERSON],
        "text": [runs(each) for each in (words.LOG_HOW, *_when(plan), words.LOG_EVERY)],
        "columns": list(words.LOG_COLUMNS),
        "days": plan.days,
        "sessions": list(words.LOG_WHEN.get(plan.sessions, [f"{i + 1}" for i in range(plan.sessions)])),
        "readings": plan.readings,
        "readings_named": [words.LOG_READING.format(number=i + 1) for i in range(plan.readings)],
        "urgent": urgent(clinic),
        "treatment": runs(words.TREATMENT),
        "source_elsewhere": words.LOG_SOURCE_ELSEWHERE,
        "source": words.LOG_SOURCE.format(source=f"{plan.source}, DOI {plan.doi}"),
    }


def _when(plan: Schedule) -> list[str]:
    when = words.LOG_SESSIONS.get(plan.sessions, f"{plan.sessions} times a day")
    readings = words.LOG_READINGS.get(plan.readings, f"take {plan.readings} readings, a minute apart")
    told = [words.LOG_DAYS.format(when=when, days=plan.days, readings=readings)]
    if plan.drop_days:
        dropped = "day is" if plan.drop_days == 1 else f"{plan.drop_days} days are"
        told.append(words.LOG_FIRST_DAY.format(dropped=dropped))
    return told

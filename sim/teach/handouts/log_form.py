"""The form on which somebody writes down readings at home, by a schedule."""

from __future__ import annotations

from typing import Any

from sim.explain.schedules import Schedule
from sim.say import say
from sim.teach.handouts import words
from sim.teach.handouts.lesson_page import runs, urgent
from sim.teach.handouts.wanted import Clinic


def form(plan: Schedule, clinic: Clinic) -> dict[str, Any]:
    """The form as plain data: how and when to measure, and one row for each reading of the schedule."""
    how = [say(words.LOG_HOW), *_when(plan), say(words.LOG_EVERY)]
    when = map(say, words.LOG_WHEN[plan.sessions]) if plan.sessions in words.LOG_WHEN else _numbers(plan.sessions)
    return {
        "title": say(words.LOG_TITLE),
        "lines": [{"label": say(label), "text": ""} for label in words.LOG_PERSON],
        "text": [runs(each) for each in how],
        "columns": [say(each) for each in words.LOG_COLUMNS],
        "days": plan.days,
        "sessions": list(when),
        "readings": plan.readings,
        "readings_named": [say(words.LOG_READING, number=number) for number in _numbers(plan.readings)],
        "urgent": urgent(clinic),
        "treatment": runs(say(words.TREATMENT)),
        "source_elsewhere": say(words.LOG_SOURCE_ELSEWHERE),
        "source": say(words.LOG_SOURCE, source=f"{plan.source}, DOI {plan.doi}"),
    }


def _numbers(count: int) -> list[str]:
    return [f"{i + 1}" for i in range(count)]


def _when(plan: Schedule) -> list[str]:
    when = say(words.LOG_SESSIONS.get(plan.sessions, words.LOG_SO_MANY_SESSIONS), sessions=plan.sessions)
    readings = say(words.LOG_READINGS.get(plan.readings, words.LOG_SO_MANY_READINGS), readings=plan.readings)
    told = [say(words.LOG_DAYS, when=when, days=plan.days, readings=readings)]
    if plan.drop_days:
        told.append(say(words.LOG_FIRST_DAY if plan.drop_days == 1 else words.LOG_FIRST_DAYS, days=plan.drop_days))
    return told

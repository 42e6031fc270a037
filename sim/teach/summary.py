"""What a learner hands to the teacher, and the checklist of what this learner missed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from sim.say import mark, say
from sim.teach import final_test, path
from sim.teach.document import Document, Part
from sim.teach.final_test import NO_CERTIFICATE
from sim.teach.lesson_record import Lesson
from sim.teach.practice import possible
from sim.teach.practice_score import Count, tally
from sim.teach.progress import Progress, begun, done, first_tries, questions
from sim.teach.safety import EMERGENCY_NONE, EMERGENCY_SYMPTOMS, EMERGENCY_TITLE, NO_DEVICE

NEVER_CORRECT = mark(
    "Never correct a real reading with a number: take it again properly, and write down what was shown."
)
LOCAL_FIRST = mark("Your local protocol comes first.")
SUMMARY_FILE, CHECKLIST_FILE = "cuffbias-summary", "cuffbias-checklist"
_LONGEST_NAME = 80


def status(progress: Progress, lesson: Lesson) -> str:
    """How far a lesson is, in words, the prediction counted as its first question; "" where it is not begun."""
    if not begun(progress, lesson):
        return ""
    first, asked = first_tries(progress, lesson), 1 + len(questions(lesson))
    if done(progress, lesson):
        return say("Done · {right} of {asked} right at the first try", right=sum(first), asked=asked)
    counts = {"answered": len(first), "asked": asked}
    if progress.lesson(lesson.name).predicted:
        return say("Begun · {answered} of {asked} questions answered", **counts)
    return say("Begun · {answered} of {asked} questions answered, no prediction yet", **counts)


def score_line(count: Count) -> str:
    """One count in words."""
    told = [say("{right} of {asked}", right=count.right, asked=count.asked)] if count.asked else []
    told += [say("named {times} × where it was not there", times=count.falsely)] if count.falsely else []
    return f"{say(count.what)}: {'; '.join(told)}"


def summary(progress: Progress, lessons: Sequence[Lesson], name: str, date: str) -> Document:
    """Lessons done, first answers and results of tests.

    name: as the learner types it, "" for a line to write on;  date: as the browser gives it, "" where it gives none
    """
    head = (say("Name: {name}", name=name.strip()[:_LONGEST_NAME] or "_" * 30), _date(date))
    parts = [Part(say("Lessons"), tuple(_lessons(progress, lessons)))]
    cases = tally(progress.cases, progress.own)
    if cases:
        title = say("Practice cases: first answers to {cases}", cases=len(progress.cases) + len(progress.own))
        parts.append(Part(title, tuple(score_line(count) for count in cases)))
    parts += [Part(say("Final test {seed}", seed=seed), test_lines(seed, progress)) for seed in sorted(progress.tests)]
    if progress.recalls:
        right = sum(r.right for r in progress.recalls)
        line = say("{right} of {asked} right", right=right, asked=len(progress.recalls))
        parts.append(Part(say("Questions from earlier lessons"), (line,)))
    told = say("The scores come from the learner's own browser. Nobody has checked them.")
    safety = (told, say(NO_CERTIFICATE), say(NO_DEVICE))
    return Document(say("What I have done in cuffbias"), head, tuple(parts), safety)


def _date(date: str) -> str:
    return say("Date: {date}", date=date or "_" * 15)


def _lessons(progress: Progress, lessons: Sequence[Lesson]) -> list[str]:
    ordered = [lesson for part in path.parts(lessons) for lesson in part]
    finished = sum(done(progress, lesson) for lesson in ordered)
    told = [(lesson, status(progress, lesson)) for lesson in ordered]
    return [
        say("{done} of {all} lessons done.", done=finished, all=len(ordered)),
        *(f"{_numbered(lesson)}{lesson.title}: {words.replace(' · ', ', ')}" for lesson, words in told if words),
    ]


def _numbered(lesson: Lesson) -> str:
    number = path.number(lesson)
    return f"{number}. " if number else ""


def test_lines(seed: int, progress: Progress) -> tuple[str, ...]:
    """The result of a final test in lines; of one that is not finished only how far it is."""
    verdicts = progress.tests.get(seed, {})
    found = final_test.result(seed, verdicts)
    if not final_test.finished(seed, verdicts):
        counts = {"answered": found.answered, "cases": final_test.CASES}
        return (say("{answered} of {cases} cases answered. The result comes after the last one.", **counts),)
    counts = {"right": found.mistakes, "cases": final_test.CASES}
    exact = say("Cases with exactly the right mistakes named: {right} of {cases}", **counts)
    return (exact, *(score_line(count) for count in found.counts))


def missed(progress: Progress) -> dict[str, int]:
    """How often each mistake was missed or named where it was not made, the most often first."""
    ended = [test for seed, test in progress.tests.items() if final_test.finished(seed, test)]
    verdicts = [*progress.cases.values(), *(v for test in ended for v in test.values())]
    order = [m.name for m in possible()]
    found = Counter(name for v in verdicts for name in (*v.missed, *v.false))
    return dict(sorted(found.items(), key=lambda each: (-each[1], order.index(each[0]))))


def checklist(progress: Progress, date: str) -> Document:
    """What to do at the bedside about the mistakes that this learner missed or named falsely, on one page."""
    right = {m.name: m.put_right for m in possible()}
    look = tuple(f"{say(name)}: {say(right[name])}." for name in missed(progress))
    none = (say("Nothing was missed so far."),)
    title = say("What I missed or took for a mistake, and how to put it right")
    parts = (Part(title, look or none, boxes=bool(look)),)
    return Document(
        say("My checklist at the bedside"),
        (_date(date),),
        parts,
        (
            say(NEVER_CORRECT),
            f"{say(EMERGENCY_TITLE)}: {say(EMERGENCY_SYMPTOMS)} {say(EMERGENCY_NONE)}".replace("**", ""),
            say(LOCAL_FIRST),
            say(NO_DEVICE),
        ),
    )

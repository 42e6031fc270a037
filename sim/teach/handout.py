"""A page to print for patients from a lesson: what to do, what a surprising number asks for, and room to write.

It is one HTML file with nothing outside it, and shows no pressure that the model computed.
"""

from __future__ import annotations

import re
from html import escape
from importlib import resources

from sim.teach.lesson_record import Lesson
from sim.teach.parts import Evidence
from sim.teach.safety import (
    ARMS,
    ARMS_TITLE,
    EMERGENCY_NONE,
    EMERGENCY_SOURCE,
    EMERGENCY_SYMPTOMS,
    EMERGENCY_TITLE,
    WHICH_ARM,
)

STYLE = resources.files("sim.teach").joinpath("handout.css").read_text("utf-8")

SURPRISE = (  # Muntner P, et al. Hypertension 2019;73:e35-e66, DOI 10.1161/HYP.0000000000000087; order: common practice
    "**First: how do you feel?** If you feel well, measure again properly: bare arm, a cuff of your size, back leaning "
    "on the chair, both feet on the floor, the arm on a table with the cuff level with your heart. Sit like that for "
    "five minutes, say nothing, then measure. Write down every number as it was shown; never change one. If it stays, "
    "it may simply be true: tell your clinician."
)
EITHER = "180 or more for the upper number, or 120 or more for the lower one."
WHATEVER = "Call also if you feel faint or confused and it is very low."
TREATMENT = (
    "One reading diagnoses nothing. Start, stop or change no medicine because of this page. What your clinician and "
    "your local protocol say comes first."
)
NO_DEVICE = (
    "This page comes from a teaching simulation. It is no medical device and says nothing about your own blood "
    "pressure."
)
LONG = 750  # letters in text and steps above which the type is a little smaller, to stay on one side


def file_name(lesson: Lesson) -> str:
    """What the page is called as a file."""
    return f"cuffbias-{lesson.name}.html"


def handout(lesson: Lesson) -> str:
    """The page of `lesson` as a complete HTML document, for A4 or Letter, one side, black on white."""
    steps = "\n".join(f"<li>{_words(step)}</li>" for step in lesson.takeaway.steps)
    letters = len(lesson.takeaway.text) + sum(map(len, lesson.takeaway.steps))
    size = ' class="long"' if letters > LONG else ""
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{escape(lesson.title)}: measuring your blood pressure</title>
<style>
{STYLE}</style>
</head>
<body{size}>
<main>
<h1>{escape(lesson.title)}</h1>
<p>{_words(lesson.takeaway.text)}</p>
<section>
<h2>What to do</h2>
<ol>
{steps}
</ol>
</section>
<section class="urgent">
<h2>{escape(EMERGENCY_TITLE)}</h2>
<p>{_words(EITHER)} {_words(EMERGENCY_SYMPTOMS)} {_words(WHATEVER)}</p>
<p>{_words(EMERGENCY_NONE)}</p>
</section>
<section class="plain">
<h2>A number that surprises you</h2>
<p>{_words(SURPRISE)}</p>
</section>
<section class="plain">
<p><strong>{escape(ARMS_TITLE)}:</strong> {_words(ARMS)} {_words(WHICH_ARM)}</p>
<p>{_words(TREATMENT)}</p>
</section>
<section class="write">
<div>Your clinic: name, telephone, hours</div>
<div>Notes</div>
</section>
</main>
<footer>
<p><strong>{escape(NO_DEVICE)}</strong></p>
<p>Advice at 180/120: {escape(EMERGENCY_SOURCE)} Arms: common practice.</p>
<p>Evidence in the lesson: {_sources(lesson)}</p>
</footer>
</body>
</html>
"""


def _words(text: str) -> str:
    """Text as HTML, where `**` marks bold."""
    return re.sub(r"\*\*(.+?)\*\*", r"<strong>\1</strong>", escape(text))


def _sources(lesson: Lesson) -> str:
    """Each source that can be looked up, once, in the order of the lesson; the lesson itself has the others."""
    found = dict.fromkeys(
        _source(evidence) for evidence in lesson.evidence if evidence.doi or evidence.pmid or evidence.pmcid
    )
    return "; ".join([*found, "all of it stands in the lesson"]) + "."


def _source(evidence: Evidence) -> str:
    identifier = escape(evidence.identifier)
    if evidence.doi:
        identifier = f'<a href="{escape(evidence.link)}">{identifier}</a>'
    return f"{escape(evidence.source)}, {identifier}"

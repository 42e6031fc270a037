"""The fixed words of the printed pages; those about safety that screens have too are in `sim.teach.safety`.

They are said where a page is made.

`**` marks what is set in bold. A test holds every text for patients to an eighth school year at most.
"""

from __future__ import annotations

from sim.say import mark

SURPRISE_TITLE = mark("A number that surprises you")
# Muntner P, et al. Hypertension 2019;73:e35-e66, DOI 10.1161/HYP.0000000000000087; order: common practice
SURPRISE = mark(
    "**First: how do you feel?** If you feel well, measure again properly: bare arm, a cuff of your size, back leaning "
    "on the chair, both feet on the floor, the arm on a table with the cuff level with your heart. Sit like that for "
    "five minutes, say nothing, then measure. Write down every number as it was shown; never change one. If it stays, "
    "it may simply be true: tell your clinician."
)
EITHER = mark("That is 180 or more for the upper number, or 120 or more for the lower one.")
WHATEVER = mark("Call also if you feel faint or confused and it is very low.")
TREATMENT = mark(
    "One reading diagnoses nothing. Start, stop or change no medicine because of this page. What your clinician and "
    "your local protocol say comes first."
)
FOOT = mark("For teaching. This is no medical device.")
# At the foot of every side of many, where the whole sentence (`sim.say.NOT_REVIEWED`) has no room.
FOOT_NOT_REVIEWED = mark("Not yet reviewed by a native-speaking clinician.")
TO_DO = mark("What to do")
LIKE_THIS, NOT_LIKE_THIS = mark("Like this"), mark("Not like this")
SOURCES = mark("Evidence in the lesson: ")
ALL_IN_LESSON = mark("all of it stands in the lesson")
ADVICE_SOURCE = mark("Advice at 180/120: {source} Arms: common practice.")
NOT_TRANSLATED = mark("This lesson has not been translated yet: it is in English.")
SOURCES_ELSEWHERE = mark("The sources stand on this page in ordinary print and in the lesson.")

CLASS_TITLE = mark("Questions for the class")
CLASS_HEAD = mark("Tick one answer to each question. Talk about it afterwards.")
ANSWERS_TITLE = mark("Answers to the questions")
ANSWERS_HEAD = mark(
    "For whoever leads the class. Keep this sheet until all have answered. Where an answer speaks of a screen or of "
    "points, open the lesson beside it."
)
NAME, DATE = mark("Name"), mark("Date")

LOG_TITLE = mark("My readings at home")
LOG_HOW = mark(
    "**Before:** empty your bladder. Sit five minutes with your back leaning on the chair and both feet on the floor. "
    "The arm is bare and lies on a table, the cuff level with your heart. Say nothing."
)
LOG_DAYS = mark("**When:** {when}, on {days} days in a row. Each time {readings}.")
LOG_SESSIONS = {1: mark("once a day"), 2: mark("in the morning and in the evening")}
LOG_SO_MANY_SESSIONS = mark("{sessions} times a day")
LOG_READINGS = {1: mark("take one reading"), 2: mark("take two readings, a minute apart")}
LOG_SO_MANY_READINGS = mark("take {readings} readings, a minute apart")
LOG_FIRST_DAY = mark(
    "By the rule of this form the first day is not counted in the mean. Write these numbers down all the same."
)
LOG_FIRST_DAYS = mark(
    "By the rule of this form the first {days} days are not counted in the mean. Write these numbers down all the same."
)
LOG_EVERY = mark(
    "Write down **every** number as the display shows it, the odd ones too. Bring this form to your clinic."
)
LOG_SOURCE = mark("How many readings: {source}.")
LOG_SOURCE_ELSEWHERE = mark("The source stands on this form in ordinary print.")
LOG_COLUMNS = (
    mark("Day, date"),
    mark("When"),
    mark("No."),
    mark("Upper"),
    mark("Lower"),
    mark("Pulse"),
    mark("Note"),
)
LOG_READING = mark("Reading {number}")
LOG_WHEN = {2: (mark("Morning"), mark("Evening"))}
LOG_PERSON = (mark("Name"), mark("Arm (left or right)"), mark("Device and size of cuff"))

FILE_TITLE = mark("Measuring your blood pressure: {first}")
FILE_TITLE_MORE = mark("Measuring your blood pressure: {first} and {count} more")
FILE_TITLE_LOG = mark("Measuring your blood pressure: a log for home")

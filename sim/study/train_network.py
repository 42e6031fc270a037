"""How the neural network learned its weights: maximum likelihood on simulated people who score nothing.

python -m sim.study.train_network     makes sim/estimate/neural_network.toml again, in about a minute

The network gives a place and a width for either error. The likelihood is that of Student's t distribution with few
degrees of freedom, so that a few recordings spoilt by movement do not rule; a network that gives its own variance: Nix
DA, Weigend AS. Proc IEEE Int Conf Neural Networks 1994:55-60 (from memory). The search is L-BFGS (scipy).
"""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

import numpy as np
from scipy.optimize import minimize

import sim.estimate
from sim.estimate.envelope import peak_of
from sim.estimate.fixed_ratio import FixedRatio
from sim.estimate.neural_network import Weights, inputs
from sim.estimate.oscillogram import USUAL
from sim.results import Oscillogram, Truth
from sim.study.training_set import batches

FILE = Path(sim.estimate.__file__).parent / "neural_network.toml"
# A seed that calibrates. Chosen: another one than that of the ratios.
SEED = 20_100
# All chosen, and tried as in sim.estimate.neural_network. Half as many people: SDs at rest 0.06 mmHg larger, more than
# twice as many moving arms more than 15 mmHg off.
BATCHES, SIZE = 20, 600
# Hidden units. 8 and 32 change no SD at rest by more than 0.1 mmHg; with 32 moving arms have SDs of 5.2 and 4.7.
HIDDEN = 16
# Pulls every weight towards nothing. Half and double change no SD at rest by more than 0.1 mmHg; with half moving arms
# have SDs of 5.0 and 4.7.
DECAY = 1e-3
# Degrees of freedom; the most steps of the search; how large weights are at its start. Halves and doubles change no SD
# at rest by more than 0.1 mmHg; with 2 degrees moving arms have SDs of 5.2 and 4.6.
FREEDOM, STEPS, START = 4.0, 400, 0.3
# Errors are learned in tens of mmHg, so that all numbers are about as large: any other unit would do.
_UNIT_MMHG = 10.0
# Share of errors within so many standard deviations where these are right.
_COVERED, _SDS = 0.95, 1.96


def examples(batch_count: int = BATCHES, size: int = SIZE, seed: int = SEED) -> tuple[np.ndarray, np.ndarray]:
    """Inputs (n, k) and what should come out (n, 2): true pressures above the envelope's peak [mmHg].

    Of the recordings that fixed ratios can read. Raises FieldError on a seed that may score.

    >>> found, target = examples(1, 5)
    >>> found.shape[1], target.shape[1]
    (25, 2)
    """
    parts = [_read(USUAL(recording), truth) for recording, truth in batches(batch_count, size, seed)]
    found, target = (np.concatenate(part) for part in zip(*parts, strict=True))
    return found, target


def _read(osc: Oscillogram, truth: Truth) -> tuple[np.ndarray, np.ndarray]:
    read = FixedRatio().read(osc).ok
    peak_mmhg = peak_of(osc)[1]
    target = np.stack([truth.at_measurement.sbp - peak_mmhg, truth.at_measurement.dbp - peak_mmhg], axis=1)
    return inputs(osc)[read], target[read]


def train(found: np.ndarray, target: np.ndarray, hidden: int = HIDDEN) -> Weights:
    """The weights that make the targets (n, 2) [mmHg] most likely, given the inputs (n, k)."""
    start = _start(found, target, hidden)
    scaled, aim = start.scaled(found), target / _UNIT_MMHG
    best = minimize(
        lambda flat: _unlikely(_filled(start, flat), scaled, aim),
        _flat(start),
        jac=True,
        method="L-BFGS-B",
        options={"maxiter": STEPS, "maxfun": 2 * STEPS},
    )
    return _in_mmhg(_filled(start, best.x), scaled, target)


# What is learned; the rest describes the inputs.
_LEARNED = ("hidden", "hidden_bias", "out", "direct", "bias")


def _start(found: np.ndarray, target: np.ndarray, hidden: int) -> Weights:
    """Weights that are small and random, but for the mean of the targets; always the same."""
    rng, k = np.random.default_rng(SEED), found.shape[1]
    return Weights(
        mean=np.nanmean(found, axis=0),
        spread=np.nanstd(found, axis=0),
        lowest=np.nanmin(found, axis=0),
        highest=np.nanmax(found, axis=0),
        hidden=START * rng.standard_normal((k, hidden)) / np.sqrt(k),
        hidden_bias=np.zeros(hidden),
        out=START * rng.standard_normal((hidden, 4)) / np.sqrt(hidden),
        direct=np.zeros((k, 4)),
        bias=np.array([*target.mean(axis=0) / _UNIT_MMHG, *np.log(target.std(axis=0) / _UNIT_MMHG)]),
    )


def _flat(weights: Weights) -> np.ndarray:
    return np.concatenate([getattr(weights, name).ravel() for name in _LEARNED])


def _filled(weights: Weights, flat: np.ndarray) -> Weights:
    """The same with what is learned out of one row of numbers."""
    shapes = [getattr(weights, name).shape for name in _LEARNED]
    parts = np.split(flat, np.cumsum([int(np.prod(shape)) for shape in shapes])[:-1])
    named = {name: part.reshape(shape) for name, part, shape in zip(_LEARNED, parts, shapes, strict=True)}
    return replace(weights, **named)


def _unlikely(weights: Weights, scaled: np.ndarray, aim: np.ndarray) -> tuple[float, np.ndarray]:
    """Minus the mean logarithm of the likelihood, with what decay adds, and its slope by each learned number."""
    n = len(scaled)
    units = np.tanh(scaled @ weights.hidden + weights.hidden_bias)
    out = units @ weights.out + scaled @ weights.direct + weights.bias
    off = (out[:, :2] - aim) * np.exp(-out[:, 2:])
    far = 1 + off**2 / FREEDOM
    value = (out[:, 2:] + (FREEDOM + 1) / 2 * np.log(far)).sum() / n
    pull = (FREEDOM + 1) * off / FREEDOM / far
    by_out = np.concatenate([pull * np.exp(-out[:, 2:]), 1 - pull * off], axis=1) / n
    by_units = by_out @ weights.out.T * (1 - units**2)
    slopes = {
        "hidden": scaled.T @ by_units + DECAY * weights.hidden,
        "hidden_bias": by_units.sum(axis=0),
        "out": units.T @ by_out + DECAY * weights.out,
        "direct": scaled.T @ by_out + DECAY / 10 * weights.direct,
        "bias": by_out.sum(axis=0),
    }
    value += DECAY / 2 * ((weights.hidden**2).sum() + (weights.out**2).sum() + (weights.direct**2).sum() / 10)
    return float(value), np.concatenate([slopes[name].ravel() for name in _LEARNED])


def _in_mmhg(weights: Weights, scaled: np.ndarray, target: np.ndarray) -> Weights:
    """The same with outputs in mmHg, and widths as the standard deviations that cover the errors they should."""
    unit = np.array([_UNIT_MMHG, _UNIT_MMHG, 1.0, 1.0])
    bias = weights.bias * unit + np.array([0.0, 0.0, np.log(_UNIT_MMHG), np.log(_UNIT_MMHG)])
    larger = replace(weights, out=weights.out * unit, direct=weights.direct * unit, bias=bias)
    units = np.tanh(scaled @ larger.hidden + larger.hidden_bias)
    out = units @ larger.out + scaled @ larger.direct + larger.bias
    widths = np.quantile(np.abs(out[:, :2] - target) * np.exp(-out[:, 2:]), _COVERED, axis=0) / _SDS
    return replace(larger, bias=bias + np.array([0.0, 0.0, *np.log(widths)]))


def text(weights: Weights) -> str:
    """The weights as TOML, four digits each."""
    lines = ["# Made by python -m sim.study.train_network, on simulated people: not to be changed by hand."]
    for name in (field.name for field in fields(Weights)):
        values = getattr(weights, name)
        rows = [_row(row) for row in np.atleast_2d(values)]
        lines.append(f"{name} = {rows[0]}" if values.ndim == 1 else f"{name} = [\n  {f',{chr(10)}  '.join(rows)},\n]")
    return "\n".join(lines) + "\n"


def _row(values: np.ndarray) -> str:
    return f"[{', '.join(f'{value:.4g}' for value in values)}]"


if __name__ == "__main__":
    FILE.write_text(text(train(*examples())), encoding="utf-8")
    print(f"written: {FILE.name}")  # noqa: T201 - a script's answer

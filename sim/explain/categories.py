"""What an average of readings would be called: the categories of published schemes (categories.toml).

A category belongs to an average of repeated readings on more than one occasion, never to one reading. Numbers
are taken as a display shows them, in whole mmHg: 119.6 counts as 120.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from sim.data import data
from sim.explain.variation import PLACES
from sim.fields import FieldError


@dataclass(frozen=True)
class Category:
    """One category: its name and the lowest systolic and diastolic in it [mmHg]; inf where a number never leads there.

    The lowest category begins at -inf.
    """

    name: str
    sbp_from: float
    dbp_from: float


@dataclass(frozen=True)
class Equivalent:
    """A pressure in the office and the one at home that a guideline puts beside it, (sbp, dbp) each [mmHg]."""

    office: tuple[float, float]
    home: tuple[float, float]
    sure: str


@dataclass(frozen=True)
class Scheme:
    """One guideline's categories [mmHg], lowest first, with its source and how sure we are of it.

    categories: of an average in the office;  home: of one at home, which `home_sure` is about
    """

    name: str
    label: str
    source: str
    doi: str
    sure: str
    note: str
    categories: tuple[Category, ...]
    home: tuple[Category, ...]
    home_sure: str
    equivalents: tuple[Equivalent, ...]

    def at(self, place: str) -> tuple[Category, ...]:
        """The categories [mmHg] at a place, "home" or "office"; study visits count as office. Raises FieldError.

        >>> scheme_named("acc-aha-2017").at("office")[-1].sbp_from
        140
        """
        if place not in PLACES:
            raise FieldError("place", repr(place), "one of " + ", ".join(PLACES))
        return self.home if place == "home" else self.categories


@lru_cache(maxsize=1)
def schemes() -> dict[str, Scheme]:
    """The schemes by name, their limits in mmHg (categories.toml has the sources)."""
    return {entry["name"]: _scheme(entry) for entry in data("sim.explain", "categories.toml")["scheme"]}


def scheme_named(name: str) -> Scheme:
    """The scheme of this name, its limits in mmHg; raises FieldError where there is none."""
    if name not in schemes():
        raise FieldError("scheme", repr(name), "one of " + ", ".join(schemes()))
    return schemes()[name]


def categorise(sbp: ArrayLike, dbp: ArrayLike, scheme: str, place: str = "office") -> np.ndarray:
    """The name of the category of each pair of numbers, "" where one of them is missing (NaN).

    sbp, dbp: of shapes that go together, rounded here to whole mmHg [mmHg]
    scheme: a name from `schemes()`;  place: "office" or "home", where the average comes from

    The number in the higher category counts. Raises FieldError where there is no such scheme or place.

    >>> str(categorise(129.4, 80, "acc-aha-2017"))
    'hypertension, stage 1'
    >>> str(categorise(136, 80, "acc-aha-2017", place="home"))
    'hypertension, stage 2'
    """
    categories = scheme_named(scheme).at(place)
    systolic, diastolic = np.broadcast_arrays(_whole(sbp), _whole(dbp))
    level = np.maximum(
        _level(systolic, [c.sbp_from for c in categories]), _level(diastolic, [c.dbp_from for c in categories])
    )
    names = np.array([c.name for c in categories])[level]
    return np.where(np.isnan(systolic) | np.isnan(diastolic), "", names)


def _whole(pressure_mmhg: ArrayLike) -> np.ndarray:
    return np.rint(np.asarray(pressure_mmhg, dtype=float))


def _level(pressure_mmhg: np.ndarray, lowest_mmhg: list[float]) -> np.ndarray:
    """Index of the highest category whose lowest pressure is reached."""
    reached = pressure_mmhg[..., None] >= np.array(lowest_mmhg)
    return (reached * np.arange(len(lowest_mmhg))).max(axis=-1)


def _scheme(entry: dict[str, Any]) -> Scheme:
    words = {key: entry[key] for key in ("name", "label", "source", "doi", "sure", "note", "home_sure")}
    return Scheme(
        **words,
        categories=_categories(entry["category"]),
        home=_categories(entry["home"]),
        equivalents=tuple(Equivalent(tuple(e["office"]), tuple(e["home"]), e["sure"]) for e in entry["equivalent"]),
    )


def _categories(entries: list[dict[str, Any]]) -> tuple[Category, ...]:
    first, *others = entries
    lowest = Category(first["name"], -np.inf, -np.inf)
    return (lowest, *(Category(c["name"], c.get("sbp_from", np.inf), c.get("dbp_from", np.inf)) for c in others))

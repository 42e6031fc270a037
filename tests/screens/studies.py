"""A small study as a plan and as an address, for the pages that show it."""

from __future__ import annotations

from sim.study.background.plan import Plan

# The same plan as an object and as an address.
PLAN = Plan(40, 2, "population", ("fixed-ratio", "slope"), 7)
ADDRESS = {"people": "other", "exactly": "40", "who": "population", "each": "2", "study-seed": "7"}
ADDRESS |= {"by": "fixed-ratio,slope"}

"""A lesson that compares two algorithms tells what the second reads from the same recording."""

import numpy as np

from sim import Instrument, Subject, Technique, breakdown
from sim.estimate.named import NAMED
from sim.screens.numbers_panel import remarks


def test_the_second_algorithm_reads_the_same_recording() -> None:
    found = breakdown(Subject(sbp=150, artery_b_mmhg=30), rng=np.random.default_rng(2))
    second = NAMED["slope"](found.result.recording)
    told = remarks(found, "acc-aha-2017", "slope") if second.ok[0] else ""
    assert f"{second.sbp[0]:.0f}/{second.dbp[0]:.0f}" in told
    assert "steepest slopes" in told


def test_where_it_has_none_the_reason_is_told() -> None:
    found = breakdown(Subject(artery_scale=0.03), Technique(), Instrument(), rng=np.random.default_rng(2))
    told = remarks(found, "acc-aha-2017", "slope")
    assert "gives no reading: " in told
    assert "nan" not in told

"""A lesson that compares two algorithms tells what the second reads from the same recording."""

import numpy as np

from sim.estimate.named import NAMED
from sim.explain.same_arm import same_arm
from sim.screens.numbers_panel import remarks
from sim.setup import Setup


def test_the_second_algorithm_reads_the_same_recording() -> None:
    found = same_arm(Setup.of(sbp=150, artery_b_mmhg=30), 2)
    second = NAMED["slope"](found.every.recording)
    told = remarks(found, "acc-aha-2017", "slope")
    assert f"{np.nanmean(second.sbp):.0f}/{np.nanmean(second.dbp):.0f}" in told
    assert "steepest slopes" in told


def test_where_it_has_none_the_reason_is_told() -> None:
    found = same_arm(Setup.of(artery_scale=0.03), 2)
    told = remarks(found, "acc-aha-2017", "slope")
    assert "gives no reading: " in told
    assert "nan" not in told

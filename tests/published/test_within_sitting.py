"""How far readings of one person lie apart within a sitting: published, the drawing's, and the engine's own."""

import numpy as np
import pytest

from sim import measure
from sim.explain import pictured
from sim.explain.variation import figures
from tests.teach.bench import LESSONS

LINE = LESSONS["21-either-side-of-a-line"]


def test_the_drawing_and_the_readings_of_one_screen_have_one_law():
    """SD of systolic readings at rest 3.7: Zheng D, et al. 2012, DOI 10.1038/jhh.2011.53; 3.67 in NHANES 2017-18.

    Diastolic: 3.2 and 3.42. The engine's lie closer together, which is the miss.
    """
    shown = measure(*LINE.inputs(), rng=np.random.default_rng(3), n=600).reading
    drawn = pictured.dividing(LINE.inputs()).sd
    healthy, survey = figures()["within-visit-healthy"], figures()["within-visit-survey"]
    print(f"SD, published 3.7/3.2 and 3.67/3.42; engine {shown.sbp.std():.2f}/{shown.dbp.std():.2f}; drawn {drawn:.2f}")
    assert drawn == pytest.approx(shown.sbp.std(), rel=0.1)
    assert drawn == pytest.approx(healthy.sbp) == pytest.approx(survey.sbp, rel=0.02)
    assert healthy.dbp
    assert shown.dbp.std() < 0.8 * healthy.dbp

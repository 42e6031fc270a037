"""Responses: the pressure itself changes, by the published figures."""

import numpy as np
import pytest

from sim import Subject, Technique, measure
from sim.body.responses import response, responses
from sim.fields import Choice

PUBLISHED = [
    # Talk +5.3/+6.2, the other arm moving +3.7/+5.0, deep breathing -4.4/-4.8: Zheng D, Giovannini R, Murray A.
    # J Hum Hypertens 2012;26:188, DOI 10.1038/jhh.2011.53.
    ({"talking": "conversation"}, 5.3, 6.2),
    ({"other_arm": "moving"}, 3.7, 5.0),
    ({"breathing": "deep"}, -4.4, -4.8),
    # Stressful talk +17/+13: Le Pailleur C, et al. Am J Hypertens 1998;11:203.
    ({"talking": "stressful"}, 17.0, 13.0),
    # Legs crossed at the knee, high blood pressure: +6.7/+2.3, at the ankle none: PMID 17496470.
    ({"legs": "knees"}, 6.7, 2.3),
    ({"legs": "ankles"}, 0.0, 0.0),
    # Coffee +8.1/+5.7: Mesas AE, et al. 2011.
    ({"caffeine": "yes"}, 8.1, 5.7),
    # Full bladder +4.2/+2.8: PMC3383137.
    ({"full_bladder": "yes"}, 4.2, 2.8),
    # A doctor at the bedside +26.7/+14.9, recorded inside the artery: Mancia G, et al. Lancet 1983;2:695.
    ({"company": "doctor"}, 26.7, 14.9),
    # Somebody beside +2.7/+0.9: Deragon V, et al. J Am Heart Assoc 2025, DOI 10.1161/JAHA.125.042797.
    ({"company": "silent"}, 2.7, 0.9),
    # From the first to the third reading -1.64 - 1.29 / -0.51 - 0.21: CARLA study.
    ({"reading_number": 1}, 1.64 + 1.29, 0.51 + 0.21),
]


@pytest.mark.parametrize(("mistake", "sbp", "dbp"), PUBLISHED)
def test_the_true_pressure_moves_by_the_published_mean(mistake: dict[str, object], sbp: float, dbp: float) -> None:
    truth = measure(Subject(sbp=130, dbp=80), Technique(**mistake), ideal=True).truth
    assert truth.at_measurement.sbp[0] - truth.resting.sbp[0] == pytest.approx(sbp, abs=1e-9)
    assert truth.at_measurement.dbp[0] - truth.resting.dbp[0] == pytest.approx(dbp, abs=1e-9)


# Morning less evening 6.1/4.8: the J-HOME study, Blood Press Monit 2009. Winter less summer 6.1/3.1: Kollias A, et al.
# J Hypertens 2020;38:791.
@pytest.mark.parametrize(
    ("field", "high", "low", "sbp", "dbp"),
    [("time_of_day", "morning", "evening", 6.1, 4.8), ("season", "winter", "summer", 6.1, 3.1)],
)
def test_hours_and_seasons_lie_the_published_difference_apart(field, high, low, sbp, dbp) -> None:
    moved = response(Technique(**{field: [high, low, "between"]}).spread(3))
    assert [float(each[0] - each[1]) for each in moved] == pytest.approx([sbp, dbp])
    assert [float(each[2]) for each in moved] == [0, 0]


def test_rest_settles_with_the_published_half_time() -> None:
    """11.6/4.3 mmHg in 16 min, with half-times of 5.8/5.5 min: Sala C, et al. Am J Hypertens 2006;19:713."""
    minutes = np.array([0.0, 5.8, 11.6, 5.5, 11.0, 16.0])
    sbp, dbp = response(Technique(rest_min=minutes).spread(6))
    assert sbp[0] - sbp[5] == pytest.approx(11.6)
    assert dbp[0] - dbp[5] == pytest.approx(4.3)
    assert sbp[1] - sbp[2] == pytest.approx((sbp[0] - sbp[1]) / 2)
    assert dbp[3] - dbp[4] == pytest.approx((dbp[0] - dbp[3]) / 2)


def test_talk_fades_in_the_published_time() -> None:
    """The after-effect lasts 5.8 min: Le Pailleur C, et al. Behav Med 2001;26:149."""
    quiet = np.array([0.0, 2.9, 5.8, 20.0])
    sbp, _ = response(Technique(talking="stressful", quiet_min=quiet).spread(4))
    assert sbp == pytest.approx([17.0, 8.5, 0.0, 0.0])


def test_responses_spread_between_people_as_stated() -> None:
    n = 600
    truth = measure(Subject(), Technique(talking="stressful"), rng=np.random.default_rng(3), n=n).truth
    moved = truth.at_measurement.sbp - truth.resting.sbp
    stated = responses()["talking"]["stressful"].sd_sbp
    # What varies from beat to beat comes on top: less than 2 mmHg in the mean over a reading. A standard deviation of
    # n draws is itself uncertain by 1 / sqrt(2 n) of it.
    margin = 3 / np.sqrt(2 * n)
    assert stated * (1 - margin) < moved.std() < np.hypot(stated, 2.0) * (1 + margin)


def test_every_response_belongs_to_an_option_that_is_not_the_correct_one() -> None:
    limits = Technique.LIMITS
    for field, options in responses().items():
        limit = limits[field]
        for name, entry in options.items():
            if isinstance(limit, Choice):
                assert name in limit.options
                assert name != limit.default
            assert entry.source
            assert entry.population
            assert entry.sure in {"seen", "quoted", "assumed"}

"""The page of one recording: its numbers are the engine's, its link holds its levers, and it says what it cannot."""

from __future__ import annotations

import csv
import json
import re

import numpy as np
import pytest

from sim import PARAMETERS_VERSION, Instrument, Subject, Technique, __version__, measure
from sim.cli import main
from sim.estimate.fixed_ratio import FixedRatio
from sim.estimate.named import NAMED, flattered
from sim.estimate.oscillogram import OscillogramBuilder
from sim.estimate.refusal import REASONS
from sim.figures.colours import DISPLAY, TRUTH
from sim.files.csv_file import write_csv
from sim.results import Recording
from sim.screens.algorithms.one_recording import chosen_algorithms, own_algorithm, simulated, table
from sim.screens.algorithms.one_recording.chosen_algorithms import Read, Step
from sim.screens.charts import several, trace
from sim.setup import Setup
from tests.screens.opening import address, html, open_page, texts


def show(**parameters):
    page = open_page("algorithms", view="one", **parameters)
    assert not page.exception
    return page


def charts(page):
    return [json.loads(element.proto.spec) for element in page.get("vega_lite_chart")]


def cells(page):
    """The table's rows, each a list of its cells' text without the small print."""
    rows = re.findall(r"<tr>(.*?)</tr>", html(page).split('<table class="steps">')[1], re.S)
    found = [re.findall(r"<td.*?>(.*?)</td>", re.sub(r"<small>.*?</small>", "", row), re.S) for row in rows]
    return [[re.sub(r"<.*?>", "", cell).strip() for cell in row] for row in found if row]


def source(subject=None, seed=1, ideal=False, **instrument):
    return simulated.source(Setup(subject or Subject(), Technique(), Instrument(**instrument)).fitted(), seed, ideal)


def reads(found, *names, step=None):
    """As the page reads, without what it keeps for its session."""
    step = step or Step()
    return [
        Read(name, chosen_algorithms.exchanged(NAMED[name], step)(found.recording), None) for name in names or NAMED
    ]


def test_the_page_shows_what_the_engine_reads():
    page = show(sbp="150", dbp="95", seed="7", deflation_mmhg_per_s="4.5")
    rows = cells(page)
    for name, estimator in NAMED.items():
        rng = np.random.default_rng(7)
        instrument = Instrument(deflation_mmhg_per_s=4.5)
        made = measure(Subject(sbp=150, dbp=95), instrument=instrument, rng=rng, estimator=estimator)
        if name == "model-fit":
            assert made.reading.sbp_sd is not None
            assert f"± {made.reading.sbp_sd[0]:.1f}" in html(page)
        (row,) = [row for row in rows if row[0].endswith(name.replace("-", " "))]
        assert row[1:] == [f"{v[0]:.1f}" for v in (made.reading.sbp, made.reading.dbp, made.reading.map)]
        assert f"error {made.reading.sbp[0] - made.truth.at_cuff.sbp[0]:+.1f}".replace("-", "−") in html(page)
    said = texts(page)
    assert f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}, seed 7" in said
    assert "no medical device" in said
    assert "One reading diagnoses nothing" in said


def test_every_chart_has_a_sentence_with_numbers():
    page = show()
    found = [element.proto for element in page.get("vega_lite_chart")]
    assert len(found) == 3
    said = texts(page)
    for proto in found:
        assert re.search(r"\d", proto.alt)
        assert proto.alt in said


def test_a_link_opens_what_was_left_and_a_bad_one_is_passed_over():
    left = {"sbp": "163", "rhythm": "atrial-fibrillation", "course": "inflating", "seed": "12", "amplitude": "area",
            "smoothing_mmhg": "9.5", "algorithms": "slope", "bladder": "large adult", "sampling_hz": "250"}  # fmt: skip
    page = show(**left)
    assert address(page) == left
    assert [row[0] for row in cells(page)][-1].endswith("slope")
    assert "under a bladder of 16 × 36 cm" in texts(page).replace("\\", "")
    bad = show(sbp="9999", course="sideways", seed="x", amplitude="width", smoothing_mmhg="nan", **{"from": "nowhere"})
    assert address(bad) == {}


@pytest.mark.parametrize(
    ("levers", "words"),
    [
        ({"sbp": "100", "dbp": "95"}, "Diastolic resting pressure, 95: must be at least 10 mmHg below the sys"),
        ({"start_mmhg": "30"}, "Upper end of the cuff's pressure (0: left to the instrument), 30: must be far enough"),
    ],
)
def test_levers_that_do_not_go_together_give_one_line(levers, words):
    page = show(**levers)
    (warning,) = page.warning
    assert words in warning.value.replace("\\", "")
    assert not charts(page)


def test_no_reading_is_told_in_words():
    page = show(movement_mmhg="14", seed="3")
    assert any(f"no reading: {reason}" in html(page) for reason in REASONS)
    assert "gives no reading" in texts(page)
    assert "nan" not in html(page).lower().replace("manage", "")


def test_no_algorithm_at_all_still_shows_the_recording():
    page = show(algorithms="")
    assert "Tick an algorithm" in texts(page)
    assert len(charts(page)) == 2


def test_the_step_in_the_middle_can_be_exchanged():
    page = show(amplitude="area", algorithms="fixed-ratio,slope")
    made = measure(Subject(), rng=np.random.default_rng(1), estimator=FixedRatio())
    other = FixedRatio(build=OscillogramBuilder(amplitude="area"))(made.recording)
    (row,) = [row for row in cells(page) if row[0].endswith("fixed ratio")]
    assert row[1] == f"{other.sbp[0]:.1f}"
    assert f"step {other.sbp[0] - made.reading.sbp[0]:+.1f}".replace("-", "−") in html(page)
    assert "calibrated for the usual" in texts(page)
    assert "<small>step" not in html(show())


def test_an_algorithm_without_such_a_step_stays_as_it_is():
    def estimator(recording):
        return FixedRatio()(recording)

    assert chosen_algorithms.exchanged(estimator, Step(amplitude="area")) is estimator


def test_without_chance_no_seed_is_asked_for():
    page = show(chance="no", seed="5")
    assert not page.number_input
    assert "without random variation" in texts(page)


def test_the_truth_at_each_stage():
    page = show(cuff_below_heart_cm="10", chance="no", algorithms="fixed-ratio")
    rows = {row[0] + str(k): row[1:] for k, row in enumerate(cells(page))}
    below, beside = list(rows.values())[:2]
    assert float(below[0]) - float(beside[0]) == pytest.approx(7.8, abs=0.15)  # 10 cm of blood
    assert [float(v) for v in beside[:2]] == [120.0, 80.0]


def test_the_table_says_where_it_comes_from():
    found = source(seed=9)
    text = table.as_csv(found, reads(found), Step(amplitude="upper"))
    remarks = [line for line in text.splitlines() if line.startswith("#")]
    assert remarks[0] == f"# cuffbias {__version__}, parameters {PARAMETERS_VERSION}, seed 9"
    assert any("its top over its own mean" in line for line in remarks)
    assert f"# {flattered('neural-network')}" in remarks
    assert flattered("neural-network") in table.legend(reads(found), found.truth)
    rows = list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
    by_name = {row["algorithm"]: row for row in rows}
    truth = float(by_name["true, under the cuff, in this recording"]["systolic_mmhg"])
    for name in NAMED:
        row = by_name[name]
        assert float(row["systolic_mmhg"]) - truth == pytest.approx(float(row["systolic_error_mmhg"]), abs=0.011)
        assert (row["systolic_sd_mmhg"] != "") == (name in {"model-fit", "neural-network"})


def test_several_algorithms_share_the_displays_colour_and_have_their_own_shapes():
    found = source()
    readings = {read.label: read.reading for read in reads(found)}
    assert found.truth is not None
    spec = several.several(readings, found.truth.at_cuff)
    assert spec is not None
    marks = [layer["mark"] for layer in spec["layer"] if layer["mark"]["type"] == "point"]
    shapes = {mark["shape"] for mark in marks if mark["color"] == DISPLAY.colour}
    assert len(shapes) == len(NAMED)
    assert {mark["color"] for mark in marks} >= {TRUTH.colour, DISPLAY.colour}
    assert several.several(readings, None) is not None
    assert TRUTH.colour not in json.dumps(several.several(readings, None))


def test_a_recording_without_beats_has_no_oscillogram_and_says_so():
    flat = Recording(100.0, np.linspace(180, 40, 3000)[None], np.array([3000]))
    readings = {name: estimator(flat) for name, estimator in NAMED.items()}
    assert "gives no reading" in several.sentence(readings, None)
    assert trace.pressure(flat, readings["slope"].oscillogram, None)
    gone = Recording(100.0, np.full((1, 3000), np.nan), np.array([3000]))
    assert "no sample" in trace.sentence(gone, None, None)
    for found in (flat, gone):
        json.dumps(trace.pulses(found, None), allow_nan=False)


def test_a_long_recording_is_thinned_without_losing_its_extremes():
    rng = np.random.default_rng(1)
    values = rng.normal(size=100_001)
    few, apart = trace.thinned(values)
    assert len(few) <= trace.MOST_POINTS + 2
    assert (np.nanmin(few), np.nanmax(few)) == (values.min(), values.max())
    assert len(few) * apart == pytest.approx(len(values), rel=0.01)
    short, apart = trace.thinned(values[:100])
    assert (apart, short.tolist()) == (1.0, values[:100].tolist())


def test_a_stretch_of_the_pulses_lies_where_the_algorithm_took_its_pressure():
    page = show(stretch="dbp", algorithms="fixed-ratio")
    found = measure(Subject(), rng=np.random.default_rng(1))
    low, high = charts(page)[-1]["layer"][1]["encoding"]["x"]["scale"]["domain"]
    assert high - low == pytest.approx(8)
    recording = found.recording
    cuff = recording.pressure_mmhg[0, round(low * recording.sampling_hz) : round(high * recording.sampling_hz)]
    assert cuff.max() > found.reading.dbp[0] > cuff.min()
    assert f"around {found.reading.dbp[0]:.0f} mmHg" in texts(page)
    assert "no algorithm has a reading" in texts(show(stretch="sbp", movement_mmhg="14", seed="3"))


def test_missing_samples_break_the_line():
    found = source()
    pressure = found.recording.pressure_mmhg.copy()
    pressure[0, 100:150] = np.nan
    holed = Recording(found.recording.sampling_hz, pressure, found.recording.samples)
    oscillogram = NAMED["fixed-ratio"](holed).oscillogram
    over = trace.rise(holed, oscillogram)
    assert np.isnan(over[100:150]).all()
    assert np.isfinite(over[150:]).all()
    assert "50 samples are missing" in trace.sentence(holed, oscillogram, None)
    json.dumps(trace.pressure(holed, oscillogram, None), allow_nan=False)


def test_the_file_to_begin_with_runs_and_the_commands_are_real(tmp_path, capsys):
    """What the page says to type, typed."""
    step = Step(amplitude="area", paired_with="line", smoothing_mmhg=4.0)
    (tmp_path / "my_algorithm.py").write_text(own_algorithm.program(step), encoding="utf-8")
    write_csv(tmp_path / "one.csv", source().recording)
    line = ["read", str(tmp_path / "one.csv"), "--estimator", "fixed-ratio"]
    assert main([*line, "--estimator", f"{tmp_path}/my_algorithm.py:estimate"]) == 0
    shown = capsys.readouterr().out
    build = OscillogramBuilder(amplitude="area", paired_with="line", smoothing_mmhg=4.0)
    expected = FixedRatio(0.55, 0.77, build=build)(source().recording)
    assert f"{expected.sbp[0]:.0f}/{expected.dbp[0]:.0f}" in shown.split("my_algorithm.py:estimate")[1]
    page = show()
    typed = [block.value for block in page.code]
    assert any("cuffbias score my_algorithm.py:estimate" in text for text in typed)
    assert "never runs code that is uploaded" in texts(page)


def test_each_widget_is_drawn_with_its_own_start():
    """A value that is set in the session instead reaches a slow phone later than the widget: a touch in between sends
    the lowest value of every slider and no tick in any box."""
    page = open_page("algorithms", view="one", sbp="150", algorithms="slope,model-fit")
    for slider in page.slider:
        assert (list(slider.proto.default), slider.proto.set_value) == ([slider.value], False), slider.label
    for box in page.checkbox:
        assert (box.proto.default, box.proto.set_value) == (box.value, False), box.label
    assert {str(box.key).rpartition("/")[2] for box in page.checkbox if box.value} == {"slope", "model-fit"}

"""Results that people can look at: a few lines, a table in a notebook, a pandas table, a figure."""

from xml.etree import ElementTree

import numpy as np
import pandas
import pytest

from sim import Subject, measure
from sim.shown import SHOWN_ROWS


@pytest.fixture(scope="module")
def result():
    return measure(Subject(sbp=128, dbp=82), rng=np.random.default_rng(1), n=12)


def test_results_print_in_a_few_lines(result):
    for part in (result, result.recording, result.truth, result.reading, result.bias, result.reading.oscillogram):
        text = repr(part)
        assert text.startswith(f"{type(part).__name__}, 12 rows")
        assert len(text.splitlines()) <= SHOWN_ROWS + 3
        assert len(text) < 2000
    assert "and 7 more" in repr(result)


def test_the_numbers_shown_are_those_of_the_rows(result):
    line = repr(result.bias).splitlines()[2]
    assert line.split() == [f"{getattr(result.bias, name)[0]:.1f}" for name in ("sbp", "dbp", "map")]


def test_a_notebook_shows_a_table_and_no_nan():
    tiny = measure(Subject(sbp=128, dbp=82, artery_scale=0.01), rng=np.random.default_rng(1), n=2)
    assert not tiny.reading.ok.any()
    page = tiny._repr_html_()
    table = ElementTree.fromstring(f"<div>{page}</div>")
    assert len(table.findall(".//tbody/tr")) == 2
    assert "nan" not in page
    assert "nan" not in repr(tiny)


def test_a_table_has_a_row_for_each_reading(result):
    table = result.to_frame()
    assert isinstance(table, pandas.DataFrame)
    assert len(table) == 12
    pandas.testing.assert_series_equal(
        table["display.sbp"] - table["resting.sbp"], table["bias.sbp"], check_names=False
    )


def test_without_pandas_it_says_what_is_missing(result, monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "pandas", None)
    with pytest.raises(ImportError, match="pip install pandas"):
        result.to_frame()


def test_a_figure_of_one_reading(result, tmp_path):
    figure = result.plot(3)
    left, right = figure.axes
    samples = int(result.recording.samples[3])
    np.testing.assert_allclose(left.lines[0].get_ydata(), result.recording.pressure_mmhg[3, :samples])
    assert "Simulated" in figure.get_suptitle()
    with pytest.raises(IndexError):
        result.plot(12)
    assert right.get_xlabel()

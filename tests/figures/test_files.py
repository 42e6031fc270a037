"""Figures as files: complete, with their description, the same each time."""

import pytest
from matplotlib.figure import Figure
from PIL import Image

from sim.figures.files import DOTS_PER_INCH, FILE_TYPES, save


@pytest.fixture
def figure():
    page = Figure(figsize=(2, 1))
    page.add_subplot().plot([0, 1], [1, 0])
    return page


def test_a_picture_has_its_size_and_its_description(figure, tmp_path):
    save(figure, tmp_path / "a.PNG", "a falling line")
    with Image.open(tmp_path / "a.PNG") as picture:
        assert picture.size == (2 * DOTS_PER_INCH, DOTS_PER_INCH)
        assert picture.info["Description"] == "a falling line"


def test_the_description_is_in_the_drawing(figure, tmp_path):
    save(figure, tmp_path / "a.svg", "a falling line")
    assert "a falling line" in (tmp_path / "a.svg").read_text(encoding="utf-8")


@pytest.mark.parametrize("suffix", FILE_TYPES)
def test_no_date_is_kept(figure, tmp_path, suffix):
    file = tmp_path / f"a{suffix}"
    save(figure, file)
    assert b"Date" not in file.read_bytes()


def test_the_same_figure_is_the_same_picture(figure, tmp_path):
    save(figure, tmp_path / "a.png")
    save(figure, tmp_path / "b.png")
    assert (tmp_path / "a.png").read_bytes() == (tmp_path / "b.png").read_bytes()


def test_a_folder_that_is_not_there_is_an_error_of_the_system(figure, tmp_path):
    with pytest.raises(FileNotFoundError):
        save(figure, tmp_path / "none" / "a.png")

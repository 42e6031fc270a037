"""The looks: readable, and told apart without colour."""

import pytest

from sim.figures.colours import DISPLAY, GUESS, KINDS, QUIET, TEXT, TRUTH
from sim.screens.charts.common import BACKGROUND


def contrast(colour, ground="#FFFFFF"):
    """Contrast ratio of two colours, W3C, Web Content Accessibility Guidelines 2.1, "relative luminance"."""

    def luminance(text):
        parts = [int(text[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        red, green, blue = (p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    light, dark = sorted((luminance(colour), luminance(ground)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_of_black_on_white_is_the_guidelines_own_example():
    assert contrast("#000000") == pytest.approx(21)


@pytest.mark.parametrize("colour", [TEXT, QUIET])
def test_words_have_the_contrast_that_small_text_needs(colour):
    assert contrast(colour) >= 4.5


@pytest.mark.parametrize("look", [TRUTH, DISPLAY, GUESS, *KINDS.values()], ids=lambda look: look.label)
def test_words_and_small_signs_of_a_look_have_it_too_on_white_and_on_the_page(look):
    assert min(contrast(look.words), contrast(look.words, BACKGROUND)) >= 4.5


@pytest.mark.parametrize("look", [TRUTH, DISPLAY])
def test_the_two_large_numbers_have_the_contrast_that_large_text_needs(look):
    assert contrast(look.colour) >= 3


def test_truth_and_display_differ_in_shape_as_in_colour():
    assert len({TRUTH.marker, DISPLAY.marker}) == len({TRUTH.symbol, DISPLAY.symbol}) == 2


def test_kinds_differ_in_pattern_symbol_and_colour():
    for quality in ("hatch", "symbol", "colour", "marker", "words"):
        assert len({getattr(look, quality) for look in KINDS.values()}) == len(KINDS)

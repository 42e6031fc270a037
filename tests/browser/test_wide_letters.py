"""The drawings where the page's typeface is missing and another with wider letters stands in for it."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from pathlib import Path

import matplotlib
import pytest
from playwright.sync_api import Page

from sim.screens import lesson_pictures, pictures
from sim.screens.drawings import shapes
from sim.teach.lesson import Lesson, load_all
from tests.screens.opening import drawn

pytestmark = pytest.mark.browser
LESSONS, _ = load_all()
LESSON = pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
# Much wider than the sans-serif faces that the drawings ask for; it comes with matplotlib.
FACES = {400: "DejaVuSans.ttf", 700: "DejaVuSans-Bold.ttf"}
MEASURE = """async () => {
    await document.fonts.load("400 16px Wide"); await document.fonts.load("700 16px Wide"); await document.fonts.ready;
    if (![...document.fonts].every(face => face.status === "loaded")) return ["the wide letters are missing"];
    const found = [];
    const frame = (svg) => {  // what is not cut off, on the screen
        const { x, y, width, height } = svg.viewBox.baseVal, to = svg.getScreenCTM();
        const a = new DOMPoint(x, y).matrixTransform(to), b = new DOMPoint(x + width, y + height).matrixTransform(to);
        return { left: a.x, top: a.y, right: b.x, bottom: b.y };
    };
    const ink = (text) => {  // from the top of a capital to the foot of a g, not the whole line
        const own = text.getBBox(), to = text.getScreenCTM(), size = parseFloat(text.getAttribute("font-size"));
        const base = parseFloat(text.getAttribute("y"));
        const corners = [[own.x, base - 0.73 * size], [own.x + own.width, base + 0.22 * size]]
            .map(([x, y]) => new DOMPoint(x, y).matrixTransform(to));
        const xs = corners.map(p => p.x), ys = corners.map(p => p.y);
        return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
    };
    for (const drawing of document.querySelectorAll("section")) {
        const texts = [...drawing.querySelectorAll("text")].filter(text => text.textContent.trim());
        const boxes = texts.map(ink);
        texts.forEach((text, i) => {
            const box = boxes[i], seen = frame(text.ownerSVGElement);
            if (box.left < seen.left - 0.5 || box.right > seen.right + 0.5
                || box.top < seen.top - 0.5 || box.bottom > seen.bottom + 0.5)
                found.push(`${drawing.title}: cut off: ${text.textContent} by ${[seen.left - box.left,
                    box.right - seen.right, seen.top - box.top, box.bottom - seen.bottom].map(v => Math.round(v))}`);
            boxes.slice(0, i).forEach((other, j) => {
                const across = Math.min(box.right, other.right) - Math.max(box.left, other.left);
                const down = Math.min(box.bottom, other.bottom) - Math.max(box.top, other.top);
                if (across > 1 && down > 1)
                    found.push(`${drawing.title}: on each other: ${text.textContent} | ${texts[j].textContent}`
                        + ` by ${Math.round(across)} x ${Math.round(down)}`);
            });
            for (const part of drawing.querySelectorAll(".arrow line, .arrow path, .arrow polyline")) {
                const to = part.getScreenCTM(), long = part.getTotalLength();
                const along = Array.from({ length: 61 }, (_, k) => part.getPointAtLength(long * k / 60));
                const on = along.map(p => p.matrixTransform(to))
                    .some(p => p.x > box.left + 1 && p.x < box.right - 1 && p.y > box.top + 1 && p.y < box.bottom - 1);
                if (on) { found.push(`${drawing.title}: over an arrow: ${text.textContent}`); break; }
            }
        });
    }
    return [...new Set(found)];
}"""


@pytest.fixture
def wide(page: Page) -> Page:
    """An empty page with letters that are wide, whatever is asked for."""
    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    faces = "".join(
        f"@font-face {{ font-family: Wide; font-weight: {weight}; src: url(data:font/ttf;base64,"
        f"{base64.b64encode((folder / file).read_bytes()).decode()}) }}"
        for weight, file in FACES.items()
    )
    page.set_content(f"<style>{faces} svg text {{ font-family: Wide !important }} section {{ margin: 9px }}</style>")
    return page


def drawings(lesson: Lesson) -> Iterator[tuple[str, str]]:
    """Every drawing of the lesson, with its name: correct, each mistake, all of them, the ends of each lever."""
    told = {"correct": lesson.correct, "all": lesson.tempting}
    told |= {lever.field: lesson.correct | {lever.field: lever.tempting} for lever in lesson.levers}
    for lever in lesson.levers:
        places = [option.value for option in lever.options] if lever.is_choice else [lever.low, lever.high]
        told |= {f"{lever.field}={place}": lesson.correct | {lever.field: place} for place in places}
    yield "card", pictures.card(lesson.inputs(lesson.tempting), lesson.picture)
    yield "question", pictures.asked(lesson.inputs(), lesson.picture)
    for name, values in told.items():
        yield name, pictures.seated(lesson.inputs(values), lesson.picture)
        if lesson_pictures.PICTURES[lesson.picture].across:
            yield f"{name}, across", pictures.across(lesson.inputs(values))


def document(figure: str) -> str:
    """The SVG in a figure."""
    (only,) = drawn(figure)
    return only


def measured(page: Page, named: list[tuple[str, str]]) -> list[str]:
    """What is cut off or printed over something else in these drawings."""
    body = "".join(f'<section title="{name}">{document(figure)}</section>' for name, figure in named)
    page.evaluate("body => { document.body.innerHTML = body; }", body)
    return list(page.evaluate(MEASURE))


@LESSON
def test_no_words_of_a_drawing_are_cut_off_or_lie_on_others_with_wide_letters(wide: Page, lesson: Lesson):
    assert measured(wide, list(drawings(lesson))) == []


def test_what_is_cut_off_or_printed_over_is_found(wide: Page):
    def figure(body: str) -> str:
        svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 60" width="100" height="60">{body}</svg>'
        return shapes.image(svg, "")

    fine = '<text x="4" y="20" font-size="14">one</text>'
    assert measured(wide, [("fine", figure(fine))]) == []
    cut = measured(wide, [("cut", figure('<text x="70" y="20" font-size="14">one two</text>'))])
    assert len(cut) == 1
    assert "cut off: one two" in cut[0]
    (twice,) = measured(wide, [("twice", figure(fine + fine))])
    assert "on each other" in twice
    arrow = '<g class="arrow"><line x1="0" y1="16" x2="90" y2="16" /></g>'
    (over,) = measured(wide, [("over", figure(fine + arrow))])
    assert "over an arrow: one" in over

"""What is asked of a page that everybody can use: WCAG 2.2 AA by axe-core, and contrast where that does not look."""

from __future__ import annotations

from importlib import resources
from typing import Any

import numpy as np
from playwright.sync_api import Page, expect

from tests.browser.driving import settle

_AXE = resources.files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8")
_RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa", "best-practice"],
    "resultTypes": ["violations"],
    # Off unless asked for, since they are young: 2.5.3, label in name; 2.5.8, size of targets.
    "rules": {"label-content-name-mismatch": {"enabled": True}, "target-size": {"enabled": True}},
}
# Not ours and out of reach of the page's own style: rule, where, why.
KNOWN = (
    (
        "presentation-role-conflict",
        '[data-testid="stFileUploaderDropzone"]',
        "no rule of WCAG: streamlit names the area on which files are dropped, and calls it presentation; the button "
        "in it, which does the same, has a name and is reached by keyboard",
    ),
)
_FIND = """rules => axe.run(rules).then(found => found.violations.flatMap(v => v.nodes.map(node => [
    v.id, node.target.flat().join(" "), node.html.slice(0, 200),
    [...node.any, ...node.all, ...node.none].map(check => check.message).join("; ").slice(0, 300)])))"""
_IS_KNOWN = "([target, where]) => Boolean(document.querySelector(target)?.closest(where))"
# Some pages are worked out for long, on a machine that may be busy.
_LONGEST_MS = 120_000

_FADED_IN = """() => [...document.querySelectorAll('[data-testid="stElementContainer"]')]
    .every(e => getComputedStyle(e).opacity === "1")"""


def ready(page: Page) -> None:
    """Until the page is there with its charts and widgets, and stands still."""
    expect(page.locator(".st-key-footer")).to_be_visible(timeout=_LONGEST_MS)
    settle(page)
    expect(page.locator('[data-testid="stSkeleton"], [data-stale="true"]')).to_have_count(0)
    page.wait_for_function(_FADED_IN)
    charts = page.locator('[data-testid="stVegaLiteChart"]')
    expect(charts.filter(has=page.locator("svg.marks"))).to_have_count(charts.count())


def violations(page: Page, **only: Any) -> list[str]:
    """What axe-core finds against its rules, without what is known not to be ours; `only`: options of axe instead."""
    if not page.evaluate("typeof axe === 'object'"):
        page.evaluate(_AXE)
    found = page.evaluate(_FIND, only or _RULES)
    return [" | ".join(each) for each in found if not _known(page, each[0], each[1])]


def _known(page: Page, rule: str, target: str) -> bool:
    return any(name == rule and page.evaluate(_IS_KNOWN, [target, where]) for name, where, _ in KNOWN)


def nameless_charts(page: Page) -> list[str]:
    """Charts that do not say what they show, with a number, or whose marks are read out one by one."""
    return list(
        page.evaluate(
            """() => [...document.querySelectorAll('[data-testid="stVegaLiteChart"]')]
                .filter(chart => !/\\d/.test(chart.getAttribute("aria-label") || "")
                    || chart.querySelector("svg [aria-label]:not([aria-hidden]), svg [role='graphics-symbol']"))
                .map(chart => chart.getAttribute("aria-label") || chart.textContent.slice(0, 80))"""
        )
    )


def marked_up_names(page: Page) -> list[str]:
    """Names with signs of Markdown in them: whoever sees them sees bold words, whoever hears them hears asterisks."""
    return list(
        page.evaluate(
            """() => [...document.querySelectorAll("[aria-label]")].map(e => e.getAttribute("aria-label"))
                .filter(name => /\\*\\*|`|\\\\/.test(name))"""
        )
    )


def contrast(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Of each pixel of two pictures, (h, w, 3) from 0 to 1 each: (h, w). WCAG 2.2, "contrast ratio"."""
    a, b = _luminance(one), _luminance(other)
    return (np.maximum(a, b) + 0.05) / (np.minimum(a, b) + 0.05)


def _luminance(picture: np.ndarray) -> np.ndarray:
    linear = np.where(picture <= 0.04045, picture / 12.92, ((picture + 0.055) / 1.055) ** 2.4)
    return linear @ np.array([0.2126, 0.7152, 0.0722])


# In charts, in drawings and in what is hidden from screen readers axe-core does not look at colours.
_FAINT = """page => {
    const channel = v => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
    const luminance = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
    const contrast = (a, b) => {
        const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
        return (high + 0.05) / (low + 0.05);
    };
    const pen = document.createElement("canvas").getContext("2d", { willReadFrequently: true });
    const colour = text => {
        pen.clearRect(0, 0, 1, 1);
        pen.fillStyle = "#0000";
        pen.fillStyle = text;
        pen.fillRect(0, 0, 1, 1);
        const [r, g, b, a] = pen.getImageData(0, 0, 1, 1).data;
        return [r, g, b, a / 255];
    };
    const over = (top, ground, share) => ground.map((v, i) => v + (top[i] - v) * top[3] * share);
    const parent = e => e.parentElement || (e.getRootNode() instanceof ShadowRoot ? e.getRootNode().host : null);
    const opacity = e => { let all = 1; for (; e; e = parent(e)) all *= getComputedStyle(e).opacity; return all; };
    const ground = start => {  // a box that the words stand beside is not behind them
        const layers = [], own = start.getBoundingClientRect(), x = own.x + own.width / 2, y = own.y + own.height / 2;
        const holds = box => box.left <= x && x <= box.right && box.top <= y && y <= box.bottom;
        for (let e = start; e; e = parent(e))
            if (holds(e.getBoundingClientRect())) layers.unshift(colour(getComputedStyle(e).backgroundColor));
        return layers.reduce((under, top) => over(top, under, 1), colour(page).slice(0, 3));
    };
    const shapes = svg => [...svg.querySelectorAll("path, rect, circle, ellipse")].filter(e => !e.closest("defs"));
    const behind = (text, svg) => {  // of words in a picture: their pale ring, or the shapes that lie below
        const same = [...svg.querySelectorAll("text")].find(other => other.textContent === text.textContent
            && other.getAttribute("stroke") && other.getAttribute("transform") === text.getAttribute("transform"));
        if (same) return colour(same.getAttribute("stroke")).slice(0, 3);
        const box = text.getBoundingClientRect();
        const middle = new DOMPoint(box.x + box.width / 2, box.y + box.height / 2);
        return shapes(svg).filter(e => text.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_PRECEDING)
            .filter(e => e.isPointInFill(middle.matrixTransform(e.getScreenCTM().inverse())))
            .reduce((under, e) => {
                const style = getComputedStyle(e);
                return style.fill === "none" ? under : over(colour(style.fill), under, style.fillOpacity * opacity(e));
            }, ground(svg.parentElement));
    };
    const found = new Set();
    const look = root => {
        for (const e of root.querySelectorAll("*")) {
            if (e.shadowRoot) look(e.shadowRoot);
            const own = [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim());
            if (!own || ["STYLE", "SCRIPT", "TITLE", "NOSCRIPT"].includes(e.tagName)) continue;
            if (!e.getClientRects().length || getComputedStyle(e).visibility !== "visible") continue;
            if (e.closest("[disabled], [aria-disabled='true'], [data-disabled]") || opacity(e) === 0) continue;
            const svg = e.ownerSVGElement && e.closest("svg:not(svg svg)"), style = getComputedStyle(e);
            const under = svg ? behind(e, svg) : ground(e);
            const ink = over(colour(svg ? style.fill : style.color), under, opacity(e) * (svg ? style.fillOpacity : 1));
            const px = parseFloat(style.fontSize) * (svg ? Math.abs(e.getScreenCTM().a) || 1 : 1);
            const large = px >= 24 || (px >= 18.66 && style.fontWeight >= 700);
            const ratio = contrast(ink, under);
            if (ratio < (large ? 3 : 4.5) - 0.01)
                found.add(`${e.textContent.trim().slice(0, 40)}: ${ratio.toFixed(2)} to 1`);
        }
    };
    look(document);
    return [...found];
}"""


def faint_words(page: Page, ground: str = "#FBF9F5") -> list[str]:
    """Words with less contrast than WCAG 2.2, 1.4.3 asks for: 4.5 to 1, large ones 3 to 1. `ground`: of the page."""
    return list(page.evaluate(_FAINT, ground))

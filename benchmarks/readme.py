"""Everything in README and docs that the program makes: `python benchmarks/readme.py`, after a change of the model.

It writes the pictures in docs/, and the texts between the marks `<!-- made: name -->` and `<!-- end -->`. It runs the
README's short example for its plot. `--check` writes nothing and ends with 1 where a text is out of date.
`--app` also takes the picture of the app, which needs Chromium and playwright.
"""
# ruff: noqa: E402, T201 - the source tree first, and it prints

from __future__ import annotations

import argparse
import contextlib
import io
import os
import re
import shlex
import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from PIL import Image

from benchmarks.served import served
from sim.cli import main as command
from sim.cuff.instrument import Instrument
from sim.cuff.profile import from_text, profile
from sim.cuff.profile import names as profiles
from sim.estimate.named import LABELS, NAMED, flattered, resolved
from sim.figures.colours import GRID, QUIET, TEXT, TRUTH
from sim.figures.files import save
from sim.figures.numbers import signed
from sim.study.agreement import agreement
from sim.study.cohort import cohort
from sim.study.coverage import table_of_all
from sim.study.plan import Study
from sim.study.repeated_readings import measured
from sim.study.run import run as run_study
from sim.teach.evidence import Effect
from sim.teach.lesson import load_all
from sim.teach.verdicts import NAMES, Finding, Quoted, comparable_figures, count, findings

DOCS = ROOT / "docs"
PEOPLE, DEVICE_PEOPLE, SEED = 300, 120, 1
COLOURS = 128
MODEL = "#444444"  # a lesson's own colour for the model is the same grey
VIEW = {"width": 1280, "height": 1700}
SHOWN = {"x": 90, "width": 1100, "height": 1010}  # from the numbers down to the drawing
APP = "lesson?lesson=01-arm-height&predicted=3&technique.cuff_below_heart_cm=12"


def main() -> int:
    """Write, or check, what the program makes; returns the exit status."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--check", action="store_true", help="write nothing; end with 1 where a text is out of date")
    parser.add_argument("--app", action="store_true", help="also take the picture of the app (needs Chromium)")
    options = parser.parse_args()
    found = list(findings(load_all()[0]))
    texts = {
        "algorithms": algorithms,
        "measure": measure,
        "published": lambda: published(found),
        "trial": trial,
        "coverage": table_of_all,  # some minutes
    }
    texts |= {"device": device, "devices": devices}
    old = [name for file in documents() for name in renewed(file, texts, write=not options.check)]
    if options.check:
        print("\n".join(f"out of date: {name}" for name in old) or "all texts are up to date")
        return 1 if old else 0
    save(compared(found), DOCS / "published.png", count(found).sentence)
    run(["measure", *MEASURE, "--figure", str(DOCS / "measure.png")])
    example()
    if options.app:
        picture_of_the_app(DOCS / "app.png")
    for picture in sorted(DOCS.glob("*.png")):
        make_small(picture)
        print(f"{picture.name}: {picture.stat().st_size / 1000:.0f} kB")
    return 0


def documents() -> list[Path]:
    """The documents that have such blocks."""
    return [ROOT / "README.md", *sorted(DOCS.glob("*.md"))]


def renewed(file: Path, texts: dict[str, Callable[[], str]], write: bool) -> list[str]:
    """Put the new texts between their marks; returns the names of those that were out of date."""
    before, changed = file.read_text(encoding="utf-8"), []

    def new(found: re.Match[str]) -> str:
        text = f"<!-- made: {found[1]} -->\n{texts[found[1]]().strip()}\n<!-- end -->"
        if text != found[0]:
            changed.append(f"{file.name}: {found[1]}")
        return text

    after = re.sub(r"<!-- made: (\w+) -->\n.*?<!-- end -->", new, before, flags=re.DOTALL)
    if write and after != before:
        file.write_text(after, encoding="utf-8")
    return changed


# The example of the documents: a person, two mistakes.
MEASURE = shlex.split(
    "--sbp 128 --dbp 82 --arm-circumference-cm 33 --cuff-below-heart-cm 10 --talking --repeat 3"
)  # as in docs/example.md


def run(arguments: list[str]) -> str:
    """What a command prints."""
    with contextlib.redirect_stdout(io.StringIO()) as printed:
        if command(arguments):
            raise SystemExit(f"cuffbias {shlex.join(arguments)}: failed")
    return printed.getvalue()


def measure() -> str:
    """The example of the command line, with what it prints."""
    return f"```text\n$ cuffbias measure {shlex.join(MEASURE)}\n{run(['measure', *MEASURE])}```"


def trial() -> str:
    """The tables of trials passed, of what the command prints."""
    printed = run(["trial", "fixed-ratio"])
    tables = printed[printed.index("Trials passed, %") : printed.index("Passed: ")]
    return f"```text\n$ cuffbias trial fixed-ratio\n...\n{tables}...\n```"


def algorithms() -> str:
    """The table of algorithms: bias ± SD over simulated adults, measured correctly, each on the same recordings."""
    rows = ["| algorithm | how it reads | systolic | diastolic | no number |", "|---|---|---|---|---|"]
    for name in NAMED:
        rng = np.random.default_rng(SEED)
        a = agreement(name, cohort(PEOPLE, rng), rng)
        errors = (f"{signed(s.agreement.bias.value)} ± {s.agreement.sd.value:.1f}" for s in a.scores)
        rows.append(f"| `{name}` | {LABELS[name]} | {' | '.join(errors)} | {a.counts.failed} of {a.counts.readings} |")
    return "\n".join(rows)


def device() -> str:
    """What a score finds of the device in docs/studies.md, and of what its parts are worth."""
    found = re.search(
        r"^```toml\n(.*?)^```", (DOCS / "studies.md").read_text(encoding="utf-8"), re.DOTALL | re.MULTILINE
    )
    assert found is not None
    own = from_text(found[1], "my_device.toml")
    tried = {
        "`--device my_device.toml`": own,
        "the same, `--with drift_mmhg=0`": own.replace(drift_mmhg=0),
        "the same, `--with drift_mmhg=0 --with step_hold_s=4`": own.replace(drift_mmhg=0, step_hold_s=4),
        "the usual instrument": Instrument(),
    }
    rows = ["| measured with | systolic | diastolic | no number |", "|---|---|---|---|"]
    for words, instrument in tried.items():
        study = Study(255, ["corrected-ratio"], people="standard", instrument=instrument)
        a = run_study(study, workers=1).agreement()
        errors = (f"{signed(s.agreement.bias.value)} ± {s.agreement.sd.value:.1f}" for s in a.scores)
        rows.append(f"| {words} | {' | '.join(errors)} | {a.counts.failed} of {a.counts.readings} |")
    return "\n".join(rows)


def devices() -> str:
    """How each algorithm reads what each device records: bias ± SD, systolic/diastolic, and how many got no number."""
    rows = ["| device | " + " | ".join(f"`{name}`" for name in NAMED) + " |", "|---" * (1 + len(NAMED)) + "|"]
    for name in ("the usual instrument", *profiles()):
        rng = np.random.default_rng(SEED)
        instrument = profile(name) if name in profiles() else None
        people = cohort(DEVICE_PEOPLE, rng)
        table = measured(people, {n: resolved(n) for n in NAMED}, rng, readings=1, instrument=instrument)
        cells = []
        for estimator in NAMED:
            own = table.take(table["estimator"] == estimator)
            errors = [own.error(pressure, "at_measurement")[own.ok] for pressure in ("sbp", "dbp")]
            numbers = " / ".join(f"{signed(e.mean())} ± {e.std(ddof=1):.1f}" for e in errors)
            cells.append(f"{numbers}; {round(100 * (1 - own.ok.mean()))} %")
        rows.append(f"| {f'`{name}`' if instrument else name} | {' | '.join(cells)} |")
    return "\n".join([*rows, "", flattered(*NAMED)])


def published(found: list[Finding]) -> str:
    """The counts, and a table of what `compared` draws, with sources."""
    rows = ["| finding | pressure | published | model | | lesson | source |", "|---|---|---|---|---|---|---|"]
    for figure, effect in tested(found):
        quoting = [each for each in found if each.evidence.identifier == figure.identifier]
        quoting = [each for each in quoting if each.evidence.label == figure.label]
        e, p, m = quoting[0].evidence, effect.published, effect.model
        assert p is not None
        assert m is not None
        value = "" if p.value is None else signed(p.value)
        word = "inside" if effect.inside else "**outside**"
        source = f"{e.source}, [{e.identifier}]({e.link})" if e.link else f"{e.source}, {e.identifier}"
        interval = f"{value} ({_plain(p.low)} to {_plain(p.high)})".strip()
        lessons = ", ".join(each.lesson.name[:2] for each in quoting)
        rows.append(
            f"| {e.label} | {NAMES[figure.name]} | {interval} | {signed(m.mean)} | {word} | {lessons} | {source} |"
        )
    return count(found).sentence + "\n\n" + "\n".join(rows)


def tested(found: list[Finding]) -> list[tuple[Quoted, Effect]]:
    """The figures with an interval that can be compared and that the model was not set to, the misses first."""
    return sorted(comparable_figures(found).items(), key=lambda one: bool(one[1].inside))


def _plain(value: float | None) -> str:
    return "" if value is None else signed(value).removeprefix("+")


def compared(found: list[Finding]) -> Figure:
    """Each published interval beside the model's mean; a miss has a cross, its words and a line to the interval."""
    rows = list(tested(found))
    figure = Figure(figsize=(9.5, 0.235 * len(rows) + 1.1), layout="constrained")
    axes = figure.subplots()
    for place, (quoted, effect) in enumerate(rows):
        _row(axes, place, effect)
        missed = not effect.inside
        axes.text(
            -0.01,
            place,
            quoted.words + (" ✕" if missed else ""),
            transform=axes.get_yaxis_transform(),
            ha="right",
            va="center",
            fontsize=7.5,
            color=TEXT,
            weight="bold" if missed else "normal",
        )
    axes.axvline(0, color=QUIET, linewidth=0.8)
    axes.set(ylim=(len(rows) - 0.4, -0.6), yticks=[], xlabel="with the mistake minus without it, mmHg")
    axes.grid(axis="x", color=GRID, linewidth=0.6)
    axes.spines[["top", "right", "left"]].set_visible(False)
    axes.tick_params(labelsize=8)
    axes.xaxis.label.set_fontsize(8.5)
    handles, labels = axes.get_legend_handles_labels()
    axes.legend(*_once(handles, labels), loc="center right", fontsize=8, frameon=False)
    return figure


def _row(axes: Axes, place: int, effect: Effect) -> None:
    p, m = effect.published, effect.model
    assert p is not None
    assert p.low is not None
    assert p.high is not None
    assert m is not None
    axes.plot(
        [p.low, p.high], [place, place], color=TRUTH.colour, linewidth=2.2, alpha=0.75, label="published interval"
    )
    if p.value is not None:
        axes.plot([p.value], [place], "o", color="white", markeredgecolor=TRUTH.colour, ms=5, label="published mean")
    if not effect.inside:
        nearest = min((p.low, p.high), key=lambda end: abs(end - m.mean))
        axes.plot([m.mean, nearest], [place, place], color=MODEL, linewidth=0.9, linestyle=":")
        axes.plot([m.mean], [place], "X", color=MODEL, ms=7, label="model's mean, outside the interval (a miss)")
    else:
        axes.plot([m.mean], [place], "s", color=MODEL, ms=4.5, label="model's mean, inside")


def _once(handles: list[Artist], labels: list[str]) -> tuple[list[Artist], list[str]]:
    """Each entry of a legend once."""
    first = {label: handle for handle, label in zip(handles[::-1], labels[::-1], strict=True)}
    order = sorted(first, key=lambda label: ("published" not in label, label))
    return [first[label] for label in order], order


def example() -> None:
    """Run the README's short example, where its picture belongs."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    block = next(b for b in re.findall(r"^```python\n(.*?)^```", text, re.DOTALL | re.MULTILINE) if "savefig" in b)
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder), contextlib.redirect_stdout(io.StringIO()):
        exec(compile(block, "README.md", "exec"), {"__name__": "__main__"})
        shutil.move("reading.png", DOCS / "reading.png")


def picture_of_the_app(file: Path) -> None:
    """The first lesson, after the prediction, with the arm too low."""
    from playwright.sync_api import sync_playwright

    with served() as (port, _), sync_playwright() as play:
        path = os.environ.get("CHROMIUM") or shutil.which("chromium")
        browser = play.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(viewport=VIEW)  # type: ignore[arg-type]
        page.goto(f"http://127.0.0.1:{port}/{APP}")
        page.locator(".number.truth .pair").wait_for(timeout=60_000)
        page.wait_for_timeout(3000)
        numbers = page.locator(".numbers").bounding_box()
        assert numbers is not None
        page.screenshot(path=file, clip=SHOWN | {"y": numbers["y"] - 20})  # type: ignore[arg-type]
        browser.close()


def make_small(picture: Path) -> None:
    """Few colours are enough for drawings, and a picture in a repository is small."""
    with Image.open(picture) as whole:
        if whole.mode == "P":
            return  # already so
        few = whole.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
    few.save(picture, optimize=True)


if __name__ == "__main__":
    raise SystemExit(main())

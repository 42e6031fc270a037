"""The algorithms side by side: what each reads, how sure it is, how far off where the truth is known."""

from __future__ import annotations

import csv
import io
import math
from html import escape

from sim import PARAMETERS_VERSION, __version__
from sim.estimate.named import flattered
from sim.figures.colours import DISPLAY, TRUTH
from sim.figures.numbers import signed
from sim.results import Pressures, Truth
from sim.screens.algorithms.one_recording.chosen_algorithms import Read, Step
from sim.screens.algorithms.one_recording.source import Source
from sim.screens.charts.several import SYMBOLS

STAGES = {
    "at_cuff": "under the cuff, in this recording",
    "at_measurement": "at heart level",
    "resting": "resting pressure",
}
COLUMNS = (
    "algorithm",
    "systolic_mmhg",
    "diastolic_mmhg",
    "mean_mmhg",
    "pulse_per_min",
    "systolic_sd_mmhg",
    "diastolic_sd_mmhg",
    "systolic_error_mmhg",
    "diastolic_error_mmhg",
    "mean_error_mmhg",
    "no_reading_because",
)
# Stages of the truth that differ by less than this are one row [mmHg].
_ALIKE_MMHG = 0.05


def html(reads: list[Read], truth: Truth | None) -> str:
    """The table as it stands on the page."""
    head = "".join(f"<th>{name}</th>" for name in ("systolic", "diastolic", "mean"))
    heart = f"; heart {truth.pulse_rate[0]:.0f}/min" if truth is not None else ""
    rows = "".join(_true_row(words + (heart if row == 0 else ""), p) for row, (words, p) in enumerate(stages(truth)))
    at_cuff = truth.at_cuff if truth is not None else None
    rows += "".join(_read_row(row, read, at_cuff) for row, read in enumerate(reads))
    return f'<table class="steps"><thead><tr><th>mmHg</th>{head}</tr></thead><tbody>{rows}</tbody></table>'


def legend(reads: list[Read], truth: Truth | None) -> str:
    """What the small print in the table means."""
    parts = []
    shown = [read for read in reads if read.reading.ok[0]]
    if truth is not None and shown:
        parts.append(
            "**error**: the reading minus the true pressure in the artery under the cuff, which is all that the cuff "
            "can feel; the mean is taken at the envelope's peak, which on most arms here lies some mmHg below the true "
            "mean"
        )
    if any(read.reading.sbp_sd is not None for read in shown):
        parts.append("**±**: the uncertainty that the algorithm itself gives, as a standard deviation")
    if any(read.usual is not None for read in shown):
        parts.append("**step**: by how much the changed step moves the number")
    said = flattered(*(read.name for read in reads)) if truth is not None else ""
    return f"{'; '.join(parts)}. {said}".strip() if parts else said


def stages(truth: Truth | None) -> list[tuple[str, Pressures]]:
    """The truth in its stages, those left out that are like the one before."""
    found: list[tuple[str, Pressures]] = []
    for name, words in STAGES.items() if truth is not None else ():
        pressures: Pressures = getattr(truth, name)
        if not found or _apart(found[-1][1], pressures) >= _ALIKE_MMHG:
            found.append((words, pressures))
    return found


def as_csv(source: Source, reads: list[Read], step: Step) -> str:
    """The table as CSV; lines with # say where it comes from."""
    made = source.origin or f"read with cuffbias {__version__}, parameters {PARAMETERS_VERSION}"
    remarks = [made, f"recording: {source.words}"]
    if source.origin:
        remarks.append(f"read with cuffbias {__version__}, parameters {PARAMETERS_VERSION}")
    remarks.append(f"changed step: {step.words() or 'none'}")
    if source.truth is None:
        remarks.append("the truth is not known: no errors")
    else:
        remarks.append("error: the reading minus the true pressure in the artery under the cuff")
    remarks += [said] if (said := flattered(*(read.name for read in reads))) else []
    remarks.append("for prototypes of algorithms; no medical device")
    out = io.StringIO()
    out.writelines(f"# {remark}\n" for remark in remarks)
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for words, p in stages(source.truth):
        rate = source.truth.pulse_rate[0] if source.truth is not None else math.nan
        writer.writerow([f"true, {words}", *map(_number, (p.sbp[0], p.dbp[0], p.map[0], rate)), *[""] * 6])
    for read in reads:
        writer.writerow(_csv_row(read, source.truth))
    return out.getvalue()


def _csv_row(read: Read, truth: Truth | None) -> list[str]:
    r = read.reading
    sds = [float("nan") if sd is None else float(sd[0]) for sd in (r.sbp_sd, r.dbp_sd)]
    errors = [float("nan")] * 3
    if truth is not None:
        off = r.pressures - truth.at_cuff
        errors = [float(off.sbp[0]), float(off.dbp[0]), float(off.map[0])]
    values = (r.sbp[0], r.dbp[0], r.map[0], r.pulse_rate[0], *sds, *errors)
    return [read.name, *map(_number, values), str(r.reason[0])]


def _number(value: float) -> str:
    return f"{value:.2f}" if math.isfinite(value) else ""


def _true_row(words: str, p: Pressures) -> str:
    cells = "".join(f'<td><b style="color:{TRUTH.words}">{v[0]:.1f}</b></td>' for v in (p.sbp, p.dbp, p.map))
    sign = f'<span style="color:{TRUTH.words}" aria-hidden="true">{TRUTH.symbol}</span>'
    return f"<tr><td>{sign} true pressure<small>{words}</small></td>{cells}</tr>"


def _read_row(row: int, read: Read, at_cuff: Pressures | None) -> str:
    r = read.reading
    sign = f'<span style="color:{DISPLAY.words}" aria-hidden="true">{SYMBOLS[row % len(SYMBOLS)]}</span>'
    name = f"{sign} {escape(read.label)}"
    if not r.ok[0]:
        note = "" if read.usual is None or not read.usual.ok[0] else "<small>with the usual step there is one</small>"
        return (
            f'<tr><td>{name}</td><td colspan="3" style="white-space:normal;text-align:left">'
            f"no reading: {escape(str(r.reason[0]))}{note}</td></tr>"
        )
    cells = ""
    for field, sd in (("sbp", r.sbp_sd), ("dbp", r.dbp_sd), ("map", None)):
        value = float(getattr(r, field)[0])
        small = []
        if sd is not None and math.isfinite(sd[0]):
            small.append(f"± {sd[0]:.1f}")
        if at_cuff is not None:
            small.append(f"error {signed(value - float(getattr(at_cuff, field)[0]))}")
        if read.usual is not None:
            small.append(f"step {_moved(value, float(getattr(read.usual, field)[0]))}")
        cells += f"<td>{value:.1f}{''.join(f'<small>{line}</small>' for line in small)}</td>"
    return f"<tr><td>{name}<small>pulse {r.pulse_rate[0]:.0f}/min</small></td>{cells}</tr>"


def _moved(value: float, usual: float) -> str:
    return signed(value - usual) if math.isfinite(usual) else "from none"


def _apart(a: Pressures, b: Pressures) -> float:
    return max(abs(float((getattr(a, f) - getattr(b, f))[0])) for f in ("sbp", "dbp", "map"))

"""Published values beside the model's: what was published, what the model says, whether it is inside.

A test asks its `report` fixture, which asserts and remembers; the table is printed at the end of the run, misses first.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Row:
    """One value: what it is, what was published, the model's, and whether it lies inside (None: no interval)."""

    what: str
    published: str
    model: float
    inside: bool | None
    source: str

    def plain(self) -> tuple[str, str, float, bool | None, str]:
        """The same in plain types, which travel between processes."""
        inside = None if self.inside is None else bool(self.inside)
        return self.what, self.published, float(self.model), inside, self.source


@dataclass
class Report:
    """Rows of this run."""

    rows: list[Row] = field(default_factory=list)

    def within(self, what: str, model: float, low: float, high: float, source: str, text: str = "") -> None:
        """Asserts that the model's value lies in a published interval, or within a published mean ± SD."""
        inside = low <= model <= high
        self.rows.append(Row(what, text or f"{low:g} to {high:g}", model, inside, source))
        side = "below" if model < low else "above"
        short = min(abs(model - low), abs(model - high))
        assert inside, f"{what}: {model:.2f} is {short:.2f} {side} the published {low:g} to {high:g} ({source})"

    def spread(self, what: str, model: float, mean: float, sd: float, source: str) -> None:
        """Asserts that the model's value lies within one published standard deviation of the published mean."""
        self.within(what, model, mean - sd, mean + sd, source, f"{mean:g} ± {sd:g}")

    def beside(self, what: str, model: float, published: str, source: str) -> None:
        """Puts the model's value beside one that was published without an interval; asserts nothing."""
        self.rows.append(Row(what, published, model, None, source))

    def derived(self, what: str, model: float, expected: float, tolerance: float) -> None:
        """Asserts an implementation check: the same model worked out elsewhere, nothing published."""
        inside = abs(model - expected) <= tolerance
        self.rows.append(Row(what, f"({expected:g} ± {tolerance:g})", model, inside, "worked out apart"))
        assert inside, f"{what}: {model:.3f}, worked out apart {expected:g}, allowed ± {tolerance:g}"


def table(rows: list[Row]) -> list[str]:
    """The rows as lines of text, misses first."""
    word = {False: "MISS", True: "inside", None: "beside"}
    ordered = sorted(rows, key=lambda row: list(word).index(row.inside))
    wide = [max(len(getattr(row, name)) for row in rows) for name in ("what", "published")]
    lines = [f"{'':8}{'what':{wide[0]}}  {'published':{wide[1]}}  {'model':>8}  source"]
    for row in ordered:
        published = f"{row.what:{wide[0]}}  {row.published:{wide[1]}}"
        lines.append(f"{word[row.inside]:8}{published}  {row.model:>8.3f}  {row.source}")
    missed = sum(row.inside is False for row in rows)
    lines.append(
        f"{len(rows)} values, {missed} outside; in brackets: no published value, the same model worked out apart"
    )
    return lines

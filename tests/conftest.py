"""What all tests share: the report of published values, printed at the end of a run."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import settings

from tests.published.report import Report, Row, table

_PROPERTY = "published values"

# A measurement takes tens of milliseconds on a busy machine; how long an example takes is not what is tested.
settings.register_profile("default", deadline=None, max_examples=25, derandomize=True)
settings.load_profile("default")


@pytest.fixture
def report(request: pytest.FixtureRequest) -> Iterator[Report]:
    """Collects published values beside the model's; they travel with the test's outcome, from other processes too."""
    found = Report()
    yield found
    request.node.user_properties.append((_PROPERTY, [row.plain() for row in found.rows]))


class _Collector:
    """Takes up the rows of finished tests, in whichever process they ran, and prints them."""

    def __init__(self) -> None:
        self.rows: list[Row] = []

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.when == "teardown":
            found: Any = dict(report.user_properties).get(_PROPERTY, [])
            self.rows += [Row(*row) for row in found]

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        if self.rows:
            terminalreporter.section("published values and the model's")
            for line in table(self.rows):
                terminalreporter.write_line(line)


def pytest_configure(config: pytest.Config) -> None:
    config.pluginmanager.register(_Collector())

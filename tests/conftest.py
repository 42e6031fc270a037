"""What all tests share: the report of published values, printed at the end of a run."""

from __future__ import annotations

import pytest
from hypothesis import settings

from tests.published.report import Report, table

REPORT = pytest.StashKey[Report]()

# A measurement takes tens of milliseconds on a busy machine; how long an example takes is not what is tested.
settings.register_profile("default", deadline=None, max_examples=25, derandomize=True)
settings.load_profile("default")


def pytest_configure(config: pytest.Config) -> None:
    config.stash[REPORT] = Report()


@pytest.fixture(scope="session")
def report(pytestconfig: pytest.Config) -> Report:
    """Collects published values beside the model's."""
    return pytestconfig.stash[REPORT]


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    rows = config.stash[REPORT].rows
    if rows:
        terminalreporter.section("published values and the model's")
        for line in table(rows):
            terminalreporter.write_line(line)

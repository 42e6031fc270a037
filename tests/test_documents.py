"""What the documents tell people to run, runs: each block of Python alone, and each command is understood."""

import re
import shlex
from pathlib import Path
from typing import Any

import pytest

from sim.cli import _parser

ROOT = Path(__file__).resolve().parent.parent
DOCUMENTS = [file for folder in (".", "docs", "lessons") for file in sorted((ROOT / folder).glob("*.md"))]
SCHEDULER = "tcp://scheduler:8786"


def _blocks(language):
    """(document, block) for each fenced block of a language."""
    for file in DOCUMENTS:
        text = file.read_text(encoding="utf-8")
        for block in re.findall(rf"^```{language}\n(.*?)^```", text, re.DOTALL | re.MULTILINE):
            yield file.relative_to(ROOT).as_posix(), block


PYTHON = list(_blocks("python"))


def _commands():
    """(document, line) for each line in a block, fenced or indented, that begins with the command."""
    for file in DOCUMENTS:
        for line in file.read_text(encoding="utf-8").splitlines():
            found = re.match(r"(?:    )?(?:\$ )?(cuffbias [a-z].*)", line)
            if found:
                yield file.relative_to(ROOT).as_posix(), found[1]


COMMANDS = list(_commands())


@pytest.fixture
def scheduler():
    """The address of a real scheduler with a worker, on this machine."""
    distributed = pytest.importorskip("distributed", reason="the extra `cluster` is not installed")
    with distributed.LocalCluster(
        n_workers=1, processes=False, dashboard_address=None, host="127.0.0.1", protocol="tcp"
    ) as cluster:
        yield cluster.scheduler_address
        distributed.default_client().close()


@pytest.mark.parametrize(("document", "block"), PYTHON, ids=[f"{name} {k}" for k, (name, _) in enumerate(PYTHON)])
def test_a_block_of_python_runs_alone(document, block, request, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    if SCHEDULER in block:  # nobody's cluster, and fewer people
        block = block.replace(SCHEDULER, request.getfixturevalue("scheduler")).replace("1_000_000", "200")
    names: dict[str, Any] = {"__name__": "__main__"}
    exec(compile(block, document, "exec"), names)
    if "score" in names:
        assert names["score"].counts.readings == 300
    if SCHEDULER in dict(PYTHON).get(document, ""):
        assert list((tmp_path / "study" / "readings").glob("*.parquet"))


def test_the_documents_have_examples_of_each_kind():
    assert {name for name, _ in PYTHON} == {"README.md", "DEVELOPERS.md"}
    assert len(COMMANDS) >= 10


@pytest.mark.parametrize(("document", "line"), COMMANDS, ids=[line[:40] for _, line in COMMANDS])
def test_a_command_in_a_document_is_understood(document, line):
    told = re.split(r"\s{3,}", line)[0]  # what it does stands beside it
    program, *arguments = shlex.split(told)
    options = _parser().parse_args(arguments)
    assert program == "cuffbias"
    assert options.command is not None

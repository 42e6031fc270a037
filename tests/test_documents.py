"""What the documents tell people to run, runs: each block of Python alone, and each command is understood."""

import re
import shlex
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim.cli import _parser
from sim.estimate.named import NAMED
from sim.study.agreement import agreement
from sim.study.cohort import cohort
from sim.teach.lesson import load_all
from sim.teach.misses import known_misses
from sim.teach.verdicts import NAMES
from sim.texts import decimal

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
    on_cluster = SCHEDULER in block
    if on_cluster:  # nobody's cluster, and fewer people
        block = block.replace(SCHEDULER, request.getfixturevalue("scheduler")).replace("1_000_000", "200")
    names: dict[str, Any] = {"__name__": "__main__"}
    exec(compile(block, document, "exec"), names)
    if "score" in names:
        assert names["score"].counts.readings == 300
    if document == "README.md":
        assert (tmp_path / "reading.png").read_bytes().startswith(b"\x89PNG")
    if on_cluster:
        assert list((tmp_path / "study" / "sums").glob("*.npz"))


def test_the_documents_have_examples_of_each_kind():
    assert {name for name, _ in PYTHON} == {"README.md", "docs/example.md", "docs/studies.md"}
    assert len(COMMANDS) >= 10


@pytest.mark.parametrize(("document", "line"), COMMANDS, ids=[line[:40] for _, line in COMMANDS])
def test_a_command_in_a_document_is_understood(document, line):
    told = re.split(r"\s{3,}", line)[0]  # what it does stands beside it
    program, *arguments = shlex.split(told)
    options = _parser().parse_args(arguments)
    assert program == "cuffbias"
    assert options.command is not None


def test_the_readme_is_short():
    assert len((ROOT / "README.md").read_text(encoding="utf-8").splitlines()) < 120


PICTURES = [
    (file.relative_to(ROOT).as_posix(), alt, file.parent / place)
    for file in DOCUMENTS
    for alt, place in re.findall(r"!\[([^\]]*)\]\(([^)]*)\)", file.read_text(encoding="utf-8"))
]


@pytest.mark.parametrize(("document", "alt", "file"), PICTURES, ids=[f"{d} {f.name}" for d, _, f in PICTURES])
def test_a_picture_is_there_small_and_said_in_words(document, alt, file):
    assert file.is_file()
    assert file.stat().st_size < 150_000
    assert len(alt.split()) >= 8


def test_links_between_the_documents_lead_somewhere():
    for file in DOCUMENTS:
        text = re.sub(r"```.*?```", "", file.read_text(encoding="utf-8"), flags=re.DOTALL)
        for place in re.findall(r"(?<!!)\[[^\]]*\]\((?!https?:|#)([^)#]*)", text):
            assert (file.parent / place).exists(), f"{file.name}: {place}"


@pytest.mark.parametrize("name", NAMED)
def test_the_table_of_algorithms_is_what_a_study_finds(name):
    """300 adults, three readings each, seed 1, as `benchmarks/readme.py` writes it."""
    row = re.search(rf"^\| `{name}` \|.*$", (ROOT / "README.md").read_text(encoding="utf-8"), re.MULTILINE)
    assert row is not None
    *_, systolic, diastolic, refused, _ = (cell.strip() for cell in row[0].split("|"))
    rng = np.random.default_rng(1)
    found = agreement(name, cohort(300, rng), rng)
    for score, cell in zip(found.scores, (systolic, diastolic), strict=True):
        shown = [decimal(number) for number in cell.split(" ± ")]
        # Another machine's libraries may round the last digit to the other side.
        assert [score.agreement.bias.value, score.agreement.sd.value] == pytest.approx(shown, abs=0.1)
    assert refused == f"{found.counts.failed} of 900"


def test_the_table_of_published_figures_has_every_miss():
    """What `cuffbias validate` misses and was not set to is marked in docs/published.md."""
    text = (ROOT / "docs" / "published.md").read_text(encoding="utf-8")
    marked = set(re.findall(r"^\| (.*?) \| (.*?) \|.*\*\*outside\*\*", text, re.MULTILINE))
    built_in = {
        (lesson.name, each.label, figure)
        for lesson in load_all()[0]
        for each in lesson.evidence
        for figure in each.built_in
    }
    assert marked == {(label, NAMES[figure]) for name, label, figure in known_misses().keys() - built_in}

"""Commands, run in this process as people run them."""

import json

import pytest

from sim.cli import main


@pytest.fixture
def run(capsys):
    """Runs a command; returns exit status, stdout, stderr."""

    def _run(*arguments):
        status: object
        try:
            status = main([str(a) for a in arguments])
        except SystemExit as stopped:  # argparse leaves this way after --help and --version
            status = stopped.code
        return status, *capsys.readouterr()

    return _run


@pytest.fixture
def document(run):
    """Runs `measure --json`; returns the object."""

    def _document(*arguments):
        status, out, err = run("measure", "--json", *arguments)
        assert (status, err) == (0, "")
        return json.loads(out)

    return _document

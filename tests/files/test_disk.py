"""Disks and streams that take no more: one line, and nothing half is left."""

import os
import shutil
import subprocess
import sys

import pytest

from sim.files.whole import DiskError, write_text


def cuffbias(*arguments, **more):
    return subprocess.run([sys.executable, "-m", "sim", *map(str, arguments)], text=True, check=False, **more)


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs a device that is always full")
def test_a_full_disk_is_a_failure_of_one_line_and_leaves_nothing(tmp_path):
    with open("/dev/full", "w", encoding="utf-8") as out:
        full = cuffbias("measure", stdout=out, stderr=subprocess.PIPE)
    assert (full.returncode, full.stderr.count("\n")) == (1, 1)
    assert "Traceback" not in full.stderr


def test_where_a_file_grows_no_further_nothing_half_is_left(tmp_path):
    """The limit of the process stands in for the disk's."""
    script = (
        "import resource, signal, sys; signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))\n"
        "from sim.cli import main; sys.exit(main(sys.argv[1:]))"
    )
    for arguments in (
        ["recordings", "many.npz", "--subjects", "3"],
        ["recordings", "one.csv"],
        ["measure", "--figure", "a.png"],
    ):
        done = subprocess.run(
            [sys.executable, "-c", script, *arguments],
            cwd=tmp_path, capture_output=True, text=True, check=False,
            env={**os.environ, "PYTHONPATH": os.getcwd(), "PYTHONDONTWRITEBYTECODE": "1"},
        )  # fmt: skip
        assert (done.returncode, done.stderr.count("\n")) == (1, 1), done.stderr
        assert "cannot be written" in done.stderr
        assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.name == "nt", reason="a shell's way to close a stream")
def test_without_a_place_to_print_to_there_is_one_line():
    line = f'"{sys.executable}" -m sim measure >&-'
    done = subprocess.run(line, shell=True, stderr=subprocess.PIPE, text=True, check=False)
    assert (done.returncode, done.stderr.count("\n")) == (1, 1)
    assert "Traceback" not in done.stderr


def test_a_file_is_written_whole_or_not_at_all(tmp_path):
    file = tmp_path / "a.txt"
    write_text(file, "one\n")
    with pytest.raises(UnicodeEncodeError):
        write_text(file, "\ud800")
    assert file.read_text() == "one\n"
    assert [p.name for p in tmp_path.iterdir()] == ["a.txt"]
    assert issubclass(DiskError, OSError)


# Root may write everywhere, unless this right is taken off.
AS_ANYBODY = ["setpriv", "--bounding-set", "-dac_override"] if os.name != "nt" and os.geteuid() == 0 else []


@pytest.mark.skipif(os.name == "nt", reason="needs permissions as POSIX has them")
@pytest.mark.skipif(bool(AS_ANYBODY) and not shutil.which("setpriv"), reason="needs setpriv, run as root")
@pytest.mark.parametrize(
    "arguments",
    [
        "recordings many.npz --subjects 3",
        "recordings one.csv",
        "measure --figure a.png",
        "study --subjects 20 --out study",
        "handout 01-arm-height --out a.pdf",
        "lesson new own",
    ],
)
def test_in_a_folder_that_is_read_only_there_is_one_line(arguments, tmp_path):
    tmp_path.chmod(0o555)
    done = subprocess.run(
        [*AS_ANYBODY, sys.executable, "-m", "sim", *arguments.split()],
        cwd=tmp_path, capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": os.getcwd(), "PYTHONDONTWRITEBYTECODE": "1"},
    )  # fmt: skip
    tmp_path.chmod(0o755)
    assert (done.stdout, done.stderr.count("\n"), done.returncode) == ("", 1, 2), done.stderr
    assert done.stderr.endswith(": Permission denied\n")
    assert list(tmp_path.iterdir()) == []

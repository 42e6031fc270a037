"""The package as others get it: a wheel in an environment of its own.

The wheel is installed into a fresh, empty environment. What it depends on is not downloaded again: a .pth file
lets that environment see the libraries beside which these tests run. Python does not follow .pth files inside a
folder that was itself added by one, so this source tree's own editable install stays out of sight; that `sim` comes
from the wheel is checked first.
"""

import os
import signal
import subprocess
import sys
import sysconfig
import time
import urllib.request
import venv
import zipfile
from pathlib import Path

import pytest

from sim import PARAMETERS_VERSION, __version__

ROOT = Path(__file__).resolve().parent.parent
PORT = 8790


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    line = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation", "-w", folder, ROOT]
    subprocess.run(line, check=True, capture_output=True, stdin=subprocess.DEVNULL)
    (file,) = folder.glob("cuffbias-*.whl")
    return file


class Installed:
    """An environment with the wheel, whose programs run in an empty folder."""

    def __init__(self, programs, elsewhere):
        self.programs, self.elsewhere = programs, elsewhere

    def line(self, program, *arguments):
        """What subprocess is told."""
        command = [str(self.programs / program), *arguments]
        return {"args": command, "cwd": self.elsewhere, "env": _without_python_path(), "stdin": subprocess.DEVNULL}

    def __call__(self, program, *arguments):
        return subprocess.run(**self.line(program, *arguments), capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory):
    home = tmp_path_factory.mktemp("environment")
    venv.create(home, with_pip=False, symlinks=os.name != "nt")
    programs = home / ("Scripts" if os.name == "nt" else "bin")
    libraries = Path(sysconfig.get_path("purelib", vars={"base": str(home)}))
    line = [sys.executable, "-m", "pip", "--python", programs / "python", "install", "-q", "--no-deps", wheel]
    subprocess.run(line, check=True, capture_output=True, stdin=subprocess.DEVNULL)
    (libraries / "their_libraries.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    run = Installed(programs, tmp_path_factory.mktemp("elsewhere"))
    where = run("python", "-c", "import sim; print(sim.__file__)").stdout.strip()
    assert Path(where).is_relative_to(home), "the wheel is not what these tests import"
    return run


def _without_python_path():
    return {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}


def test_the_wheel_carries_data_lessons_settings_and_types(wheel):
    inside = set(zipfile.ZipFile(wheel).namelist())
    expected = {"sim/py.typed", "sim/cuff/bladders.toml", "sim/screens/entry.py", "sim/screens/.streamlit/config.toml"}
    expected |= {f"sim/_lessons/{file.name}" for file in (ROOT / "lessons").glob("*.md")}
    kept = {
        file.relative_to(ROOT).as_posix()
        for file in (ROOT / "sim").rglob("*")
        if file.is_file() and "__pycache__" not in file.parts
    }
    assert not (expected | kept) - inside
    assert not [name for name in inside if name.startswith(("tests/", "docs/", "app.py"))]


def test_the_command_works_outside_the_source_tree(installed):
    version = installed("cuffbias", "--version")
    assert (version.returncode, version.stdout.strip()) == (
        0,
        f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}",
    )
    measured = installed("cuffbias", "measure", "--cuff-below-heart-cm", "10")
    assert (measured.returncode, measured.stderr) == (0, "")
    assert "THE TRUTH" in measured.stdout


def test_the_lessons_travel_inside(installed):
    listed = installed("cuffbias", "lessons")
    assert (listed.returncode, listed.stderr) == (0, "")
    for file in (ROOT / "lessons").glob("[0-9]*.md"):
        assert file.stem in listed.stdout


def test_the_app_shows_its_lessons(installed):
    script = (
        "from pathlib import Path; import sim; from streamlit.testing.v1 import AppTest\n"
        "page = AppTest.from_file(str(Path(sim.__file__).parent / 'screens' / 'entry.py'), default_timeout=60).run()\n"
        "assert not page.exception, page.exception\n"
        "print(*(element.value for element in page.main if hasattr(element, 'value')))\n"
        "print(*(m.value for m in page.markdown))\n"
    )
    done = installed("python", "-c", script)
    assert done.returncode == 0, done.stderr
    from sim.teach.lesson import load_all

    lessons, _ = load_all()
    assert lessons
    for lesson in lessons:
        assert lesson.title in done.stdout


@pytest.mark.skipif(os.name == "nt", reason="stops the server with a signal that Windows lacks")
def test_the_app_is_served_and_stops_when_told(installed):
    line = installed.line("cuffbias", "app", "--no-browser", "--port", str(PORT))
    server = subprocess.Popen(**line, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    try:
        assert _answers(f"http://127.0.0.1:{PORT}/_stcore/health", server), server.communicate()[0]
    finally:
        server.send_signal(signal.SIGTERM)
        output, _ = server.communicate(timeout=20)
    assert "Traceback" not in output


def _answers(address, server, seconds=40):
    until = time.monotonic() + seconds
    while time.monotonic() < until and server.poll() is None:
        try:
            return urllib.request.urlopen(address, timeout=5).read() == b"ok"
        except OSError:
            time.sleep(0.3)
    return False


def test_importing_sim_waits_for_no_large_library():
    script = (
        "import sys, sim; print(*sorted({'numpy', 'scipy', 'matplotlib', 'streamlit', 'pandas'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout.strip() == ""


def test_help_and_wrong_options_wait_for_no_large_library():
    script = (
        "import sys; from sim.cli import main; main(['measure', '--slack-cm', '12'])\n"
        "print(*sorted({'scipy', 'matplotlib', 'streamlit', 'pandas'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout.strip() == ""

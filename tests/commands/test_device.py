"""`--device`: a profile on the command line."""

from __future__ import annotations

import numpy as np
import pytest

from sim.cuff.course import course
from sim.cuff.profile import profile
from sim.files.dataset import read_dataset
from sim.study.plan import Study
from sim.study.run import run as go_on
from sim.study.store import StoreError
from tests.commands.outcomes import refused

DEVICE = """
about = "Ours"
course = "steps"
step_mmhg = 12
step_hold_s = 4
drift_mmhg = 6
"""


@pytest.fixture
def device(tmp_path):
    file = tmp_path / "my_device.toml"
    file.write_text(DEVICE, encoding="utf-8")
    return file


def test_measure_takes_a_device_and_says_what_it_adds(document, device):
    found = document("--device", device, "--sbp", 130)
    fields = found["inputs"]["instrument"]
    assert (fields["course"], fields["step_hold_s"], fields["drift_mmhg"]) == ("steps", 4, 6)
    assert fields["bladder"] == "adult"
    assert {"course", "drift_mmhg"} <= {part["field"] for part in found["breakdown"]}


def test_an_option_goes_before_the_device(document, device):
    found = document("--device", device, "--step-hold-s", 3, "--bladder", "12x23")
    fields = found["inputs"]["instrument"]
    assert (fields["step_mmhg"], fields["step_hold_s"], fields["bladder"]) == (12, 3, "12x23")


def test_a_study_names_what_its_device_does(run, device):
    status, out, _ = run("study", "--subjects", 12, "--readings", 1, "--workers", 1, "--device", device)
    assert status == 0
    assert "course steps, step_mmhg 12.0, step_hold_s 4.0, drift_mmhg 6.0" in " ".join(out.split())


def test_a_folder_with_a_study_of_another_device_is_refused(device, tmp_path):
    study = Study(10, readings=1, instrument=profile(device))
    go_on(study, out=tmp_path / "study", workers=1)
    go_on(study, out=tmp_path / "study", workers=1)
    device.write_text(DEVICE.replace("step_hold_s = 4", "step_hold_s = 3"), encoding="utf-8")
    with pytest.raises(StoreError):
        go_on(Study(10, readings=1, instrument=profile(device)), out=tmp_path / "study", workers=1)


def test_recordings_are_made_with_the_device_and_its_changes(run, device, tmp_path):
    file = tmp_path / "some.npz"
    status, _, err = run("recordings", file, "--subjects", 3, "--device", device, "--with", "drift_mmhg=0")
    assert (status, err) == (0, "")
    data = read_dataset(file)
    assert set(data.inputs["instrument.drift_mmhg"]) == {0}
    seen = data.recording.recorded(0)
    device = profile(device).spread(1)
    driven = course(np.array([seen[0]]), len(seen), device, data.recording.sampling_hz)[0]
    # The pulses and what they leave: a few mmHg of the course.
    assert np.abs(seen - driven).max() < 8


@pytest.mark.parametrize("command", ["measure", "study", "score fixed-ratio", "recordings a.npz"])
def test_a_wrong_device_gets_one_line(run, device, command):
    device.write_text("step_mmhg = 40", encoding="utf-8")
    words = (f"--device {device}: step_mmhg = 40: must be from 6 to 20 mmHg",)
    assert refused(run(*command.split(), "--device", device), *words)
    assert refused(run(*command.split(), "--device", "wrn"), "--device wrn", "early-stop, per-beat, steps, worn")

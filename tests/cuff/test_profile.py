"""A device in a file: what it may hold, and the one line that a wrong one gets."""

from __future__ import annotations

import tomllib
from importlib import resources
from pathlib import Path

import numpy as np
import pytest

from sim import Instrument
from sim.cuff.profile import ABOUT, ProfileError, from_text, names, profile
from sim.study.plan import Study


def test_what_a_profile_leaves_out_is_as_the_instrument_has_it() -> None:
    found = from_text('about = "ours"\nstep_mmhg = 8\nbladder = "12x23"', "ours.toml")
    usual = Instrument(step_mmhg=8, bladder="12x23")
    assert all(getattr(found, name) == getattr(usual, name) for name in Instrument.LIMITS)


@pytest.mark.parametrize("name", names())
def test_a_profile_that_comes_with_the_program_says_what_it_does(name: str) -> None:
    text = resources.files("sim.cuff").joinpath("profiles", f"{name}.toml").read_text(encoding="utf-8")
    found = tomllib.loads(text)
    assert len(found.pop(ABOUT).split()) > 8
    usual = Instrument()
    default_said = {"full_scale_mmhg"}
    assert all(value != getattr(usual, key) for key, value in found.items() if key not in default_said)
    assert all(getattr(profile(name), key) == value for key, value in found.items())


def test_a_file_of_a_name_that_the_program_has_is_told_by_its_ending(tmp_path: Path) -> None:
    file = tmp_path / "steps.toml"
    file.write_text("step_mmhg = 12", encoding="utf-8")
    assert [float(each.step_mmhg) for each in (profile(file), profile("steps"))] == [12, 8]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("step_mmhg = 40", "step_mmhg = 40: must be from 6 to 20 mmHg"),
        ("step_mmhg = nan", "step_mmhg = nan: must be from 6 to 20 mmHg"),
        ('step_mmhg = "8"', "step_mmhg = '8': must be a number from 6 to 20 mmHg"),
        ("step_mmhg = true", "step_mmhg = True: must be a number from 6 to 20 mmHg"),
        ("step_mmhg = [8, 10]", "step_mmhg = [8, 10]: must be a number from 6 to 20 mmHg"),
        ("converter_bits = 11.5", "converter_bits = 11.5: must be a whole number from 0 to 24 bits"),
        ('course = "down"', "course = 'down': must be one of deflating, steps, inflating"),
        ('bladder = "huge"', "bladder = 'huge': must be"),
        ("step_mmgh = 8", "step_mmgh = 8: must be a field of the instrument (perhaps step_mmhg)"),
        ("sbp = 120", "sbp = 120: must be one of bladder, deflation_mmhg_per_s"),
        ("[instrument]\nstep_mmhg = 8", "instrument = {'step_mmhg': 8}: must be one of bladder"),
        ("about = 3", "about = 3: must be a text"),
        ("step_mmhg 8", "is no TOML: Expected '='"),
        ("step_mmhg = 8\nstep_mmhg = 8", "is no TOML"),
        ('about = "' + "long " * 99 + '"\ncourse = "a\\nb' + "c" * 999 + '"', "must be one of deflating"),
    ],
)
def test_a_wrong_profile_gets_one_line_with_file_key_value_and_range(text: str, words: str) -> None:
    with pytest.raises(ProfileError) as caught:
        from_text(text, "my_device.toml")
    assert str(caught.value).startswith("my_device.toml: ")
    assert words in str(caught.value)
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 800


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("none.toml", None, "cannot be read: No such file"),
        ("folder.toml", "folder", "cannot be read: Is a directory"),
        ("device.json", b"{}", "must be a file that ends in .toml, or one of early-stop, per-beat, steps, worn"),
        ("bytes.toml", b"about = '\xff'", "must be text in UTF-8"),
        ("large.toml", b"#" * 70_000, "must be at most 64 KiB"),
        ("deep.toml", b"about = " + b"[" * 20_000, "is no TOML"),
    ],
)
def test_what_is_no_profile_gets_one_line(tmp_path: Path, name: str, content: bytes | str | None, words: str) -> None:
    file = tmp_path / name
    if content == "folder":
        file.mkdir()
    elif isinstance(content, bytes):
        file.write_bytes(content)
    with pytest.raises(ProfileError) as caught:
        profile(file)
    assert words in str(caught.value)
    assert str(caught.value).isprintable()


def test_a_name_that_no_file_can_have_gets_one_line() -> None:
    with pytest.raises(ProfileError, match=r"cannot be read"):
        profile("a\0b.toml")


def test_a_study_is_told_by_what_its_device_does_and_not_by_its_file() -> None:
    device = profile("steps")
    same = Instrument(**{name: getattr(device, name) for name in Instrument.LIMITS})
    other = device.replace(step_hold_s=2.5)
    prints = [Study(50, instrument=each).fingerprint() for each in (device, same, other, Instrument())]
    assert prints[0] == prints[1]
    assert len({str(each) for each in prints}) == 3
    assert "step_hold_s 3" in str(Study(50, instrument=device).origin)


@pytest.mark.parametrize("name", sorted(Instrument.LIMITS))
def test_every_field_of_a_device_is_in_the_identity_of_a_study(name: str) -> None:
    limit = Instrument.LIMITS[name]
    value = next(v for v in limit.everywhere(5) if v != limit.default)
    changed = Study(50, instrument=Instrument(**{name: value})).fingerprint()
    assert changed["instrument"] == {name: np.asarray(value).item()}

"""`cuffbias measure`: what comes out."""

import re
import shlex
from pathlib import Path

import numpy as np
import pytest
from scipy import constants

from sim import PARAMETERS_VERSION, Instrument, Subject, Technique, __version__, measure
from sim.texts import decimal

ROOT = Path(__file__).resolve().parents[2]


def test_json_has_what_it_promises(document):
    found = document("--arm-circumference-cm", 33, "--cuff-below-heart-cm", 10, "--talking", "--repeat", 3, "--seed", 7)
    assert (found["version"], found["parameters_version"]) == (__version__, PARAMETERS_VERSION)
    assert found["seed"] == 7
    assert set(found["truth"]) == {"resting", "at_measurement", "at_cuff", "pulse_rate"}
    assert found["truth"]["resting"]["sbp"] == 120
    assert len(found["readings"]) == 3
    for reading in found["readings"]:
        assert {"sbp", "dbp", "map", "pulse_rate", "reason", "at_measurement", "at_cuff"} <= set(reading)
        assert reading["reason"] is None
    for stage in ("at_measurement", "at_cuff"):
        for name in ("sbp", "dbp", "map"):
            own = [reading[stage][name] for reading in found["readings"]]
            assert found["truth"][stage][name] == pytest.approx(np.mean(own), abs=1e-9)
    for name in ("sbp", "dbp"):
        assert found["mean"][name] == pytest.approx(np.mean([r[name] for r in found["readings"]]), abs=1e-9)
        assert found["bias"][name] == pytest.approx(found["mean"][name] - found["truth"]["resting"][name], abs=1e-9)
        assert sum(part[name] for part in found["breakdown"]) == pytest.approx(found["bias"][name], abs=1e-9)
    kinds = {part["kind"] for part in found["breakdown"]}
    assert kinds == {"response", "measuring error", "algorithm", "chance"}


def test_the_arms_height_weighs_what_a_column_of_blood_weighs(document):
    # Density of blood 1060 kg/m3 (textbook value); g and the mmHg from scipy.constants.
    expected = 1060 * constants.g * 0.10 / constants.mmHg
    found = document("--cuff-below-heart-cm", 10, "--ideal")["truth"]
    for name in ("sbp", "dbp", "map"):
        assert found["at_cuff"][name] - found["at_measurement"][name] == pytest.approx(expected, rel=1e-9)


def test_options_reach_the_same_engine_as_python(document):
    found = document(
        "--sbp", 150, "--dbp", 95, "--arm-circumference-cm", 36, "--bladder", "12x23", "--sleeve-mm", 2, "--repeat", 2
    )
    result = measure(
        Subject(sbp=150, dbp=95, arm_circumference_cm=36),
        Technique(sleeve_mm=2),
        Instrument(bladder="12x23"),
        rng=np.random.default_rng(1),
        n=2,
    )
    assert [r["sbp"] for r in found["readings"]] == list(result.reading.sbp)
    assert [r["dbp"] for r in found["readings"]] == list(result.reading.dbp)


def test_the_same_seed_gives_the_same_numbers_and_another_others(document):
    assert document("--seed", 5) == document("--seed", 5)
    assert document("--seed", 5)["mean"] != document("--seed", 6)["mean"]


def test_ideal_leaves_nothing_to_chance(document):
    first, second = (document("--ideal", "--talking", "--sleeve-mm", 3, "--repeat", 2, "--seed", s) for s in (1, 2))
    assert first["mean"] == second["mean"]
    assert first["readings"][0] == first["readings"][1]


def test_talking_alone_means_conversation(document):
    assert document("--talking")["inputs"]["technique"]["talking"] == "conversation"
    assert document("--talking") == document("--talking", "conversation")


def test_no_reading_is_null_and_says_why(document, run):
    cut_off = ("--start-mmhg", 100, "--sbp", 150)
    found = document(*cut_off)
    assert found["readings"][0]["reason"]
    assert found["readings"][0]["sbp"] is None
    assert (found["mean"]["sbp"], found["bias"]["sbp"], found["breakdown"]) == (None, None, None)
    assert found["breakdown_reason"]
    _, out, _ = run("measure", *cut_off)
    assert found["readings"][0]["reason"].split()[0] in out
    assert "nan" not in re.findall(r"\w+", out.lower())


def test_without_a_bladder_the_arm_gets_its_size_from_the_table(document, run):
    # Pickering TG, et al. Hypertension 2005;45:142, DOI 10.1161/01.HYP.0000150859.47929.8e: 16 x 36 cm for 35-44 cm.
    found = document("--arm-circumference-cm", 40)
    assert found["bladder"] == {
        "name": "large adult",
        "width_cm": 16,
        "length_cm": 36,
        "recommended": "large adult",
        "fits": True,
    }
    assert found["warnings"] == []
    assert "large adult, 16 x 36 cm" in run("measure", "--arm-circumference-cm", 40)[1]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--arm-circumference-cm", 40, "--bladder", "adult"], "too small a cuff reads high"),
        (["--arm-circumference-cm", 24, "--bladder", "adult"], "too large a cuff reads low"),
        (
            ["--arm-circumference-cm", 30, "--bladder", "10x40"],
            "one of its two sides is too small, the other too large",
        ),
        (["--arm-circumference-cm", 29, "--bladder", "13x26"], "within the published shares"),
        (["--arm-circumference-cm", 20], "for arms of 22 to 52 cm; an arm of 20 cm takes the nearest size"),
    ],
)
def test_a_bladder_that_is_not_the_tables_choice_is_remarked_on(run, arguments, words):
    status, out, _ = run("measure", "--ideal", *arguments)
    assert status == 0
    assert words in " ".join(out.split())


def test_the_text_says_what_the_json_says(run, document):
    arguments = ("--cuff-below-heart-cm", 10, "--talking", "--repeat", 2)
    found, (_, out, _) = document(*arguments), run("measure", *arguments)
    assert f"{found['mean']['sbp']:.0f}/{found['mean']['dbp']:.0f}" in out
    for part in found["breakdown"]:
        assert part["cause"].removeprefix("the ").split(":")[0] in out
    assert "+7.8/+7.8" not in found["warnings"]
    assert "no medical device" in out
    assert "emergency services" in out
    assert max(map(len, out.splitlines())) <= 80


def test_many_readings_do_not_fill_the_screen(run):
    _, out, _ = run("measure", "--repeat", 40)
    assert "and 28 more, which --json lists" in out
    assert "mean of 40" in out


@pytest.mark.parametrize(("suffix", "magic"), [("png", b"\x89PNG"), ("svg", b"<?xml"), ("pdf", b"%PDF")])
def test_a_figure_is_written_in_the_format_of_its_name(run, tmp_path, suffix, magic):
    file = tmp_path / f"measurement.{suffix}"
    status, out, err = run("measure", "--figure", file, "--talking")
    assert (status, err) == (0, "")
    assert "THE TRUTH" in out
    assert file.read_bytes().startswith(magic)


def test_the_example_in_the_documents_is_what_the_command_prints(run):
    block = re.search(
        r"```text\n\$ cuffbias (.*?)\n(.*?)```", (ROOT / "docs" / "example.md").read_text(encoding="utf-8"), re.DOTALL
    )
    assert block is not None
    _, out, _ = run(*shlex.split(block[1]))
    number = r"[+−-]?\d+(?:\.\d+)?"
    assert re.sub(number, "N", out).split() == re.sub(number, "N", block[2]).split()
    # Another machine's libraries may round the last digit to the other side.
    shown, printed = ([decimal(n) for n in re.findall(number, text)] for text in (block[2], out))
    assert printed == pytest.approx(shown, abs=1)

"""What a study says, in text, on a page and on paper, and how the commands say it."""

import dataclasses
import re
import shutil
import subprocess
from html.parser import HTMLParser

import numpy as np
import pytest
from pypdf import PdfReader

from sim import PARAMETERS_VERSION, __version__
from sim.cli import main
from sim.fields import FieldError
from sim.figures.report import Pages
from sim.figures.tables import lines
from sim.study.axes import axis
from sim.study.origin import NOT_CLINICAL, OPTIMISTIC
from sim.study.plan import Study
from sim.study.report import report
from sim.study.run import run
from sim.study.stress import stress
from sim.study.tables import Table, comparison_table, stress_table, tables


@pytest.fixture(scope="module")
def mine(tmp_path_factory):
    file = tmp_path_factory.mktemp("algorithm") / "mine.py"
    file.write_text(
        "import numpy as np\nimport dataclasses\nfrom sim.estimate.fixed_ratio import FixedRatio\n"
        "def estimate(recording):\n"
        '    """Five too high, and silent for every tenth recording."""\n'
        "    r = FixedRatio()(recording)\n"
        "    out = np.arange(len(recording)) % 10 == 0\n"
        "    numbers = {f: np.where(out, np.nan, getattr(r, f) + 5) for f in ('sbp', 'dbp', 'map')}\n"
        "    return dataclasses.replace(r, **numbers, reason=np.where(out, 'had <enough>', r.reason))\n"
    )
    return f"{file}:estimate"


@pytest.fixture(scope="module")
def found(mine):
    study = Study(80, {"fixed-ratio": "fixed-ratio", "mine <b>": mine}, seed=11, people="standard")
    moved = stress(
        "fixed-ratio", axis("movement_mmhg", [0, 8]), axis("talking", ["no", "conversation"]), seed=11, people=12
    )
    return report(run(study, workers=1).sums(), study.origin, maps=(moved,))


def cells(table):
    return {row[0].strip(): row[1:] for row in table.rows}


def test_the_tables_say_what_the_estimators_did(found):
    counts, standard, *_ = tables(found.agreements[1])
    assert cells(counts)["readings"] == ("240",)
    assert cells(counts)["readings without a number"][0].startswith("24, 10.0 %")
    assert cells(counts)["had <enough>"] == ("24",)
    difference = cells(comparison_table(found.comparisons[0]))
    assert difference["mean error, first minus second, mmHg"] == ("−5.0 (−5.0 to −5.0)",) * 2
    assert difference["recordings that both read; only the first; only the second"][0] == "216; 24; 0"
    assert difference["without a number, first minus second, % of recordings"][0].startswith("−10.0 (")
    assert cells(standard)["criterion 1"][-1] == "met"


def test_text_keeps_its_width_and_breaks_no_word(found):
    for table in (*tables(found.agreements[0]), comparison_table(found.comparisons[0]), stress_table(found.maps[0])):
        shown = lines(table, 78)
        assert max(map(len, shown)) <= 78
        words = set(" ".join(shown).lower().split())
        assert {word.lower() for row in table.rows for cell in row for word in cell.split()} <= words


def test_a_narrow_table_wraps_within_its_columns():
    table = Table("T", ("", "a"), (("a rather long name", "1"), ("b", "2")))
    assert lines(table, 16) == ["T", " " * 15 + "a", "a rather long  1", "  name", "b" + " " * 14 + "2"]


class Page(HTMLParser):
    """What a page holds."""

    def __init__(self, text):
        super().__init__()
        self.text, self.pictures, self.tags = "", [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        if tag == "img":
            self.pictures.append(dict(attributes))

    def handle_data(self, data):
        self.text += data + " "


@pytest.fixture(scope="module")
def pages(found, tmp_path_factory):
    """A folder with the report as a page and on paper."""
    folder = tmp_path_factory.mktemp("pages")
    made = Pages(found)
    made.write_html(folder / "report.html")
    made.write_pdf(folder / "report.pdf")
    return folder


def test_the_page_needs_nothing_from_elsewhere_and_says_what_it_is_not(pages):
    text = (pages / "report.html").read_text(encoding="utf-8")
    page = Page(text)
    assert NOT_CLINICAL in page.text
    assert OPTIMISTIC in page.text
    assert f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}, seed 11" in page.text
    assert "mine <b>" in page.text  # shown as text, not taken as markup
    assert "b" not in page.tags
    assert "script" not in page.tags
    assert not re.findall(r'(?:src|href)="(?!data:)', text)
    assert all(len(picture["alt"]) > 40 for picture in page.pictures)
    assert len(page.pictures) == 6
    assert "nan" not in re.sub(r"base64,[^\"]*", "", text).lower().split()


def test_the_paper_holds_the_same(pages):
    data = (pages / "report.pdf").read_bytes()
    assert data.startswith(b"%PDF")
    assert 5 <= len(re.findall(rb"/Type /Page\b", data)) <= 12
    if shutil.which("pdftotext"):  # the usual reader, where the machine has it
        line = ["pdftotext", "-layout", pages / "report.pdf", "-"]
        shown = subprocess.run(line, capture_output=True, text=True, check=True).stdout
        assert "No clinical investigation." in shown
        assert "criterion 1" in shown


def test_on_paper_no_heading_stands_alone_and_no_table_is_torn(found, pages):
    sheets = [" ".join(sheet.extract_text().split()) for sheet in PdfReader(pages / "report.pdf").pages]
    for heading in ("MINE <B>", "COMPARISONS", "STRESS"):
        assert any(heading in sheet for sheet in sheets)
        assert not any(sheet.endswith(heading) for sheet in sheets), heading
    (map_,) = (sheet for sheet in sheets if "STRESS" in sheet)
    assert "Stress map of fixed-ratio" in map_
    for table in (*tables(found.agreements[1]), comparison_table(found.comparisons[0])):
        shown = [" ".join(line.split()) for line in lines(table, 100)]
        assert any(shown[0] in sheet and shown[-1] in sheet[sheet.index(shown[0]) :] for sheet in sheets), table.title


def test_the_same_study_makes_the_same_files(found, tmp_path):
    small = dataclasses.replace(found, agreements=(), scatters=(), comparisons=(), maps=())
    for name in ("a", "b"):
        made = Pages(small)
        made.write_html(tmp_path / f"{name}.html")
        made.write_pdf(tmp_path / f"{name}.pdf")
    for suffix in ("html", "pdf"):
        assert (tmp_path / f"a.{suffix}").read_bytes() == (tmp_path / f"b.{suffix}").read_bytes()


def test_every_output_names_version_parameters_and_seed(found):
    for thing in (found, *found.agreements, *found.comparisons, *found.maps):
        said = str(thing.origin)
        assert f"cuffbias {__version__}" in said
        assert f"parameters {PARAMETERS_VERSION}" in said
        assert "seed 11" in said


def test_a_stress_map_shows_where_it_breaks(found):
    (shown,) = found.maps
    assert shown.failed.shape == (2, 2)
    assert shown.failed[0, 0] == 0
    assert (shown.tolerable[:, 1] < shown.tolerable[:, 0]).all()  # movement
    talk = stress("fixed-ratio", axis("talking"), axis("heart_rate", [70]), seed=3, people=12, against="resting")
    assert talk.mean_sbp[0, 1] > talk.mean_sbp[0, 0] + 3
    again = stress("fixed-ratio", axis("talking"), axis("heart_rate", [70]), seed=3, people=12, against="resting")
    assert np.array_equal(talk.mean_sbp, again.mean_sbp)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: axis("weather"), "input = 'weather': must be one of sbp"),
        (lambda: axis("slack_cm", [0, 99]), "slack_cm = 99: must be from 0 to 8 cm"),
        (lambda: stress("fixed-ratio", axis("slack_cm"), axis("slack_cm")), "must be another than that of the first"),
        (lambda: stress("fixed-ratio", axis("slack_cm"), axis("rest_min"), seed=20_000), "must be outside"),
        (lambda: stress("fixed-ratio", axis("slack_cm"), axis("rest_min"), people=0), "people = 0: must be from 1"),
    ],
)
def test_a_map_that_cannot_be(call, words):
    with pytest.raises(FieldError, match=words):
        call()


def test_the_command_scores_an_algorithm_of_ones_own(mine, tmp_path, capsys):
    assert (
        main(["score", mine, "--subjects", "40", "--readings", "1", "--workers", "1", "--out", str(tmp_path), "--csv"])
        == 0
    )
    printed = capsys.readouterr().out
    assert "of 20 requirements passed" in " ".join(printed.split())
    assert "had <enough>" in printed
    assert "against fixed-ratio, on the same recordings" in printed
    assert "no clinical investigation" in printed.replace("\n", " ")
    assert f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}, seed 1" in printed
    assert max(len(line) for line in printed.splitlines() if "Written" not in line) <= 78 + len(mine)
    assert {file.name for file in tmp_path.iterdir()} == {
        "study.json",
        "study.lock",
        "readings",
        "readings.csv",
        "report.html",
        "report.pdf",
    }
    assert len((tmp_path / "readings.csv").read_text().splitlines()) == 1 + 2 * 40


def test_the_command_measures_a_population(capsys):
    line = ["study", "--subjects", "40", "--readings", "2", "--with", "cuff_below_heart_cm=10", "--against", "resting"]
    assert main(line) == 0
    printed = capsys.readouterr().out
    assert "the resting pressure" in " ".join(printed.split())
    (bias,) = re.findall(r"^bias +\+([\d.]+)", printed, re.MULTILINE)
    assert 5 < float(bias) < 10  # 10 cm of blood


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ("--subjects 3", "--subjects 3: must be a whole number from 40 to 1000000000"),
        ("--subjects many", "--subjects 'many': must be a whole number"),
        ("--people x", "--people 'x': must be one of population, standard"),
        ("--seed 20005", "--seed 20005: must be outside 20000 to 29999"),
        ("--with talking=loud", "--with talking=loud: must be one of no, conversation, stressful, reading"),
        ("--with slack_cm=much", "--with slack_cm=much: must be a number from 0 to 8 cm"),
        ("--with slack_cm=99", "--with slack_cm=99: must be from 0 to 8 cm"),
        ("--with weather=fine", "--with weather=fine: must be FIELD=VALUE, with one of the fields cuff_below_heart_cm"),
        ("--against y", "--against y: must be one of at_measurement, at_cuff, resting"),
        ("--stress heart_rate", "--stress: must be given twice, for the two axes of the map, not 1 times"),
        ("--stress heart_rate=1:x:3 --stress rest_min", "--stress heart_rate=1:x:3: must be FIELD, FIELD=LOW:HIGH"),
        ("--csv", "--csv: needs --out"),
        ("--workers 0", "--workers 0: must be 1 or more"),
        ("--out /proc/x", "--out /proc/x: cannot be used"),
    ],
)
def test_a_wrong_option_gets_one_line(mine, arguments, words, capsys):
    assert main(["score", mine, *arguments.split()]) == 2
    out, error = capsys.readouterr()
    assert out == ""
    assert error.count("\n") == 1
    assert words in error


def test_an_algorithm_that_cannot_be_had_gets_one_line(tmp_path, capsys):
    for name in ("nothing", "nothing.py:f", f"{tmp_path}/mine.py:f"):
        assert main(["score", name]) == 2
        assert capsys.readouterr().err.startswith(f"cuffbias: {name}: must be ")


def test_an_algorithm_that_fails_gets_one_line(tmp_path, capsys):
    (tmp_path / "mine.py").write_text("def f(recording):\n    return 1 / 0\n")
    assert main(["score", f"{tmp_path}/mine.py:f", "--subjects", "40", "--workers", "1"]) == 2
    error = capsys.readouterr().err
    assert error == "cuffbias: mine.py:f: failed: ZeroDivisionError: division by zero (mine.py, line 2)\n"


def test_the_help_teaches(capsys):
    for command in ("study", "score"):
        with pytest.raises(SystemExit):
            main([command, "--help"])
        text = capsys.readouterr().out
        assert "no clinical investigation" in text
        assert max(map(len, text.splitlines())) < 100

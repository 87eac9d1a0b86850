"""`synclint sheet`: what it writes, where it puts that, and with what status it ends."""

import io
import os
import shutil
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from synclint.cli.main import main

SAMPLES = Path(__file__).parents[2] / "sample_setups"
SOUND, DRAFT, MISTYPED, HALF = (
    str(SAMPLES / f"{name}.setup.yaml")
    for name in (
        "tideline",
        "broken/tideline_whole_day_muddled",
        "broken/tideline_names_mistyped",
        "broken/two_devices_half_a_file",
    )
)
KIT = str(SAMPLES / "kits" / "small_rental.kit.yaml")


@pytest.mark.parametrize(
    ("name", "begins"),
    [
        ("a.html", "<!doctype html>\n"),
        ("a.HTM", "<!doctype html>\n"),
        ("a.md", "# Tideline, day 4"),
        ("a.markdown", "# "),
    ],
)
def test_the_name_of_the_file_tells_the_format(name: str, begins: str, tmp_path: Path) -> None:
    assert main(["sheet", SOUND, "--output", str(tmp_path / name)]) == 0
    assert (tmp_path / name).read_text(encoding="utf-8").startswith(begins)
    assert os.listdir(tmp_path) == [name]  # noqa: PTH208 - nothing else is left behind


@pytest.mark.parametrize(
    ("options", "begins"),
    [([], "<!doctype html>"), (["--format", "markdown"], "# "), (["--format", "html"], "<!doctype")],
)
def test_it_may_go_to_standard_output(options: list[str], begins: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet", SOUND, "--output", "-", *options]) == 0
    printed = capsys.readouterr()
    assert printed.out.startswith(begins)
    assert printed.err == ""


def test_a_format_that_is_said_goes_before_the_name(tmp_path: Path) -> None:
    assert main(["sheet", SOUND, "--output", str(tmp_path / "a.txt"), "--format", "markdown"]) == 0
    assert (tmp_path / "a.txt").read_text(encoding="utf-8").startswith("# Tideline")


def test_the_same_setup_gives_the_same_bytes(tmp_path: Path) -> None:
    names = [str(tmp_path / name) for name in ("1.html", "2.html", "1.md", "2.md", "1.svg", "2.svg")]
    for sheet, picture in ((names[0], names[4]), (names[1], names[5])):
        assert main(["sheet", SOUND, "--output", sheet, "--picture", picture]) == 0
    for name in names[2:4]:
        assert main(["sheet", SOUND, "--output", name]) == 0
    for one, two in zip(names[::2], names[1::2], strict=True):
        assert Path(one).read_bytes() == Path(two).read_bytes()


def test_the_rig_may_be_drawn_alone(tmp_path: Path) -> None:
    picture = tmp_path / "rig.svg"
    assert main(["sheet", SOUND, "--picture", str(picture)]) == 0
    assert ET.parse(picture).getroot().tag.endswith("svg")  # noqa: S314 - our own text
    assert os.listdir(tmp_path) == ["rig.svg"]  # noqa: PTH208 - nothing else is written


def test_with_errors_open_it_is_a_draft(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet = tmp_path / "a.md"
    assert main(["sheet", DRAFT, "--output", str(sheet)]) == 1
    assert sheet.read_text(encoding="utf-8").startswith("> **Draft: 4 errors are open. Do not shoot by this sheet.**")
    assert "a draft: 4 errors are open; `synclint check` tells what to do" in capsys.readouterr().err


@pytest.mark.parametrize("setup", [MISTYPED, HALF])
def test_where_a_file_is_at_fault_it_is_told_as_by_check(
    setup: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", setup, "--color", "never"]) == 1
    checked = capsys.readouterr().out
    written = ["--output", str(tmp_path / "a.html"), "--picture", str(tmp_path / "a.svg")]
    assert main(["sheet", setup, "--color", "never", *written]) == 1
    printed = capsys.readouterr()
    assert printed.out == checked
    assert "nothing is written" in printed.err
    assert list(tmp_path.iterdir()) == []


def test_what_is_not_there_is_told_with_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    written = ["--output", str(tmp_path / "a.html")]
    assert main(["sheet", "gone.setup.yaml", *written]) == 2
    assert main(["sheet", KIT, *written]) == 2
    assert "is a kit; a sheet is of a setup and its days" in capsys.readouterr().err
    assert main(["sheet", SOUND, "--log", "gone.log.yaml", *written]) == 2
    assert main(["sheet", SOUND, "--since", "gone.setup.yaml", *written]) == 2
    assert main(["sheet", SOUND, "--output", str(tmp_path / "no" / "a.html")]) == 2
    assert list(tmp_path.iterdir()) == []


def test_a_log_is_gone_on_from(tmp_path: Path) -> None:
    sheet = tmp_path / "a.md"
    assert main(["sheet", SOUND, "--log", str(SAMPLES / "tideline.log.yaml"), "--output", str(sheet)]) == 0
    told = sheet.read_text(encoding="utf-8")
    assert "- **07:04** jammed box_a and box_b" in told
    assert "### 07:00 jam" not in told


def test_what_changed_since_an_earlier_version(tmp_path: Path) -> None:
    old, new = (str(SAMPLES / f"{folder}tideline_battery.setup.yaml") for folder in ("broken/", ""))
    sheet = tmp_path / "a.md"
    assert main(["sheet", new, "--since", old, "--output", str(sheet)]) == 0
    told = sheet.read_text(encoding="utf-8")
    assert "## Changed since revision A (digest " in told
    assert "- **2026-06-20**: new at 12:38: jam of all" in told
    assert "### Solved" in told
    assert main(["sheet", new, "--since", MISTYPED, "--output", str(tmp_path / "b.md")]) == 1
    assert not (tmp_path / "b.md").exists()


def test_standard_input_is_read(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(SAMPLES)
    text = Path(SOUND).read_bytes()
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(text), encoding="utf-8"))
    assert main(["sheet", "-", "--output", "-"]) == 0
    assert '"setup": ""' in capsys.readouterr().out  # the log that the page gives out names no file


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([SOUND], "where is it to go?"),
        ([SOUND, "--output", ""], "--output names no file; write --output day4.html"),
        ([SOUND, "--picture", ""], "--picture names no file; write --picture day4.svg"),
        ([SOUND, "--output", "a.txt"], "tells no format"),
        ([SOUND, "--output", "a.html", "--picture", "./a.html"], "cannot both go to one place"),
        ([SOUND, "--output", "-", "--picture", "-"], "cannot both go to one place"),
        ([SOUND, "--output", SOUND, "--format", "html"], "would overwrite what you wrote"),
        ([SOUND, "--picture", KIT], "would overwrite what you wrote"),
        ([SOUND, "--picture", DRAFT, "--since", DRAFT], "would overwrite what you wrote"),
        (["-", "--since", "-", "--output", "a.html"], "cannot both be read from standard input"),
    ],
)
def test_wrong_usage_says_what_is_right(
    arguments: list[str], says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["sheet", *arguments]) == 2
    assert says in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_what_is_read_under_any_name_is_not_overwritten(tmp_path: Path) -> None:
    for name, source in (("day.html", SOUND), ("old.md", SOUND), ("log.svg", str(SAMPLES / "tideline.log.yaml"))):
        shutil.copy(source, tmp_path / name)
    shutil.copytree(SAMPLES / "kits", tmp_path / "kits")
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    day, old, log = (str(tmp_path / name) for name in ("day.html", "old.md", "log.svg"))
    assert main(["sheet", day, "--output", day]) == 2
    assert main(["sheet", day, "--since", old, "--output", old]) == 2
    assert main(["sheet", day, "--log", log, "--picture", log]) == 2
    assert before == {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}


def test_help_has_examples(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet", "--help"]) == 0
    assert "synclint sheet day4.setup.yaml --output day4.html" in capsys.readouterr().out

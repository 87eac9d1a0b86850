"""`synclint drift`: what it prints and draws, where it puts that, and with what status it ends."""

import io
import json
import os
import shutil
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from synclint.cli.main import main

SAMPLES = Path(__file__).parents[2] / "sample_setups"
HOLDS, LEAVES, LOST, RADIO = (
    str(SAMPLES / "days" / f"tideline_{name}.setup.yaml")
    for name in ("holds_all_day", "jam_at_lunch", "battery_change", "link_lost")
)


@pytest.mark.parametrize(
    ("arguments", "status"),
    [([HOLDS], 0), ([LEAVES], 1), ([LOST], 1), ([RADIO], 0), ([HOLDS, LEAVES], 1), ([HOLDS, "gone.setup.yaml"], 2)],
)
def test_the_exit_status_tells_whether_the_tolerance_holds(arguments: list[str], status: int) -> None:
    assert main(["drift", *arguments]) == status


def test_findings_of_rules_leave_the_status_alone(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", HOLDS, "--fail-at", "note"]) == 1
    assert main(["drift", HOLDS]) == 0
    assert "finds" not in capsys.readouterr().out.split("AGAINST")[1]


def test_a_wrong_name_in_the_file_is_a_fault_of_the_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    setup = tmp_path / "days" / "a.setup.yaml"
    shutil.copytree(SAMPLES / "kits", tmp_path / "kits")
    setup.parent.mkdir()
    setup.write_text(Path(HOLDS).read_text(encoding="utf-8").replace("of: [bag]", "of: [bog]"), encoding="utf-8")
    assert main(["drift", str(setup), "--picture", str(tmp_path / "a.svg")]) == 1
    printed = capsys.readouterr()
    assert "bog is not a device" in printed.out
    assert "no picture is drawn" in printed.err
    assert not (tmp_path / "a.svg").exists()


@pytest.mark.parametrize("text", ["", "synclint: [", "a: b"])
def test_what_is_no_setup_is_told_as_by_check(text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "a.setup.yaml"
    file.write_text(text, encoding="utf-8")
    status = main(["check", str(file), "--color", "never"])
    checked = capsys.readouterr()
    assert main(["drift", str(file), "--color", "never"]) == status
    assert capsys.readouterr() == checked


def test_a_kit_has_no_days(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["drift", str(SAMPLES / "kits" / "small_rental.kit.yaml")]) == 2
    assert "is a kit; drift is of a setup and its days" in capsys.readouterr().err


def test_kits_in_a_folder_are_passed_over(tmp_path: Path) -> None:
    shutil.copytree(SAMPLES / "kits", tmp_path / "kits")
    (tmp_path / "days").mkdir()
    shutil.copy(HOLDS, tmp_path / "days")
    assert main(["drift", str(tmp_path)]) == 0


def test_standard_input_is_read(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(SAMPLES / "days")
    text = Path(HOLDS).read_bytes()
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(text), encoding="utf-8"))
    assert main(["drift", "-"]) == 0
    assert "Holds: nothing that rolls together leaves" in capsys.readouterr().out


# --- the picture -----------------------------------------------------------------------------------------------


def test_the_picture_is_drawn_beside_the_report(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    picture = tmp_path / "day.svg"
    assert main(["drift", LEAVES, "--picture", str(picture)]) == 1
    assert ET.parse(picture).getroot().tag.endswith("svg")  # noqa: S314 - our own text
    assert "WHEN TO JAM" in capsys.readouterr().out
    assert os.listdir(tmp_path) == ["day.svg"]  # noqa: PTH208 - nothing else is left behind


def test_the_same_setup_gives_the_same_bytes(tmp_path: Path) -> None:
    one, two = tmp_path / "1.svg", tmp_path / "2.svg"
    main(["drift", LOST, "--picture", str(one)])
    main(["drift", LOST, "--picture", str(two)])
    assert one.read_bytes() == two.read_bytes()


def test_a_picture_may_take_standard_output(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["drift", HOLDS, "--picture", "-", "--report", f"terminal={tmp_path / 'out.txt'}"]) == 0
    assert capsys.readouterr().out.startswith("<svg ")
    assert "Holds" in (tmp_path / "out.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([HOLDS, LEAVES, "--picture", "a.svg"], "--picture goes with one setup"),
        ([HOLDS, LEAVES, "--log", "a.log.yaml"], "--log goes with one setup"),
        ([HOLDS, "--picture", HOLDS], "would overwrite what you wrote"),
        ([HOLDS, "--picture", str(SAMPLES / "kits" / "small_rental.kit.yaml")], "would overwrite what you wrote"),
        ([HOLDS, "--picture", ""], "names no file"),
        ([HOLDS, "--picture", "-"], "cannot both go to one place"),
        ([HOLDS, "--picture", "a.json", "--report", "json=a.json"], "cannot both go to one place"),
        ([HOLDS, "--report", "jsn"], "did you mean json?"),
    ],
)
def test_wrong_usage_says_what_is_right(
    arguments: list[str], says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["drift", *arguments]) == 2
    assert says in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_a_picture_that_cannot_be_written_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["drift", HOLDS, "--picture", str(tmp_path / "no" / "a.svg")]) == 2
    assert "cannot write" in capsys.readouterr().err


# --- the log and the machines ----------------------------------------------------------------------------------


def test_a_log_is_gone_on_from(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = tmp_path / "day.log.yaml"
    log.write_text(
        f"synclint: log/1\nsetup: {Path(LEAVES).name}\nentries:\n"
        "  - {at: 07:02, do: jam, of: [box_a, box_b], from: bag}\n"
        "  - {at: 12:02, do: compare, of: [box_a], against: bag, offset: +1.8 ms, read_by: scope}\n",
        encoding="utf-8",
    )
    picture = tmp_path / "a.svg"
    main(["drift", LEAVES, "--log", str(log), "--picture", str(picture)])
    printed = capsys.readouterr().out
    # 1.8 ms in 18,000 s are 0.1 ppm.
    assert "box_a against Sound bag: +0.1 ppm" in printed
    assert "the last jam of the log (07:02)" in printed
    assert "07:00" not in printed
    assert "box_a +1.8 ms ± 0.1 ms at 12:02" in picture.read_text(encoding="utf-8")


def test_json_has_the_findings_and_the_drift(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["drift", LEAVES, "--report", "json"]) == 1
    (file,) = json.loads(capsys.readouterr().out)["files"]
    assert file["drift"]["holds"] is False
    assert file["drift"]["jams"]["leaves"] == {
        "clock": "15:14:08",
        "first": "Camera A",
        "second": "Camera B",
        "held_until": "15:14:08",
        "why": None,
    }
    assert "findings" in file


def test_check_tells_the_same_drift_to_machines(capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", LEAVES, "--report", "json"])
    checked = json.loads(capsys.readouterr().out)
    main(["drift", LEAVES, "--report", "json"])
    assert json.loads(capsys.readouterr().out)["files"][0]["drift"] == checked["files"][0]["drift"]


def test_help_has_examples(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["drift", "--help"]) == 0
    assert "synclint drift day4.setup.yaml --picture day4_drift.svg" in capsys.readouterr().out

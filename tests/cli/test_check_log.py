"""`synclint check --log`."""

from pathlib import Path

import pytest

from synclint.cli.main import main

ROOT = Path(__file__).parents[2]
SETUP, LOG = (str(ROOT / "sample_setups" / f"tideline.{kind}.yaml") for kind in ("setup", "log"))
OFF = ROOT / "synclint" / "rules" / "examples" / "comparison-off-the-line"


def test_a_setup_passes_with_its_log() -> None:
    assert main(["check", SETUP, "--log", LOG]) == 0


def test_what_the_log_shows_is_found(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(OFF / "broken.setup.yaml"), "--log", str(OFF / "broken.log.yaml")]) == 1
    out = capsys.readouterr().out
    assert "comparison-off-the-line" in out
    assert "broken.log.yaml:6:" in out


def test_a_log_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", SETUP, "--log", "nowhere.log.yaml"]) == 2
    assert "there is no such file" in capsys.readouterr().out


def test_a_log_goes_with_one_setup(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", SETUP, str(OFF / "sound.setup.yaml"), "--log", LOG]) == 2
    assert "--log goes with one setup" in capsys.readouterr().err


def test_a_report_never_overwrites_the_log(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = tmp_path / "what was done"
    log.write_bytes(Path(LOG).read_bytes())
    assert main(["check", SETUP, "--log", str(log), "--report", f"json={log}"]) == 2
    assert "would overwrite what you wrote" in capsys.readouterr().err
    assert log.read_bytes() == Path(LOG).read_bytes()


def test_a_battery_that_was_changed_may_stand_in_a_log(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = tmp_path / "day.log.yaml"
    log.write_text(
        "synclint: log/1\nentries:\n  - {at: 10:00, do: power off, of: [box_a], until: 10:02, why: battery}\n",
        encoding="utf-8",
    )
    assert main(["check", SETUP, "--log", str(log), "--color", "never"]) == 1
    out = capsys.readouterr().out
    assert "off 10:00 to 10:02 (battery)" in out
    assert "day.log.yaml:3:" in out
    assert "time-lost-with-power" in out


def test_what_may_not_stand_in_a_log_is_told_and_has_no_effect(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log = tmp_path / "day.log.yaml"
    log.write_text(
        "synclint: log/1\nentries:\n  - {at: 10:00, do: leave, of: [box_a]}\n"
        "  - {at: 07:04, do: jam, of: [box_a], from: bag}\n",
        encoding="utf-8",
    )
    assert main(["check", SETUP, "--log", str(log), "--color", "never"]) == 1
    out = capsys.readouterr().out
    assert "'leave' is not a kind of entry; it is one of jam, compare, power off" in out
    assert "1 error, no warnings" in out

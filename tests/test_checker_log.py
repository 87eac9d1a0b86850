"""A setup is checked with a log of its day: what is told of the log itself, and when the rules do not run."""

from pathlib import Path

import pytest

from synclint.checker import Choice, check_file
from synclint.documents.records import MISSING_KEY, UNKNOWN_NAME, UNREADABLE_FILE, WRONG_UNIT, WRONG_VALUE
from synclint.result import Report
from tests.day.logged import log_text

SETUP = """\
synclint: setup/1
title: T
project: {rate: 25}
days: [{date: 2026-06-14, call: 06:30, wrap: 19:00}]
devices:
  bag: {able: {ports: {out: {out: [LTC]}}}, timecode: {from: own clock}}
  box: {able: {ports: {in: {in: [LTC]}}}, timecode: {from: in, mode: jam}}
links: [{from: bag.out, to: box.in, carries: LTC, connected: to jam}]
"""


def checked(folder: Path, log: str | None, name: str = "day.log.yaml") -> Report:
    setup = folder / "rig.setup.yaml"
    setup.write_text(SETUP, encoding="utf-8")
    if log is not None:
        (folder / name).write_text(log, encoding="utf-8")
    return check_file(str(setup), Choice(log=str(folder / name)))


def of_log(report: Report) -> list[tuple[str, str]]:
    """What is told of places in the log."""
    return [(each.rule, str(each.at)) for each in report.findings if each.at.span.file.endswith("day.log.yaml")]


def test_a_log_in_which_nothing_is_wrong(tmp_path: Path) -> None:
    report = checked(tmp_path, log_text("{at: 07:00, do: jam, of: [box], from: bag}", "setup: rig.setup.yaml\n"))
    assert of_log(report) == []
    assert not report.held_back
    assert not report.could_not_check
    assert report.log.endswith("day.log.yaml")


def test_without_a_log_there_is_none() -> None:
    assert check_file("no such file").log == ""


@pytest.mark.parametrize(
    ("entry", "told"),
    [
        ("{at: 07:00, do: jam}", (MISSING_KEY.name, "entries/0")),
        ("{at: 7:00, do: jam, of: [box]}", (WRONG_VALUE.name, "entries/0/at")),
        (
            "{at: 07:00, do: compare, of: [box], against: bag, offset: 3, read_by: scope}",
            (WRONG_UNIT.name, "entries/0/offset"),
        ),
    ],
)
def test_what_is_wrong_in_a_log_is_told_at_its_place_and_the_rules_run(
    tmp_path: Path, entry: str, told: tuple[str, str]
) -> None:
    report = checked(tmp_path, log_text(entry))
    assert of_log(report) == [told]
    assert not report.held_back


def test_names_of_another_rig_hold_the_rules_back(tmp_path: Path) -> None:
    report = checked(tmp_path, log_text("{at: 07:00, do: jam, of: [boxx], from: bag}"))
    assert of_log(report) == [(UNKNOWN_NAME.name, "entries/0/of/0")]
    assert report.held_back == "names in the log lead nowhere"


def test_a_log_that_is_not_there_is_exit_status_2(tmp_path: Path) -> None:
    report = checked(tmp_path, None)
    assert of_log(report) == [(UNREADABLE_FILE.name, "")]
    assert report.held_back == "the log could not be read"
    assert report.could_not_check


def test_another_document_is_no_log(tmp_path: Path) -> None:
    report = checked(tmp_path, "synclint: kit/1\ntitle: K\n")
    assert [each.sentence for each in report.findings if each.at.span.file.endswith("day.log.yaml")] == [
        "this is a kit, and a log is wanted; one begins with `synclint: log/1`"
    ]
    assert report.held_back == "there is no log to read"


def test_a_log_by_itself_is_not_checked_and_says_how_it_is(tmp_path: Path) -> None:
    path = tmp_path / "day.log.yaml"
    path.write_text(log_text("{at: 07:00, do: jam, of: [box]}"), encoding="utf-8")
    (finding,) = check_file(str(path)).findings
    assert finding.sentence == "a log is not checked by itself; setups and kits are"
    assert finding.fix_sentence.startswith("Check the setup with it: --log ")

"""Accepted findings: what an acceptance answers, what is wrong with one, and when it has expired."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest

from synclint import checker
from synclint.checker import Choice, check_text
from synclint.documents.records import (
    EXPIRED_ACCEPTANCE,
    MISSING_KEY,
    NEEDLESS_ACCEPTANCE,
    UNKNOWN_NAME,
    WRONG_VALUE,
)
from synclint.findings import Confirmed, Finding, Hurts, Level, Mended, Record, Remove, Source, Unjudged
from synclint.records import RECORDS
from synclint.result import Report
from synclint.rules.framework import Case, Rule, Yielded

RECORD = Record(
    "a-fault", "A fault", Level.ERROR, Hurts.POST, Mended.SET, "Because.", (Source("x", Confirmed.ARITHMETIC),)
)


def every_camera(case: Case) -> Iterator[Yielded]:
    """One finding on each camera, all with one cause; one on all boxes together; one on nobody; one lacking a fact."""
    setup = case.setup
    for device in setup.devices.values():
        if device.key.startswith("cam"):
            yield RECORD.finding(at=device.place, says="⟪who⟫ ⟪is|are⟫ wrong", who=(device.called,), cause="cameras")
    boxes = [device for device in setup.devices.values() if device.key.startswith("box")]
    if boxes:
        names = tuple(device.called for device in boxes)
        yield RECORD.finding(at=boxes[0].place, says="⟪who⟫ ⟪goes|go⟫ in a circle", who=names, cause="boxes")
    if "generator" in setup.devices:
        yield RECORD.finding(at=setup.project.place, says="something hums")
    if "meter" in setup.devices:
        yield Unjudged(RECORD, setup.project.place, "the accuracy of something")


RULE = Rule(RECORD, every_camera)
ALL_RULES = Choice()


@pytest.fixture(autouse=True)
def only_this_rule(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(checker, "RULES", (RULE,))
    monkeypatch.setattr(checker, "RECORDS", {**RECORDS, RECORD.name: RECORD})


def report(devices: str, *accepted: str, dates: tuple[str, ...] = (), choice: Choice = ALL_RULES) -> Report:
    """The report on some devices with what is accepted of them."""
    days = "".join(f"  - {{date: {date}}}\n" for date in dates)
    text = "synclint: setup/1\ntitle: T\nproject: {rate: 25}\n" + (f"days:\n{days}" if days else "")
    text += "devices:\n" + "".join(f"  {each}\n" for each in devices.split("; "))
    text += "accepted:\n" + "".join(f"  - {{{each}}}\n" for each in accepted) if accepted else ""
    made = check_text(text, choice=choice)
    assert made.crashes == ()
    return made


def sentences(findings: tuple[Finding, ...]) -> list[str]:
    return [finding.sentence for finding in findings]


CAMERAS = "cam_a: {}; cam_b: {name: Camera B}; cam_c: {}"


# --- what an acceptance answers --------------------------------------------------------------------------------


def test_nothing_accepted() -> None:
    assert sentences(report(CAMERAS).findings) == ["cam_a, Camera B and cam_c are wrong"]


def test_a_rule_accepted_wholesale() -> None:
    lines = "rule: a-fault, why: it is known, by: sound, until: 2026-06-30"
    made = report(CAMERAS, lines, dates=("2026-06-14",))
    assert made.findings == ()
    (waived,) = made.accepted  # like ones are one there too
    assert waived.finding.sentence == "cam_a, Camera B and cam_c are wrong"
    assert (waived.why, waived.by, waived.until) == ("it is known", "sound", "2026-06-30")


def test_one_device_is_taken_out_and_the_others_are_left() -> None:
    made = report(CAMERAS, "rule: a-fault, device: cam_b, why: it is known")
    assert sentences(made.findings) == ["cam_a and cam_c are wrong"]
    assert [waived.finding.sentence for waived in made.accepted] == ["Camera B is wrong"]


def test_several_lines_take_several_devices_out() -> None:
    lines = [f"rule: a-fault, device: {key}, why: it is known" for key in ("cam_a", "cam_b", "cam_c")]
    made = report(CAMERAS, *lines)
    assert made.findings == ()
    assert len(made.accepted) == 3


def test_a_range_takes_its_devices_out() -> None:
    made = report("cam_1..cam_5: {}", "rule: a-fault, device: cam_2..cam_4, why: it is known")
    assert sentences(made.findings) == ["cam_1 and cam_5 are wrong"]
    assert [waived.finding.sentence for waived in made.accepted] == ["cam_2, cam_3 and cam_4 are wrong"]


def test_a_fault_that_several_make_together_is_answered_by_naming_any() -> None:
    made = report("box_a: {}; box_b: {}", "rule: a-fault, device: box_b, why: it is known")
    assert made.findings == ()
    assert [waived.finding.sentence for waived in made.accepted] == ["box_a and box_b go in a circle"]


def test_by_path() -> None:
    made = report(CAMERAS, "rule: a-fault, at: devices/cam_c, why: it is known")
    assert sentences(made.findings) == ["cam_a and Camera B are wrong"]


def test_by_the_path_of_what_is_about_no_device() -> None:
    made = report("generator: {}; cam_a: {}", "rule: a-fault, at: project, why: it is known")
    assert sentences(made.findings) == ["cam_a is wrong"]


def test_by_path_and_device() -> None:
    path = "at: devices/cam_1..cam_3"
    made = report("cam_1..cam_3: {}", f"rule: a-fault, {path}, device: cam_1, why: it is known")
    assert sentences(made.findings) == ["cam_2 and cam_3 are wrong"]


def test_a_finding_about_no_device_is_not_answered_by_one() -> None:
    made = report("generator: {}", "rule: a-fault, device: generator, why: it is known")
    assert "something hums" in sentences(made.findings)


def test_a_path_with_a_deeper_step_is_another_path() -> None:
    made = report("cam_a: {}", "rule: a-fault, at: devices/cam_a/timecode, why: it is known")
    assert {finding.record for finding in made.findings} == {RECORD, NEEDLESS_ACCEPTANCE}


# --- what is wrong with an acceptance --------------------------------------------------------------------------


@pytest.mark.parametrize("why", ["", ', why: ""', ', why: "  "'])
def test_a_reason_is_required(why: str) -> None:
    made = report("cam_a: {}", f"rule: a-fault{why}")
    assert made.accepted == ()
    assert sorted(finding.rule for finding in made.findings) == ["a-fault", MISSING_KEY.name]


def test_an_unknown_rule_is_told_with_the_nearest() -> None:
    made = report("cam_a: {}", "rule: a-fualt, why: it is known")
    (problem,) = (finding for finding in made.findings if finding.record is UNKNOWN_NAME)
    assert "did you mean a-fault?" in problem.sentence
    assert str(problem.at) == "accepted/0/rule"
    assert not made.rules_held_back


def test_a_fault_of_the_file_itself_cannot_be_accepted() -> None:
    made = report("cam_a: {unheard_of: 1}", "rule: unknown-key, why: it is known")
    (problem,) = (finding for finding in made.findings if finding.record is WRONG_VALUE)
    assert str(problem.at) == "accepted/0/rule"


@pytest.mark.parametrize(
    "accepted", ["rule: a-fault", "rule: a-fault, device: bag", "rule: a-fault, at: devices/cam_x/timecode"]
)
def test_what_does_not_occur_is_needless(accepted: str) -> None:
    made = report("bag: {}", f"{accepted}, why: it is known")
    (note,) = made.findings
    assert (note.record, note.level) == (NEEDLESS_ACCEPTANCE, Level.NOTE)
    assert str(note.at) == "accepted/0"
    assert note.fix is not None
    assert note.fix.edits == (Remove(note.at),)


def test_what_another_line_answers_already_is_needless() -> None:
    made = report("cam_a: {}", "rule: a-fault, why: it is known", "rule: a-fault, device: cam_a, why: it is known")
    (note,) = made.findings
    assert str(note.at) == "accepted/1"
    assert "also by a line above" in note.sentence


def test_what_did_not_run_is_not_needless() -> None:
    assert report("bag: {}", "rule: a-fault, why: x", choice=Choice(only=frozenset({"another"}))).findings == ()
    assert report("bag: {}", "rule: a-fault, why: x", choice=Choice(without=frozenset({"a-fault"}))).findings == ()


def test_what_could_not_be_judged_is_not_needless() -> None:
    assert report("meter: {}", "rule: a-fault, why: it is known").findings == ()


def test_what_failed_is_not_needless_and_what_it_found_before_is_accepted(monkeypatch: pytest.MonkeyPatch) -> None:
    def failing(case: Case) -> Iterator[Yielded]:
        yield from every_camera(case)
        raise LookupError("no such thing")

    monkeypatch.setattr(checker, "RULES", (Rule(RECORD, failing),))
    text = "synclint: setup/1\ntitle: T\nproject: {rate: 25}\ndevices: {cam_a: {}}\n"
    text += "accepted: [{rule: a-fault, why: x}, {rule: a-fault, why: y}]\n"
    made = check_text(text)
    assert made.findings == ()
    assert len(made.accepted) == 1
    assert [crash.rule for crash in made.crashes] == ["a-fault"]


# --- until when ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("dates", "expired"),
    [
        (("2026-06-30",), False),  # on its last day it still holds
        (("2026-07-01",), True),
        (("2026-06-14", "2026-07-01", "2026-06-15"), True),  # the last day is the latest date, wherever it stands
        (("1999-01-01",), False),  # long before today
        (("2150-01-01",), True),  # long after it
    ],
)
def test_an_acceptance_is_judged_on_the_last_day_of_the_setup(dates: tuple[str, ...], expired: bool) -> None:
    made = report("cam_a: {}", "rule: a-fault, why: x, until: 2026-06-30", dates=dates)
    told = [finding.record for finding in made.findings if finding.record is not WRONG_VALUE]  # days out of order are
    assert told == ([RECORD, EXPIRED_ACCEPTANCE] if expired else [])
    assert len(made.accepted) == (0 if expired else 1)


def test_an_expired_acceptance_says_on_which_day_it_was_judged() -> None:
    made = report("cam_a: {}", "rule: a-fault, why: x, until: 2026-06-30", dates=("2026-07-05",))
    (warning,) = (finding for finding in made.findings if finding.record is EXPIRED_ACCEPTANCE)
    assert warning.level is Level.WARNING
    assert str(warning.at) == "accepted/0/until"
    assert all(date in warning.sentence for date in ("2026-06-30", "2026-07-05"))


def test_todays_date_does_not_matter_where_a_day_has_one() -> None:
    for today in (date(1999, 1, 1), date(2150, 1, 1)):
        made = report(
            "cam_a: {}", "rule: a-fault, why: x, until: 2026-06-30", dates=("2026-06-30",), choice=Choice(today=today)
        )
        assert len(made.accepted) == 1


@pytest.mark.parametrize(("today", "expired"), [(date(2026, 6, 30), False), (date(2026, 7, 1), True)])
def test_without_a_dated_day_an_acceptance_is_judged_today(today: date, *, expired: bool) -> None:
    made = report("cam_a: {}", "rule: a-fault, why: x, until: 2026-06-30", choice=Choice(today=today))
    assert [finding.record for finding in made.findings] == ([RECORD, EXPIRED_ACCEPTANCE] if expired else [])
    assert not expired or "no day of this setup has a date, and today is 2026-07-01" in made.findings[1].sentence


def test_today_is_the_day_of_the_clock_where_none_is_given() -> None:
    for until, expired in (("1999-12-31", True), ("9999-12-31", False)):
        made = report("cam_a: {}", f"rule: a-fault, why: x, until: {until}")
        assert (EXPIRED_ACCEPTANCE in {finding.record for finding in made.findings}) == expired


def test_a_newer_line_takes_over_from_an_expired_one() -> None:
    lines = ("rule: a-fault, why: x, until: 2026-06-30", "rule: a-fault, why: y, until: 2026-08-30")
    made = report("cam_a: {}", *lines, dates=("2026-07-05",))
    assert [finding.record for finding in made.findings] == [EXPIRED_ACCEPTANCE]
    assert [waived.why for waived in made.accepted] == ["y"]


def test_an_expired_line_that_answers_nothing_is_needless() -> None:
    made = report("bag: {}", "rule: a-fault, why: x, until: 2026-06-30", dates=("2026-07-05",))
    assert [finding.record for finding in made.findings] == [NEEDLESS_ACCEPTANCE]

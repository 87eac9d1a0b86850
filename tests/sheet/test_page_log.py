"""The log that the page of a sheet gives out: valid, and read by what reads logs."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from jsonschema import Draft202012Validator

from synclint.checker import Choice, examine
from synclint.documents.reading import load_document
from synclint.sheet.html import html
from tests.sheet import sheets
from tests.sheet.desks import Desk

if TYPE_CHECKING:
    from playwright.sync_api import Page

SCHEMA = json.loads((Path(__file__).parents[2] / "schemas" / "log-1.schema.json").read_text(encoding="utf-8"))


def taken(page: Page, folder: Path) -> Path:
    """The log that a page gives out."""
    with page.expect_download() as waiting:
        page.locator("#take").click()
    path = folder / waiting.value.suggested_filename
    waiting.value.save_as(path)
    assert path.read_text(encoding="utf-8") == page.locator("#text").input_value()
    return path


def plain(path: Path) -> Any:
    """A log as plain values, valid by its schema."""
    import yaml

    document = load_document(path).document
    assert document is not None
    found = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)  # noqa: S506 - texts and nothing else
    Draft202012Validator(SCHEMA).validate(found)
    return found


def set_clock(page: Page, moment: datetime) -> None:
    """Let a page believe that it is some moment."""
    page.clock.set_fixed_time(moment)


def test_the_log_taken_out_is_read_by_check_and_drift(desk: Callable[..., Desk], tmp_path: Path) -> None:
    # In Lisbon it is one hour later in summer than in UTC; the phone is on another clock.
    page = desk(timezone_id="America/New_York", accept_downloads=True).open(sheets.sample_html("tideline"))
    lines = page.locator("li.line")
    set_clock(page, datetime(2026, 6, 14, 6, 4, 12, tzinfo=UTC))
    for index in range(3):
        lines.nth(index).locator("input[type=checkbox]").check()
    set_clock(page, datetime(2026, 6, 14, 11, 38, 5, tzinfo=UTC))
    noon = page.locator(".round", has_text="12:42 jam")
    noon.locator("input.amount").nth(0).fill("3")
    noon.locator("input.amount").nth(1).fill("2.4")
    noon.locator("li.line select").nth(1).select_option("ms behind")
    noon.locator("p.by select").select_option("scope")
    set_clock(page, datetime(2026, 6, 14, 11, 44, 0, tzinfo=UTC))
    noon.locator("input[type=checkbox]").nth(0).check()
    page.locator('[data-keep="by"]').fill('Kim "sound" #1: \\')
    path = taken(page, tmp_path)
    assert path.name == "tideline.log.yaml"
    assert page.locator("#taken").inner_text() == "6 entries in tideline.log.yaml."
    log = plain(path)
    assert (log["setup"], log["by"]) == ("tideline.setup.yaml", 'Kim "sound" #1: \\')
    at, day = "07:04:12", "2026-06-14"
    morning = [{"date": day, "at": at, "do": "jam", "of": [box], "from": "bag"} for box in ("box_a", "box_b", "slate")]
    read = {"date": day, "at": "12:38:05", "do": "compare", "against": "bag", "read_by": "scope"}
    assert log["entries"] == [
        *morning,
        {**read, "of": ["box_a"], "offset": "+3 ms"},
        {**read, "of": ["box_b"], "offset": "-2.4 ms"},
        {"date": day, "at": "12:44:00", "do": "jam", "of": ["box_a"], "from": "bag"},
    ]
    examined = examine(str(sheets.SAMPLES / "tideline.setup.yaml"), Choice(log=str(path), drift=True))
    assert examined.case is not None
    assert examined.case.log is not None
    assert len(examined.case.log.entries) == 6
    assert not [finding for finding in examined.report.findings if finding.at.span.file == str(path)]
    assert examined.report.drift is not None
    assert len(examined.report.drift.panels[0].points) == 2


def test_days_and_midnight_are_told_in_the_log(desk: Callable[..., Desk], tmp_path: Path) -> None:
    sheet = sheets.sheet_from(sheets.TWO_NIGHTS, tmp_path)
    page = desk(accept_downloads=True).open(html(sheet))
    set_clock(page, datetime(2026, 6, 15, 0, 20, 30, tzinfo=UTC))  # 01:20:30 in Lisbon
    page.locator(".round", has_text="01:00 +1 jam").locator("input[type=checkbox]").check()
    second = page.locator(".round", has_text="2026-06-16, 18:30 jam").locator("li.line")
    second.locator("input[type=checkbox]").check()
    second.locator('input[type="time"]').first.fill("18:31")
    free = page.locator("li.free").first
    free.locator("select").nth(0).select_option(label="box_a and bag")
    free.locator("select").nth(1).select_option("1")
    free.locator("input.amount").fill("1/2")
    free.locator("select").nth(2).select_option("frames ahead")
    free.locator('.offset input[type="time"]').fill("20:00:01")
    assert plain(taken(page, tmp_path))["entries"] == [
        {"date": "2026-06-14", "at": "01:20:30 +1", "do": "jam", "of": ["box_a"], "from": "bag"},
        {"date": "2026-06-16", "at": "18:31", "do": "jam", "of": ["box_a"], "from": "bag"},
        {
            "date": "2026-06-16",
            "at": "20:00:01",
            "do": "compare",
            "of": ["box_a"],
            "against": "bag",
            "offset": "+1/2 frames",
            "read_by": "display",
        },
    ]
    examined = examine(str(tmp_path / "made.setup.yaml"), Choice(log=str(tmp_path / "made.log.yaml")))
    assert examined.case is not None
    assert examined.case.log is not None
    assert [entry.day for entry in examined.case.log.entries] == [0, 1, 1]


def test_what_cannot_stand_in_a_log_is_named(desk: Callable[..., Desk]) -> None:
    page = desk().open(sheets.sample_html("tideline"))
    page.locator("#take").click()
    assert page.locator("#taken").inner_text().startswith("No log is made: no jam is ticked")
    assert not page.locator("#text").is_visible()
    line = page.locator("li.line").first
    line.locator("input[type=checkbox]").check()
    line.locator('input[type="time"]').first.fill("")
    line.locator("input.amount").fill("much")
    page.locator("li.free input[type=checkbox]").first.check()
    page.locator("#take").click()
    assert (
        page.locator("#taken")
        .inner_text()
        .endswith(
            "Left out: box_a, offset: not a number; box_a, jam: no time; a line that is not planned, jam: no device."
        )
    )

"""What is ticked and written on the page of a sheet: it stays, where it can; where it cannot, the page says so."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from synclint.sheet.html import html
from tests.sheet import sheets
from tests.sheet.desks import Desk

if TYPE_CHECKING:
    from playwright.sync_api import Page


def test_ticks_and_offsets_survive_a_reload(desk: Callable[..., Desk]) -> None:
    page = desk().open(sheets.sample_html("tideline"))
    line = page.locator("li.line").first
    line.locator("input[type=checkbox]").check()
    line.locator("input.amount").fill("3.5")
    line.locator("select").select_option("frames behind")
    page.locator(".part-devices input").nth(1).check()
    page.locator('[data-keep="by"]').fill("sound")
    page.locator('[data-keep="u1-device"]').select_option(label="slate and Sound bag")
    before = page.evaluate(FIELDS)
    page.reload()
    assert page.evaluate(FIELDS) == before
    assert {"true", "3.5", "frames behind", "sound"} <= set(before.values())
    assert page.locator("#kept").inner_text().startswith("Ticks and offsets are kept on this device")


FIELDS = """
() => Object.fromEntries([...document.querySelectorAll('[data-keep]')].map((one) =>
  [one.dataset.keep, one.type === 'checkbox' ? String(one.checked) : one.value]))
"""


def test_another_revision_begins_anew(desk: Callable[..., Desk], tmp_path: Path) -> None:
    two = desk()
    first = sheets.sheet_from(sheets.TWO_NIGHTS, tmp_path)
    page = two.open(html(first))
    page.locator("input[type=checkbox]").first.check()
    other = html(sheets.sheet_from(sheets.TWO_NIGHTS.replace("revision: A", "revision: B"), tmp_path))
    assert not two.open(other).locator("input[type=checkbox]").first.is_checked()
    assert two.open(html(first)).locator("input[type=checkbox]").first.is_checked()


def test_what_is_kept_and_makes_no_sense_does_no_harm(desk: Callable[..., Desk]) -> None:
    for nonsense in ("[", "3", '{"r0-0": "yes", "r0-0-unit": "hours", "r0-0-offset": 7}'):
        page = desk().open(sheets.sample_html("tideline"))
        page.locator("input[type=checkbox]").first.check()
        page.evaluate("(nonsense) => localStorage.setItem(Object.keys(localStorage)[0], nonsense)", nonsense)
        page.reload()
        assert page.locator('[data-keep="r0-0-unit"]').input_value() == "ms ahead"
        assert not page.locator('[data-keep="r0-0"]').is_checked()


WORDS = "() => ['header', 'main'].map((one) => document.querySelector(one).innerText).join(' ')"


def told_apart_from_keeping(page: Page) -> str:
    """All that a page says but of what is kept, and of the log."""
    page.evaluate("() => { for (const id of ['kept', 'log']) document.getElementById(id).style.display = 'none'; }")
    return str(page.evaluate(WORDS))


def test_with_scripts_off_it_says_so_and_loses_nothing_else(desk: Callable[..., Desk]) -> None:
    text = sheets.sample_html("tideline_whole_day")
    page = desk(java_script_enabled=False).open(text)
    assert "not kept here, because no script runs" in page.locator("#kept").inner_text()
    assert not page.locator("#log").is_visible()
    page.locator("input[type=checkbox]").first.check()
    assert told_apart_from_keeping(page) == told_apart_from_keeping(desk().open(text))


@pytest.mark.parametrize(
    ("allowed", "says"),
    [("", "because no script runs in this view"), ("allow-scripts", "this browser stores nothing for this page")],
)
def test_in_a_preview_that_shuts_it_in_it_says_so(desk: Callable[..., Desk], allowed: str, says: str) -> None:
    text = sheets.sample_html("tideline_whole_day")
    frame = f'<!doctype html><iframe sandbox="{allowed}" width="380" height="800" srcdoc="{escape(text)}"></iframe>'
    shut = desk()
    page = shut.open(frame, "preview.html")
    inside = page.frames[1]
    inside.wait_for_selector("#kept")
    assert says in inside.locator("#kept").inner_text()
    assert inside.locator("main h2").count() == sheets.sample_html("tideline_whole_day").count("<h2")
    inside.locator("li.line input[type=checkbox]").first.check()
    if allowed:
        inside.locator("#take").click()
        assert "do: jam" in inside.locator("#text").input_value()
    shut.faults.clear()  # a browser tells here that the frame is shut in


# --- offsets beyond the tolerance ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "unit", "says"),
    [
        # The tolerance is a frame of 1001/24000 s, 41.7083 ms.
        ("41.7", "ms ahead", ""),
        ("41.8", "ms ahead", "box_a is 41.8 ms ahead of Sound bag: more than the tolerance of 1 frame."),
        ("-41,8", "ms ahead", "box_a is 41.8 ms behind Sound bag: more than"),
        ("1", "frames behind", ""),
        ("5/4", "frames behind", "box_a is 5/4 frames behind Sound bag: more than"),
        ("three", "ms ahead", "This is no offset: write a number"),
        ("1/2", "ms ahead", "This is no offset: write a number"),
        ("0", "ms ahead", ""),
        ("", "ms ahead", ""),
    ],
)
def test_an_offset_beyond_the_tolerance_is_told(desk: Callable[..., Desk], written: str, unit: str, says: str) -> None:
    line = desk().open(sheets.sample_html("tideline")).locator("li.line").first
    line.locator("select").select_option(unit)
    line.locator("input.amount").fill(written)
    told = line.locator("[role=status]")
    assert told.inner_text().startswith(says) if says else told.inner_text() == ""


def test_two_that_are_too_far_from_each_other_are_told(desk: Callable[..., Desk]) -> None:
    page = desk().open(sheets.sample_html("tideline"))
    for index, unit in ((0, "ms ahead"), (1, "ms behind")):
        line = page.locator("li.line").nth(index)
        line.locator("input.amount").fill("30")
        line.locator("select").select_option(unit)
    assert page.locator(".round").first.locator(".spread").inner_text() == (
        "box_a and box_b are 60 ms apart: more than the tolerance of 1 frame. Jam both again before they roll together."
    )

"""The page of a sheet in a browser: nothing is cut at any width, and everyone can use it."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from synclint.sheet.html import html
from tests.sheet import sheets
from tests.sheet.desks import Desk

SOUND = ("two_devices", "tideline", "tideline_whole_day", "tideline_wireless", "tideline_night")
SHOWN = (*SOUND, "tideline_second_unit", "broken/tideline_whole_day_muddled", "broken/tideline_timecode_goes_round")
WIDTHS = (390, 1280)

# --- nothing is cut --------------------------------------------------------------------------------------------

CUT = """
() => {
  const found = [];
  const hidden = (node) => node.closest('thead') && getComputedStyle(node.closest('thead')).position === 'absolute';
  const name = (node) => `${node.tagName} ${node.className.baseVal ?? node.className} ${node.textContent.slice(0, 40)}`;
  const wide = document.documentElement.scrollWidth;
  if (wide > innerWidth) found.push(`the page is ${wide} wide`);
  for (const node of document.body.querySelectorAll('*')) {
    if (node.closest('svg') || ['SCRIPT', 'OPTION'].includes(node.tagName)) continue;
    if (!node.checkVisibility() || hidden(node)) continue;
    const at = node.getBoundingClientRect();
    const style = getComputedStyle(node);
    if (at.left < -0.5 || at.right > innerWidth + 0.5) found.push(`leaves the page: ${name(node)}`);
    if (style.display === 'inline' || node.tagName === 'SELECT') continue;
    if (node.scrollWidth > node.clientWidth + 1 && node.clientWidth) found.push(`too narrow: ${name(node)}`);
    const clips = style.overflowY !== 'visible' && node.tagName !== 'TEXTAREA';
    if (clips && node.scrollHeight > node.clientHeight + 1 && node.clientHeight) found.push(`too low: ${name(node)}`);
  }
  for (const svg of document.querySelectorAll('svg')) {
    if (!svg.checkVisibility()) continue;
    const edge = svg.getBoundingClientRect();
    for (const text of svg.querySelectorAll('text')) {
      const at = text.getBoundingClientRect();
      const inside = at.left >= edge.left - 1 && at.right <= edge.right + 1 && at.bottom <= edge.bottom + 1;
      if (!inside) found.push(`leaves its picture: ${text.textContent}`);
      if (parseFloat(getComputedStyle(text).fontSize) * edge.width / svg.viewBox.baseVal.width < 9.5)
        found.push(`too small: ${text.textContent}`);
    }
  }
  return found;
}
"""


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", SHOWN)
def test_nothing_overflows_and_no_text_is_cut(desk: Callable[..., Desk], name: str, width: int) -> None:
    assert not desk(width).open(sheets.sample_html(name)).evaluate(CUT)


@pytest.mark.parametrize("width", [320, *WIDTHS])
def test_long_and_hostile_names_are_not_cut_either(desk: Callable[..., Desk], tmp_path: Path, width: int) -> None:
    text = sheets.HOSTILE.replace(f'"{sheets.HOSTILE_NAMES[0]}"', f'"{"Unbreakable" * 12}"')
    page = desk(width).open(html(sheets.sheet_from(text, tmp_path)))
    assert not [fault for fault in page.evaluate(CUT) if not fault.startswith("too small")]
    assert page.title().startswith(sheets.HOSTILE_TITLE)


@pytest.mark.parametrize("width", WIDTHS)
def test_one_of_two_pictures_is_shown_and_told(desk: Callable[..., Desk], width: int) -> None:
    page = desk(width).open(sheets.sample_html("tideline"))
    tell = "all => all.filter((one) => one.checkVisibility()).map((one) => one.outerHTML)"
    shown = page.eval_on_selector_all("svg", tell)
    assert [re.findall(r'id="([a-z-]+)-title"', svg)[0] for svg in shown] == [
        f"{picture}-{'narrow' if width == 390 else 'wide'}" for picture in ("rig", "drift")
    ]


# --- for everyone ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", ["tideline_whole_day", "tideline_wireless", "broken/tideline_whole_day_muddled"])
def test_an_accessibility_check_finds_no_violation(desk: Callable[..., Desk], name: str, width: int) -> None:
    from axe_core_python.sync_playwright import Axe

    page = desk(width).open(sheets.sample_html(name))
    page.locator("li.line input.amount").first.fill("900")  # with a warning, and with the log below
    page.locator("#take").click()
    found = Axe().run(page)
    assert not [(each["id"], [node["html"] for node in each["nodes"]]) for each in found["violations"]]


def test_every_control_can_be_hit_with_a_wet_thumb(desk: Callable[..., Desk]) -> None:
    page = desk().open(sheets.sample_html("tideline_whole_day"))
    page.locator("li.line input[type=checkbox]").first.check()
    small = page.eval_on_selector_all(
        "button, nav a, select, label.tick, input:not([type=checkbox])",
        """all => all.filter((one) => one.checkVisibility()).map((one) => [one.outerHTML.slice(0, 80),
             one.getBoundingClientRect().width, one.getBoundingClientRect().height])
             .filter(([, width, height]) => width < 44 || height < 44)""",
    )
    assert not small


def test_the_keyboard_reaches_and_shows_where_it_is(desk: Callable[..., Desk]) -> None:
    page = desk().open(sheets.sample_html("tideline"))
    kinds: list[str] = []
    while len(kinds) < 200 and "BUTTON" not in kinds:
        page.keyboard.press("Tab")
        kind, outline = page.evaluate(
            "() => [document.activeElement.tagName, parseFloat(getComputedStyle(document.activeElement).outlineWidth)]"
        )
        kinds.append(kind)
        assert outline >= 3
    assert set(kinds) == {"A", "INPUT", "SELECT", "BUTTON"}
    box = page.locator("input[type=checkbox]").first
    box.focus()
    page.keyboard.press("Space")
    assert box.is_checked()

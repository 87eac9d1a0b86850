"""The page of a sheet on paper: how many pages, how large, and what stands in the place of controls."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from tests.sheet import sheets
from tests.sheet.desks import Desk


def pages_of(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))


USUAL = """
() => {
  const pen = document.createElement('canvas').getContext('2d');
  pen.font = `100px ${getComputedStyle(document.documentElement).fontFamily}`;
  return pen.measureText('the digits move before the take').width;
}
"""


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["two_devices", "tideline", "tideline_whole_day", "tideline_wireless"])
def test_a_rig_of_eight_devices_prints_on_two_pages(desk: Callable[..., Desk], name: str, paper: str) -> None:
    page = desk(1280).open(sheets.sample_html(name))
    # Some machines have no sans serif but one of letters a seventh wider than those of nearly every other.
    most = 2 if page.evaluate(USUAL) < 1480 else 3
    assert 1 <= pages_of(page.pdf(format=paper)) <= (1 if name == "two_devices" else most)


PRINTED = """
() => [...document.body.querySelectorAll('*')].filter((one) => one.checkVisibility() && !one.closest('svg')
    && [...one.childNodes].some((text) => text.nodeType === 3 && text.data.trim()))
  .map((one) => { const style = getComputedStyle(one);
    const points = parseFloat(style.fontSize) * 0.75;
    return [one.textContent.trim().slice(0, 40), points, style.color, style.backgroundColor]; })
"""


@pytest.mark.parametrize("name", ["tideline_whole_day", "broken/tideline_whole_day_muddled"])
def test_print_is_large_and_black_on_white(desk: Callable[..., Desk], name: str) -> None:
    page = desk(794).open(sheets.sample_html(name))
    page.emulate_media(media="print")
    for text, points, color, ground in page.evaluate(PRINTED):
        assert points >= 11, text
        assert max(map(int, re.findall(r"\d+", color)[:3])) <= 0x44, (text, color)
        assert ground in {"rgb(255, 255, 255)", "rgba(0, 0, 0, 0)"}, (text, ground)
    sizes = page.eval_on_selector_all(".numbers strong", "all => all.map((one) => getComputedStyle(one).fontSize)")
    assert [float(size.removesuffix("px")) * 0.75 for size in sizes] == [24] * 5


def test_print_has_boxes_and_lines_in_the_place_of_controls(desk: Callable[..., Desk]) -> None:
    page = desk(794).open(sheets.sample_html("tideline"))
    page.locator("li.line input.amount").first.fill("3.5")
    page.emulate_media(media="print")
    assert page.locator("li.line input[type=checkbox]").first.is_visible()
    assert page.locator("li.line input.amount").first.is_visible()
    assert page.locator("li.line select").first.is_visible()
    assert not page.locator("li.line select").nth(1).is_visible()
    for hidden in ("nav", "#kept", "#take", "li.free", "p.by"):
        assert not page.locator(hidden).first.is_visible()

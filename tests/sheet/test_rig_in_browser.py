"""The picture of a rig as a browser draws it: nothing lies on anything, and nothing leaves the picture."""

from __future__ import annotations

import time
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.sheet import chance, rigs
from tests.sheet.measured import faults, look

if TYPE_CHECKING:
    from playwright.sync_api import Page

WIDTHS = (390, 680, 1280)
SETUPS = sorted(rigs.SAMPLES.rglob("*.setup.yaml"))


@cache
def sized(size: int) -> rigs.Rig:
    return rigs.from_text(rigs.BY_SIZE[size]())


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("size", rigs.BY_SIZE)
def test_nothing_lies_on_anything_at_any_size(page: Page, size: int, width: int) -> None:
    assert len(sized(size).setup.devices) == size
    before = time.perf_counter()
    svg = sized(size).picture(width)
    assert time.perf_counter() - before < 0.5
    seen = look(page, svg, width)
    assert not faults(seen)
    assert seen["page"] <= width
    assert min(text["size"] for text in seen["texts"]) >= 9


@pytest.mark.parametrize("path", SETUPS, ids=[path.stem.removesuffix(".setup") for path in SETUPS])
def test_nothing_lies_on_anything_in_the_samples(page: Page, path: Path) -> None:
    rig = rigs.from_file(path)
    assert rig is not None
    for width in (390, 1280):
        seen = look(page, rig.picture(width), width)
        assert not faults(seen), width
        marks = {text["says"] for text in seen["texts"] if text["kind"] == "mark"}
        assert {f"{number} {each.level.value.upper()}" for number, each in enumerate(rig.findings, 1)} <= marks


@pytest.mark.parametrize("seed", [1, 2, 3, 5, 32, 196])
def test_nothing_lies_on_anything_in_rigs_thrown_together(page: Page, seed: int) -> None:
    rig = chance.thrown(seed)
    for width in (390, 1280, 2400):
        assert not faults(look(page, rig.picture(width), width)), width


def test_it_needs_no_network(page: Page) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    look(page, sized(41).picture(), 960)
    assert not asked

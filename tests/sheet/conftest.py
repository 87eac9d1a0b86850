"""What the tests of the sheet share."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.sheet.browser import launched, opened
from tests.sheet.desks import Desk

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """A browser, one for all tests of a run."""
    with launched() as browser:
        yield browser


@pytest.fixture(scope="session")
def page(chromium: Browser) -> Iterator[Page]:
    """A page of a browser, one for all tests of a run: each sets its content anew."""
    with opened(chromium) as opened_page:
        yield opened_page


@pytest.fixture
def desk(chromium: Browser, tmp_path: Path) -> Iterator[Callable[..., Desk]]:
    """Makes browsers with some width, with or without scripts; none may complain or ask for anything from elsewhere."""
    made: list[Desk] = []

    def make(width: int = 390, **options: Any) -> Desk:
        viewport = {"width": width, "height": 844}
        context = chromium.new_context(viewport=viewport, offline=True, **options)  # type: ignore[arg-type]  # a size
        made.append(Desk(context, tmp_path))
        return made[-1]

    yield make
    for each in made:
        assert not each.faults
        assert all(url.startswith(("file:", "blob:")) for url in each.requests), each.requests
        each.context.close()

"""A browser without a window, to measure in it what a page looks like.

Where there is no Chromium, or no playwright, a test that asks for a page is skipped with the reason; in CI (`CI=true`)
it fails, so that nobody is told that the pictures are right where nobody looked.
"""

from __future__ import annotations

import importlib.util
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PROGRAMS = ("chromium", "chromium-browser", "chromium-headless-shell", "chrome")


def program() -> str | None:
    """The path of the browser, if there is one."""
    return next(filter(None, map(shutil.which, PROGRAMS)), None)


def obstacle() -> str:
    """Why no browser can be started; empty where one can."""
    if importlib.util.find_spec("playwright") is None:
        return "playwright is not installed: pip install -e '.[test]'"
    return "" if program() else f"no browser is installed: none of {', '.join(PROGRAMS)} is on the PATH"


def in_ci() -> bool:
    """Whether this is the run that counts."""
    return os.environ.get("CI", "").lower() in ("true", "1")


def need_browser() -> None:
    """Skip the test that asks, or in CI fail it, where there is no browser."""
    why = obstacle()
    if why and in_ci():
        pytest.fail(f"in CI the pictures are measured, and {why}")
    if why:
        pytest.skip(why)


@contextmanager
def launched() -> Iterator[Browser]:
    """A browser; one for all tests of a run, because the library that drives it starts once."""
    need_browser()
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=program(), args=["--no-sandbox"])
        yield browser
        browser.close()


@contextmanager
def opened(browser: Browser) -> Iterator[Page]:
    """A page that may ask for nothing from elsewhere; pages are given it with `page.set_content`."""
    context = browser.new_context(offline=True)
    page = context.new_page()
    page.route("**/*", lambda route: route.abort())
    yield page
    context.close()

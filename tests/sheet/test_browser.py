"""Where there is no browser a test is skipped with the reason, and in CI it fails."""

from __future__ import annotations

import pytest

from tests.sheet import browser


def test_without_a_browser_it_is_skipped_with_the_reason(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(browser, "PROGRAMS", ("no_such_program",))
    monkeypatch.setenv("CI", "")
    with pytest.raises(pytest.skip.Exception, match=r"none of no_such_program is on the PATH|playwright"):
        browser.need_browser()


def test_without_a_browser_it_fails_in_ci(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(browser, "PROGRAMS", ("no_such_program",))
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.fail.Exception, match="in CI the pictures are measured"):
        browser.need_browser()

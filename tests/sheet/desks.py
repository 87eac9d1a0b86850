"""A browser of one person, with pages of sheets in it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page


class Desk:
    """A browser of one person: pages of sheets in it, and what went wrong in them."""

    def __init__(self, context: BrowserContext, folder: Path) -> None:
        self.context = context
        self.folder = folder
        self.faults: list[str] = []
        self.requests: list[str] = []

    def open(self, text: str, name: str = "sheet.html") -> Page:
        """A page with a sheet, from a file as an attachment is opened."""
        path = self.folder / name
        path.write_text(text, encoding="utf-8")
        page = self.context.new_page()
        page.on("console", lambda message: self.faults.append(message.text))
        page.on("pageerror", lambda error: self.faults.append(str(error)))
        page.on("request", lambda request: self.requests.append(request.url))
        page.goto(path.as_uri())
        return page

"""Paper for a terminal or a pipe: lines, paragraphs and colours, with all that is hidden in a text made visible.

The only importer of rich. What is set on a page is given as pieces: a text and the style it is in.
"""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterable
from typing import TextIO

from rich.cells import cell_len
from rich.console import Console
from rich.text import Text

from synclint.report.words import visible

Piece = tuple[str, str]

PLAIN, HEADING, QUIET, ODD = "", "bold", "dim", "bold magenta"
BAD, DOUBTFUL, MILD, GOOD = "bold red", "bold yellow", "bold cyan", "bold green"

MEASURE = 118
"""Sentences are not set wider than this, for the eye loses the line."""
NARROWEST = 40
_UNIT = re.compile(r"(?<=[0-9]) (?=(?:[^\W\d_]{1,4}|frames?)\b)")
_GLUE = "\ue000"  # one column wide, and from files it comes written out
_FANCY = "├└│–·…→±"
_SIMPLE = str.maketrans({"├": "+", "└": "`", "│": "|", "–": "-", "·": ">", "…": "~", "→": ">", "±": "+/-"})


class _Console(Console):
    """A console that leaves it to the program what a closed pipe means; rich would end it with status 1."""

    def on_broken_pipe(self) -> None:
        raise  # noqa: PLE0704 - called while the error is being handled


class Page:
    """A page on a stream: as wide as its terminal, coloured where that is wanted, and safe in its encoding.

    A pipe has no width, and nothing is broken there, so that a search finds whole sentences.
    """

    def __init__(self, stream: TextIO, *, color: str) -> None:
        self.width = max(shutil.get_terminal_size().columns, NARROWEST) if stream.isatty() else None
        colored = _is_colored(stream, color)
        self._console = _Console(
            file=stream,
            force_terminal=colored,
            color_system="standard" if colored else None,
            no_color=not colored,
            width=self.width or 1000,
            legacy_windows=False,
        )
        self._encoding = stream.encoding or "utf-8"
        self._simple = not _can_write(_FANCY, self._encoding)
        self._blank = True

    def line(self, *pieces: Piece) -> None:
        """One line, however long."""
        self._put(self._text(pieces))

    def gap(self) -> None:
        """One blank line, never two."""
        if not self._blank:
            self._put(Text())

    def heading(self, title: str) -> None:
        """The heading of a section, with a gap before it."""
        self.gap()
        self.line((title.upper(), HEADING))

    def paragraph(self, *pieces: Piece, lead: Iterable[Piece] = (("  ", PLAIN),), hang: int | None = None) -> None:
        """Text behind `lead`; its further lines stand under its first, or `hang` columns in."""
        before, text = self._text(lead), self._text(pieces)
        if self.width is None:
            self._put(before + text)
            return
        indent = before.cell_len if hang is None else hang
        whole = before + text if hang is not None else text
        lines = self._wrapped(whole, min(self.width, MEASURE) - indent)
        for number, line in enumerate(lines):
            if hang is None:
                self._put((before if number == 0 else Text(" " * indent)) + line)
            else:
                self._put(line if number == 0 else Text(" " * indent) + line)

    def fold(self, text: str, width: int) -> list[str]:
        """A text in lines of so many columns, for setting in a table."""
        return [line.plain for line in self._wrapped(self._text([(text, PLAIN)]), width)]

    def _wrapped(self, text: Text, width: int) -> list[Text]:
        """The lines of a text; a number and its short unit are not torn apart."""
        text.plain = _UNIT.sub(_GLUE, text.plain)
        lines = list(text.wrap(self._console, max(width, 12)))
        for line in lines:
            line.plain = line.plain.replace(_GLUE, " ")
            line.rstrip()
        return lines or [text]

    def _text(self, pieces: Iterable[Piece]) -> Text:
        return Text.assemble(*((self._safe(text), style) for text, style in pieces))

    def _safe(self, text: str) -> str:
        shown = visible(text)
        if self._simple:
            shown = shown.translate(_SIMPLE)
        return shown.encode(self._encoding, "backslashreplace").decode(self._encoding)

    def _put(self, text: Text) -> None:
        text.rstrip()
        self._blank = not text.plain
        self._console.print(text, soft_wrap=True, markup=False, highlight=False, emoji=False)


def wide(text: str) -> int:
    """How many columns a text takes."""
    return cell_len(visible(text))


def padded(text: str, width: int) -> str:
    """The text with blanks up to so many columns."""
    return text + " " * (width - wide(text))


def _is_colored(stream: TextIO, color: str) -> bool:
    if color == "auto":
        return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    return color == "always"


def _can_write(text: str, encoding: str) -> bool:
    try:
        text.encode(encoding)
    except UnicodeError:
        return False
    return True

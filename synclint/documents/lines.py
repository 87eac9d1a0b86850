"""A text cut into lines, to turn an offset into a line and column and back."""

from __future__ import annotations

import re
from bisect import bisect_right

from synclint.findings import Span

_BREAK = re.compile(r"\r\n|\n|\r")


class Lines:
    """The lines of a text: they end at a line feed, a carriage return or the two together, and nowhere else."""

    def __init__(self, text: str, file: str) -> None:
        """Cut `text`, which was read from `file`."""
        self.text = text
        self.file = file
        self._starts = [0, *(match.end() for match in _BREAK.finditer(text))]

    def __len__(self) -> int:
        """How many lines there are; a text that ends with a line break has an empty last one."""
        return len(self._starts)

    def place(self, offset: int) -> tuple[int, int]:
        """The line and column of an offset, both from 1; an offset outside the text is taken as its nearest end."""
        inside = min(max(offset, 0), len(self.text))
        line = bisect_right(self._starts, inside)
        return line, inside - self._starts[line - 1] + 1

    def offset(self, line: int, column: int) -> int:
        """Where a line and column stand in the text."""
        return self._starts[line - 1] + column - 1

    def line(self, number: int) -> str:
        """The text of a line, counted from 1, without its line break."""
        end = self._starts[number] if number < len(self._starts) else len(self.text)
        return self.text[self._starts[number - 1] : end].rstrip("\r\n")

    def span(self, start: int, end: int) -> Span:
        """The stretch between two offsets."""
        return Span(self.file, *self.place(start), *self.place(end))

"""What a YAML parser reported when it gave up, and the mistake behind it, both without the parser's own types."""

from __future__ import annotations

from dataclasses import dataclass

from synclint.documents.lines import Lines


@dataclass(frozen=True, slots=True)
class Stretch:
    """A scalar by its offsets: where it starts, where it ends, and whether it is quoted."""

    start: int
    end: int
    quoted: bool


@dataclass(frozen=True, slots=True)
class Failure:
    """What a parser reported when it gave up: its words and where, and what it had read until then."""

    lines: Lines
    said: str
    at: int
    since: int | None
    """Where the thing began that the parser was reading, if it said so."""
    opened: int | None
    """Where the innermost brace or bracket stands that is still open."""
    last: Stretch | None
    """The last scalar that was read."""

    @property
    def char(self) -> str:
        """The character the parser stopped at; nothing at the end of the file."""
        return self.lines.text[self.at : self.at + 1]

    @property
    def line(self) -> str:
        """The line the parser stopped on."""
        return self.lines.line(self.lines.place(self.at)[0])

    @property
    def rest(self) -> str:
        """The line from where the parser stopped."""
        return self.line[self.lines.place(self.at)[1] - 1 :]


@dataclass(frozen=True, slots=True)
class Cause:
    """The mistake behind a failure: where it stands, what it is, and what to write instead."""

    start: int
    end: int
    says: str
    fix: str = ""

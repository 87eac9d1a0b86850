"""The page of a rule: what its record says and its two example setups, as plain text and as Markdown."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from synclint.findings import Record
from synclint.report.words import HEADINGS, MENDED, source_words

EXAMPLES = Path(__file__).resolve().parents[1] / "rules" / "examples"
WIDTH = 88
_TERM = 14
"""Columns before the text of a term."""


@dataclass(frozen=True, slots=True)
class Example:
    """A small setup and what is to be seen in it."""

    title: str
    text: str


def examples(record: Record) -> list[Example]:
    """The setup that breaks a rule and the one that does not; problems of a file have none."""
    folder = EXAMPLES / record.name
    pair = (("A setup that breaks it", "broken"), ("The same, sound", "sound"))
    files = [(title, folder / f"{name}.setup.yaml") for title, name in pair]
    return [Example(title, file.read_text(encoding="utf-8").rstrip()) for title, file in files if file.is_file()]


def text_page(record: Record) -> str:
    """The page for a terminal or a pipe."""
    lines = [record.name, f"  {record.summary}", ""]
    for term, text in _terms(record):
        lead = f"  {term:<{_TERM - 2}}"
        lines += textwrap.wrap(text, WIDTH, initial_indent=lead, subsequent_indent=" " * _TERM) or [lead.rstrip()]
    for example in examples(record):
        lines += ["", f"{example.title}:", "", textwrap.indent(example.text, "    ")]
    return "\n".join(lines) + "\n"


def _terms(record: Record) -> Iterator[tuple[str, str]]:
    yield "level", record.level.value
    yield "hurts", HEADINGS[record.hurts].lower()
    yield "mended", MENDED[record.mended].lower()
    yield "why", record.why
    for number, failure in enumerate(record.answers):
        yield "" if number else "catches", failure
    for number, source in enumerate(record.sources):
        yield "" if number else "rests on", source_words(source)


def markdown_page(record: Record) -> str:
    """The page as a chapter of a Markdown document."""
    lines = [f"### {record.name}", "", f"{record.summary}.".replace("..", "."), ""]
    told = f"{record.level.value}; {HEADINGS[record.hurts].lower()}; mended {MENDED[record.mended].lower()}"
    lines += [f"*{told}*", "", record.why, ""]
    if record.answers:
        lines += ["Catches:", "", *(f"- {failure}" for failure in record.answers), ""]
    lines += ["Rests on:", "", *(f"- {source_words(source)}" for source in record.sources), ""]
    for example in examples(record):
        lines += [f"{example.title}:", "", "```yaml", example.text, "```", ""]
    return "\n".join(lines)

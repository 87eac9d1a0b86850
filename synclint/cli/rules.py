"""`synclint rules`: all rules, one a line, or all their pages."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING

from synclint.cli.common import SOUND, Parser

if TYPE_CHECKING:
    from synclint.findings import Record

SUMMARY = "list all rules, or print all their pages as Markdown"
DESCRIPTION = """\
Lists all rules by group: name, level, and what each finds. The level is the usual one; a slip
that costs nothing on a short take may be an error on a long one.
"""
EXAMPLES = """\
  synclint rules
  synclint rules | grep error
  synclint rules --format markdown > rules.md
"""
FILE_GROUP = "the file itself"


def add_arguments(parser: Parser) -> None:
    """Add what `rules` takes."""
    parser.add_argument(
        "--format",
        choices=["text", "markdown"],
        default="text",
        help="text: one a line; markdown: all pages (default: %(default)s)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the rules."""
    groups = _groups()
    if arguments.format == "markdown":
        print("\n".join(_markdown(groups)), end="")
    else:
        print("\n".join(_text(groups)))
    return SOUND


def _groups() -> dict[str, list[Record]]:
    """The records by group: those of rules as the catalogue has them, then those of problems of a file."""
    from synclint.records import RECORDS
    from synclint.rules.catalogue import GROUPS

    groups = {name: [rule.record for rule in rules] for name, rules in GROUPS.items()}
    of_rules = {record.name for records in groups.values() for record in records}
    groups[FILE_GROUP] = [record for name, record in RECORDS.items() if name not in of_rules]
    return {name: records for name, records in groups.items() if records}


def _text(groups: dict[str, list[Record]]) -> Iterator[str]:
    width = max((len(record.name) for records in groups.values() for record in records), default=0)
    for index, (name, records) in enumerate(groups.items()):
        if index:
            yield ""
        yield name.upper()
        yield from (f"  {record.name:<{width}}  {record.level.value:<7}  {record.summary}" for record in records)


def _markdown(groups: dict[str, list[Record]]) -> Iterator[str]:
    from synclint.cli.pages import markdown_page

    yield "# Rules\n"
    for name, records in groups.items():
        yield f"## {name.capitalize()}\n"
        yield from (markdown_page(record) for record in records)

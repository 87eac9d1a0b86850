"""Writes the table of failures into DEVELOPERS.md: `python tests/failures/table.py`."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from itertools import groupby
from pathlib import Path

ROOT = Path(__file__).parents[2]
if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))

from tests.failures.pairs import GROUPS, Pair, pairs  # noqa: E402 - found from the root, wherever this is started

DOCUMENT = ROOT / "DEVELOPERS.md"
BEGIN = "<!-- failures: written by tests/failures/table.py -->"
END = "<!-- end of failures -->"


def table(every: Iterable[Pair]) -> str:
    """The failures by group with what finds them and on what that rests, and how many there are."""
    told = sorted(every, key=lambda pair: (GROUPS.index(pair.group), pair.failure.casefold(), pair.name))
    lines = sum(pair.is_checklist for pair in told)
    rules = len({pair.rule for pair in told if not pair.is_checklist})
    opening = (
        f"{len(told)} failures: {len(told) - lines} are found by {rules} rules, and {lines} are lines of the "
        "checklist, which somebody looks at on the day."
    )
    return "\n".join((opening, "", *_rows(told)))


def _rows(told: Iterable[Pair]) -> Iterator[str]:
    yield "| failure | rule or checklist line | source |"
    yield "| --- | --- | --- |"
    for group, of_group in groupby(told, key=lambda pair: pair.group):
        yield f"| **{group}** | | |"
        yield from map(_row, of_group)


def _row(pair: Pair) -> str:
    found = f"checklist: `{pair.rule}`" if pair.is_checklist else f"`{pair.rule}`"
    return f"| {_cell(pair.failure)} | {found} | {_cell(pair.source)} |"


def _cell(text: str) -> str:
    return (text[:1].upper() + text[1:]).replace("|", "\\|")


def written(document: str, every: Iterable[Pair]) -> str:
    """A document with the table between its marks."""
    before, begin, rest = document.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        raise ValueError(f"{DOCUMENT.name} has no marks for the table: {BEGIN} and {END}")
    return f"{before}{BEGIN}\n\n{table(every)}\n\n{END}{after}"


if __name__ == "__main__":
    DOCUMENT.write_text(written(DOCUMENT.read_text(encoding="utf-8"), pairs()), encoding="utf-8")

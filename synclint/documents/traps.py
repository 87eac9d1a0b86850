"""Mistakes of writing that parse, but as something else than was meant."""

from __future__ import annotations

import re
from typing import Final

from synclint.documents.nodes import Entry, Scalar
from synclint.documents.records import UNKNOWN_KEY, WRONG_VALUE
from synclint.findings import Finding, Fix, Level, Place, Remove, shortened

SENTENCES: Final = frozenset({"why", "name", "title", "scene", "note", "about"})
"""The keys whose values are free text, where a `#` may be meant as text."""

_NO_SPACE: Final = re.compile(r"([A-Za-z_]\w*):(?!//)(\S.*)", re.DOTALL)
_CUT: Final = re.compile(r" (\# ?[0-9][^\r\n]*)")


def no_space_after_colon(key: Scalar, at: Place) -> Finding | None:
    """`{at:07:00}`, which is one long key: in braces a colon makes a key only with a space after it."""
    found = _NO_SPACE.fullmatch(key.text)
    if not found:
        return None
    says = "in braces a colon needs a space after it: {at: 07:00}"
    return WRONG_VALUE.finding(at=at, says=says, fix=Fix(f"Write `{shortened(f'{found[1]}: {found[2]}')}`"))


def key_without_value(key: Scalar, before: Entry | None, at: Place) -> Finding:
    """`{why: takes, stay short}`, where `stay short` is a key; `before` is the entry that the comma ended."""
    word = shortened(key.text)
    if before and isinstance(before.value, Scalar) and before.value.plain and before.value.text:
        says = f"in braces a comma ends the value, so `{word}` stands here as a key of its own, without a value"
        value = f"{before.key.text}: {before.value.text}"
        sentence = f'{before.key.text}: "{before.value.text}, {key.text}"'
        fix = f"If it belongs to `{shortened(value)}`, put the sentence in quotes: {shortened(sentence)}"
    else:
        says = f"`{word}` has no value; in braces every key has one"
        fix = f"Write `{word}: ` and its value, or a list in brackets: [{word}, ...]"
    return WRONG_VALUE.finding(at=at, says=says, fix=Fix(fix))


def merge_key(at: Place) -> Finding:
    """`<<`, which some YAML readers take for "merge this in here"."""
    says = "`<<` merges nothing here"
    fix = Fix("Use `like: DEVICE` in a setup, `based_on: TYPE` in a kit", (Remove(at),))
    return UNKNOWN_KEY.finding(at=at, says=says, fix=fix)


def not_a_number(value: Scalar, at: Place) -> Finding:
    """`.inf` and `.nan`, which no quantity of a rig can be."""
    fix = Fix("Write the number, or leave the key out if it is not known")
    return WRONG_VALUE.finding(at=at, says=f"`{value.text}` is YAML's word for something that is no number", fix=fix)


def tag(text: str, at: Place) -> Finding:
    """`!!str 012` or `!important`: a tag."""
    says = f"`{shortened(text)}` is a tag, and none are taken here"
    return WRONG_VALUE.finding(at=at, says=says, fix=Fix("Take it out; put a text that begins with ! in quotes"))


def comment_in(text: str, end: int) -> tuple[int, int] | None:
    """Where the text after offset `end`, the end of a sentence, looks like more of it that became a comment."""
    found = _CUT.match(text, end)
    return found.span(1) if found else None


def cut_by_comment(text: str, at: Place) -> Finding:
    """`why: box # 3 is spare`, which ends at `box`; only a warning, because it may be a comment."""
    says = f"`{shortened(text)}` is read as a comment, not as part of the text before it"
    fix = Fix("Put the whole text in quotes; if it is a comment, put two spaces before the #")
    return WRONG_VALUE.finding(at=at, says=says, fix=fix, level=Level.WARNING)

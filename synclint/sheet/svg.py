"""Scalable pictures written by hand: numbers in one form, text that no reader can mistake for markup."""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape, quoteattr


def number(value: float) -> str:
    """A coordinate, always in the same form: 12, 12.5, 0.25."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def visible(text: str) -> str:
    """A text with what XML cannot hold or an eye cannot see written out; it is not yet markup."""
    return "".join(each if each.isprintable() else each.encode("unicode_escape").decode("ascii") for each in text)


def shown(text: str) -> str:
    """A text for a person, with what XML cannot hold or an eye cannot see written out, ready to stand in markup."""
    return escape(visible(text))


def element(name: str, content: str | None = None, /, **attributes: str | float) -> str:
    """An element; `_` in the name of an attribute stands for `-`, and one behind it for nothing.

    The content is markup: a text goes through `shown` first.
    """
    told = "".join(f" {key.rstrip('_').replace('_', '-')}={_attribute(value)}" for key, value in attributes.items())
    return f"<{name}{told}/>" if content is None else f"<{name}{told}>{content}</{name}>"


def _attribute(value: str | float) -> str:
    return quoteattr(value if isinstance(value, str) else number(value))


def path(points: Iterable[tuple[float, float]]) -> str:
    """The points of a line as the `d` of a path."""
    return " ".join(f"{'L' if index else 'M'}{number(x)} {number(y)}" for index, (x, y) in enumerate(points))

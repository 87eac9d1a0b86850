"""A YAML document as a tree of nodes that know where they stand.

Nothing here knows of any YAML library or of what the keys mean.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from synclint.findings import Path, Place, Span

Value = str | int | Decimal | bool | None


@dataclass(frozen=True, slots=True)
class Scalar:
    """A single value: its source text as it stands, and what it means by the YAML 1.2 core set."""

    text: str
    value: Value
    span: Span
    plain: bool = True
    """Whether it is written without quotes; a quoted one is always a string."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One key of a mapping with its value."""

    key: Scalar
    value: Node


@dataclass(frozen=True, slots=True)
class MappingNode:
    """Keys and values in the order written; each key once."""

    entries: Mapping[str, Entry]
    span: Span

    def get(self, key: str) -> Node | None:
        """The node under a key, or None."""
        entry = self.entries.get(key)
        return entry.value if entry else None


@dataclass(frozen=True, slots=True)
class SequenceNode:
    """Items in the order written."""

    items: tuple[Node, ...]
    span: Span


Node = Scalar | MappingNode | SequenceNode


@dataclass(frozen=True, slots=True)
class Document:
    """A file of a known kind, such as `setup/1`, with its tree."""

    kind: str
    file: str
    root: MappingNode


def at(node: Node, path: Path) -> Place:
    """The place of a node that stands at `path`."""
    return Place(path, node.span)


def walk(node: Node, path: Path = ()) -> Iterator[tuple[Path, Node]]:
    """Every node below and including `node`, with its path, in the order written."""
    stack: list[tuple[Path, Node]] = [(path, node)]
    while stack:
        here, current = stack.pop()
        yield here, current
        if isinstance(current, MappingNode):
            stack += [((*here, key), entry.value) for key, entry in reversed(list(current.entries.items()))]
        elif isinstance(current, SequenceNode):
            stack += [((*here, index), item) for index, item in reversed(list(enumerate(current.items)))]


def find(node: Node, path: Path) -> Node | None:
    """The node at `path` below `node`, or None."""
    for step in path:
        if isinstance(node, MappingNode) and isinstance(step, str) and step in node.entries:
            node = node.entries[step].value
        elif isinstance(node, SequenceNode) and isinstance(step, int) and step < len(node.items):
            node = node.items[step]
        else:
            return None
    return node

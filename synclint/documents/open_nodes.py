"""Mappings and sequences whose end has not been read yet."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, TypeAlias

from synclint.documents.nodes import Entry, MappingNode, Node, Scalar, SequenceNode
from synclint.findings import Path, Span

Event: TypeAlias = Any
"""An event of the YAML library, which gives them no types."""
Mark: TypeAlias = Any
"""Where such an event stands: `line` and `column` from 0, and `index`, its offset."""


@dataclass(slots=True)
class OpenMapping:
    """A mapping while its entries are read."""

    start: Mark
    flow: bool
    """Whether it is written in braces."""
    anchor: str | None
    end: Span | None = None
    """The place of what stands last in it so far."""
    entries: dict[str, Entry] = field(default_factory=dict)
    key: Scalar | None = None
    """The key whose value has not been read."""
    before: Entry | None = None
    """The last entry that had a value, kept or not."""
    bare: bool = False
    """Whether the last entry was a key without colon and value."""

    @property
    def step(self) -> Path:
        """What the path of its current value adds to its own."""
        return (self.key.text,) if self.key else ()

    def node(self, span: Span) -> Node:
        """The finished mapping."""
        return MappingNode(self.entries, span)


@dataclass(slots=True)
class OpenSequence:
    """A sequence while its items are read."""

    start: Mark
    flow: bool
    """Whether it is written in brackets."""
    anchor: str | None
    end: Span | None = None
    """The place of what stands last in it so far."""
    items: list[Node] = field(default_factory=list)

    @property
    def step(self) -> Path:
        """What the path of its next item adds to its own."""
        return (len(self.items),)

    def node(self, span: Span) -> Node:
        """The finished sequence."""
        return SequenceNode(tuple(self.items), span)


Open = OpenMapping | OpenSequence

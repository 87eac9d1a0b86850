"""How the nodes of a tree lie in their text: in braces or in lines of their own, how far indented, where they end."""

from __future__ import annotations

import re
from typing import Final

from synclint.documents.changes import CannotEditError
from synclint.documents.lines import Lines
from synclint.documents.nodes import MappingNode, Node, Scalar, SequenceNode

Stretch = tuple[int, int]
"""A start and an end, as offsets."""

_BREAK: Final = re.compile(r"\r\n|\n|\r")
_PROPERTIES: Final = re.compile(r"(?:[&!]\S*\s+)*")
"""The anchor and tag before a collection."""


class Layout:
    """The nodes of one text as stretches of it."""

    def __init__(self, lines: Lines) -> None:
        """Look at the text that has been cut into `lines`."""
        self.text = lines.text
        self._lines = lines
        found = _BREAK.search(self.text)
        self.line_break = found[0] if found else "\n"
        """What ends the lines of this text."""

    def stretch(self, node: Node) -> Stretch:
        """Where a node stands."""
        span = node.span
        return self._lines.offset(span.line, span.column), self._lines.offset(span.end_line, span.end_column)

    # --- lines ---

    def line_start(self, offset: int) -> int:
        """Where the line of an offset begins."""
        return self._lines.offset(self._lines.place(offset)[0], 1)

    def line_end(self, offset: int) -> int:
        """Where the line of an offset ends, before its line break."""
        found = _BREAK.search(self.text, offset)
        return found.start() if found else len(self.text)

    def next_line(self, offset: int) -> int:
        """Where the line after that of an offset begins, or the text ends."""
        found = _BREAK.search(self.text, offset)
        return found.end() if found else len(self.text)

    def end_of_line_before(self, offset: int) -> int:
        """Where the line before that of an offset ends."""
        start = self.line_start(offset)
        return start - (2 if self.text[:start].endswith("\r\n") else min(start, 1))

    def begins_its_line(self, offset: int) -> bool:
        """Whether nothing but blanks stands before an offset on its line."""
        return not self.text[self.line_start(offset) : offset].strip()

    # --- collections ---

    def is_block(self, node: Node) -> bool:
        """Whether a collection is written in lines, or a text below `|` or `>`; an alias is neither."""
        start = self._opening(node)
        if isinstance(node, Scalar):
            return node.plain is False and self.text[start : start + 1] in {"|", ">"}
        return self.text[start : start + 1] not in {"{", "[", "*"}

    def _opening(self, node: Node) -> int:
        """Where a collection begins after its anchor and tag."""
        start = self.stretch(node)[0]
        found = _PROPERTIES.match(self.text, start)
        return found.end() if found and not isinstance(node, Scalar) else start

    def inside(self, node: Node) -> Stretch:
        """What stands between the braces or brackets of a node."""
        return self._opening(node) + 1, self.stretch(node)[1] - 1

    def children(self, node: MappingNode | SequenceNode) -> list[Stretch]:
        """The entries of a mapping from key to value, or the items of a list, in a block from their dashes."""
        if isinstance(node, MappingNode):
            entries = node.entries.values()
            return [(self.stretch(each.key)[0], self.stretch(each.value)[1]) for each in entries]
        items = [self.stretch(item) for item in node.items]
        if not self.is_block(node):
            return items
        column, found, after = self.dash_column(node), list[Stretch](), self._opening(node)
        for start, end in items:
            found.append((self._dash(column, after, start), end))
            after = end
        return found

    def indent(self, key: Scalar) -> str:
        """The blanks before the keys of a block, of which one is given."""
        return " " * (key.span.column - 1)

    def dash_column(self, node: SequenceNode) -> int:
        """How many characters stand before the dashes of a block."""
        opening = self._opening(node)
        return opening - self.line_start(opening)

    def _dash(self, column: int, after: int, before: int) -> int:
        """The dash of an item that begins at `before`: the last one in its column after the item above."""
        line = self.line_start(before)
        while line + column >= after:
            at = line + column
            if at <= before and self.text[at : at + 1] == "-" and (at == after or self.begins_its_line(at)):
                return at
            if line == 0:
                break
            line = self.line_start(line - 1)
        raise CannotEditError("the dash of an item is not found; edit it by hand")

    # --- comments ---

    def has_comment(self, node: Node) -> bool:
        """Whether a comment stands inside a node."""
        start, end = self.stretch(node)
        if self.text[start : start + 1] == "*":
            return False
        if isinstance(node, Scalar):
            return self.is_block(node) and "#" in self.text[start : self.line_end(start)]
        return any("#" in self.text[slice(*gap)] for gap in self._gaps(node, start, end))

    def _gaps(self, node: MappingNode | SequenceNode, start: int, end: int) -> list[Stretch]:
        """What lies between the values and keys of a collection, outside of all of them."""
        leaves = sorted(self._leaves(node))
        edges = [start, *(edge for leaf in leaves for edge in leaf), end]
        return list(zip(edges[::2], edges[1::2], strict=True))

    def _leaves(self, node: MappingNode | SequenceNode) -> list[Stretch]:
        """Where the keys and single values of a collection stand; an alias is one, whatever it refers to."""
        found: list[Stretch] = []
        pending: list[Node] = [node]
        while pending:
            each = pending.pop()
            start, end = self.stretch(each)
            if isinstance(each, Scalar) or self.text[start : start + 1] == "*":
                found.append((start, end))
            elif isinstance(each, MappingNode):
                pending += [part for entry in each.entries.values() for part in (entry.key, entry.value)]
            else:
                pending += each.items
        return found

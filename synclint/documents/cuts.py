"""Which stretches of a text are replaced by what, so that its tree changes as it is to."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from synclint.documents.changes import CannotEditError, Change, Changes, ClashingEditsError
from synclint.documents.layout import Layout, Stretch
from synclint.documents.lines import Lines
from synclint.documents.nodes import MappingNode, Node, Scalar, SequenceNode
from synclint.documents.reading import OPENING

_INDENT: Final = "  "
_ONLY_COMMAS: Final = re.compile(r"[\s,]*")


@dataclass(frozen=True, slots=True, order=True)
class Cut:
    """A stretch of text, by its offsets, with what stands in its place; `rank` orders what is put in at one spot."""

    start: int
    end: int
    rank: int
    text: str


def cuts_of(lines: Lines, changes: Changes) -> list[Cut]:
    """The cuts that changes come to; raises `CannotEditError` where one would take something along with it."""
    layout = Layout(lines)
    return [cut for change in changes.by_span.values() for cut in _cuts(layout, change)]


def _cuts(layout: Layout, change: Change) -> Iterator[Cut]:
    node = change.node
    if change.value is not None:
        if change.keys or change.lists or change.items or change.names or change.removed:
            raise ClashingEditsError("a value is to be replaced, and another edit changes something inside it")
        yield _set(layout, node, change.value.text, change.depth)
        return
    if isinstance(node, Scalar):
        yield from _grown(layout, node, change)
        return
    if change.removed:
        yield from _taken_out(layout, node, change)
    if isinstance(node, SequenceNode):
        if change.items:
            yield _put_in(layout, node, [item.text for item in change.items], change.depth)
        return
    for key, name in change.names.items():
        yield Cut(*layout.stretch(node.entries[key].key), 0, name)
    if change.keys or change.lists:
        yield from _new_keys(layout, node, change)


# --- values ----------------------------------------------------------------------------------------------------


def _set(layout: Layout, node: Node, value: str, depth: int) -> Cut:
    """Put a value in the place of a node."""
    start, end = layout.stretch(node)
    text = layout.text
    if layout.has_comment(node):
        raise CannotEditError("a comment stands inside what is to be replaced; edit it by hand")
    if start == end:
        before = "" if text[start - 1 : start].isspace() else " "
        after = "" if text[start : start + 1] in ("", " ", "\t", "\r", "\n", ",", "}", "]") else " "
        return Cut(start, end, -depth, f"{before}{value}{after}")
    above = len(text[:start].rstrip())
    if layout.is_block(node) and layout.line_start(start) >= above:  # it stands below its key
        if text[above - 1 : above] in {":", "-"}:
            return Cut(above, end, -depth, f" {value}")
        # A comment stands behind the key; dashes may stand in the column of the key, and a value may not.
        value = f"{_INDENT}{value}" if isinstance(node, SequenceNode) else value
    return Cut(start, end, -depth, value)


def _grown(layout: Layout, node: Scalar, change: Change) -> Iterator[Cut]:
    """Make a list or a mapping of a single value, or of none."""
    start, end = layout.stretch(node)
    if change.items and (change.keys or change.lists):
        raise ClashingEditsError("one edit makes a list of a value, and another a mapping")
    if change.items:
        own = [layout.text[start:end]] if start < end else []
        yield _set(layout, node, f"[{', '.join([*own, *(item.text for item in change.items)])}]", change.depth)
    elif change.keys or change.lists:
        yield _set(layout, node, f"{{{', '.join(_in_braces(change))}}}", change.depth)


# --- what is put in --------------------------------------------------------------------------------------------


def _in_braces(change: Change) -> list[str]:
    """New keys and lists as they stand in braces."""
    lists = (f"{key}: [{', '.join(item.text for item in items)}]" for key, items in change.lists.items())
    return [*(f"{key}: {value.text}" for key, value in change.keys.items()), *lists]


def _new_keys(layout: Layout, node: MappingNode, change: Change) -> Iterator[Cut]:
    if not layout.is_block(node):
        yield _into_flow(layout, node, _in_braces(change), change.depth)
        return
    first = next(iter(node.entries.values()), None)
    if first is None:
        raise CannotEditError("nothing can be read of what stands here; edit it by hand")
    indent = layout.indent(first.key)
    entries = [f"{indent}{key}: {value.text}" for key, value in change.keys.items() if not _opens(change, key)]
    for key, items in change.lists.items():
        entries += [f"{indent}{key}:", *(f"{indent}{_INDENT}- {item.text}" for item in items)]
    for key, value in change.keys.items():
        if _opens(change, key):  # what says what kind of document it is stands first
            start = layout.stretch(first.key)[0]
            yield Cut(start, start, -1, f"{key}: {value.text}{layout.line_break}{indent}")
    if entries:
        yield _below(layout, node, entries, change.depth)


def _opens(change: Change, key: str) -> bool:
    return key == OPENING and change.depth == 0


def _put_in(layout: Layout, node: SequenceNode, items: Sequence[str], depth: int) -> Cut:
    if not layout.is_block(node):
        return _into_flow(layout, node, items, depth)
    indent = " " * layout.dash_column(node)
    return _below(layout, node, [f"{indent}- {item}" for item in items], depth)


def _into_flow(layout: Layout, node: MappingNode | SequenceNode, pieces: Sequence[str], depth: int) -> Cut:
    """Put entries or items in before the closing brace or bracket."""
    joined = ", ".join(pieces)
    children = layout.children(node)
    if children:
        end = children[-1][1]
        space = " " if layout.text[end - 1 : end] == ":" else ""  # `{a:, b: 1}` is no YAML
        return Cut(end, end, -depth, f"{space}, {joined}")
    start, end = layout.inside(node)
    if layout.text[start:end].isspace() or start == end:
        return Cut(start, end, -depth, joined)
    return Cut(start, start, -depth, f"{joined}, ")


def _below(layout: Layout, node: MappingNode | SequenceNode, entries: Sequence[str], depth: int) -> Cut:
    """Put lines in below the last one of a block."""
    at = layout.line_end(layout.children(node)[-1][1])
    return Cut(at, at, -depth, "".join(f"{layout.line_break}{each}" for each in entries))


# --- what is taken out -----------------------------------------------------------------------------------------


def _taken_out(layout: Layout, node: MappingNode | SequenceNode, change: Change) -> Iterator[Cut]:
    steps: Sequence[str | int] = list(node.entries) if isinstance(node, MappingNode) else list(range(len(node.items)))
    gone = [step in change.removed for step in steps]
    if any(step in change.names for step in change.removed):
        raise ClashingEditsError("a key is to be renamed and taken out")
    if all(gone):
        if change.depth == 0 or change.keys or change.lists or change.items:
            raise ClashingEditsError("all is to be taken out here, and something to stay")
        yield _set(layout, node, "{}" if isinstance(node, MappingNode) else "[]", change.depth)
    elif layout.is_block(node):
        yield from _out_of_block(layout, layout.children(node), gone)
    else:
        yield from _out_of_flow(layout, layout.children(node), gone)


def _runs(gone: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """The first and last of every run of what is taken out."""
    first: int | None = None
    for index, out in enumerate((*gone, False)):
        if out and first is None:
            first = index
        elif not out and first is not None:
            yield first, index - 1
            first = None


def _out_of_flow(layout: Layout, children: Sequence[Stretch], gone: Sequence[bool]) -> Iterator[Cut]:
    for first, last in _runs(gone):
        before, after = children[first - 1][1] if first else None, children[last + 1 :]
        start, end = (children[first][0], after[0][0]) if after else (before or 0, children[last][1])
        for index in range(max(first - 1, 0) if not after else first, last + 1 if after else last):
            if not _ONLY_COMMAS.fullmatch(layout.text, children[index][1], children[index + 1][0]):
                raise CannotEditError("a comment or a mark stands beside what is to be taken out; edit it by hand")
        yield Cut(start, end, 0, "")


def _out_of_block(layout: Layout, children: Sequence[Stretch], gone: Sequence[bool]) -> Iterator[Cut]:
    for first, last in _runs(gone):
        start, end = children[first][0], children[last][1]
        if layout.begins_its_line(start):
            yield from _whole_lines(layout, children[first : last + 1])
            continue
        # A dash stands before it, and what follows moves up to there.
        after = children[last + 1][0] if last + 1 < len(children) else start
        if layout.text[layout.next_line(end) : after].strip() or after <= end:
            raise CannotEditError("a comment stands beside what is to be taken out; edit it by hand")
        yield Cut(start, after, 0, "")


def _whole_lines(layout: Layout, children: Sequence[Stretch]) -> Iterator[Cut]:
    """Cut lines, with the break after each, or where the text ends without one with the break before."""
    ends_bare = layout.next_line(children[-1][1]) == layout.line_end(children[-1][1])
    for start, end in children:
        if ends_bare:
            yield Cut(layout.end_of_line_before(start), layout.line_end(end), 0, "")
        else:
            yield Cut(layout.line_start(start), layout.next_line(end), 0, "")

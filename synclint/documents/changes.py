"""Edits as changes of the nodes of a tree: each edit is looked up, and those of one node come together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from synclint.documents.lines import Lines
from synclint.documents.nodes import MappingNode, Node, Scalar, SequenceNode, find
from synclint.documents.yamltree import NotYamlError, parse
from synclint.findings import AddItem, AddKey, Edit, Place, Remove, RenameKey, SetValue, Span, shortened


class CannotEditError(Exception):
    """An edit cannot be made; the message says why, for the person who asked for it."""


class ClashingEditsError(CannotEditError):
    """Two edits contradict each other, or change the same stretch of a file."""


@dataclass(frozen=True, slots=True)
class NewValue:
    """A value that is to be written: its YAML source text, and the node that it is by itself."""

    text: str
    node: Node


@dataclass
class Change:
    """All that is to become of one node of the tree."""

    node: Node
    depth: int
    value: NewValue | None = None
    """What stands in its place."""
    keys: dict[str, NewValue] = field(default_factory=dict)
    """What a mapping gets in addition."""
    lists: dict[str, list[NewValue]] = field(default_factory=dict)
    """The lists that a mapping gets in addition, by their keys."""
    items: list[NewValue] = field(default_factory=list)
    """What a list gets in addition; a single value becomes a list with them."""
    names: dict[str, str] = field(default_factory=dict)
    """The new names of keys of a mapping."""
    removed: set[str | int] = field(default_factory=set)
    """The keys or numbers of what is taken out."""


@dataclass
class Changes:
    """The changes of a file by where their nodes stand: what several devices share stands once, and changes once."""

    by_span: dict[Span, Change] = field(default_factory=dict)

    def of(self, node: Node) -> Change | None:
        """The change of a node, if there is one."""
        return self.by_span.get(node.span)


def collect(lines: Lines, root: Node, edits: Iterable[Edit]) -> Changes:
    """The changes that edits come to in a tree; raises `CannotEditError` for one that cannot be made there."""
    collector = _Collector(lines, root)
    for edit in dict.fromkeys(edits):
        collector.take(edit)
    return collector.changes


class _Collector:
    """Looks edits up in a tree."""

    def __init__(self, lines: Lines, root: Node) -> None:
        self.changes = Changes()
        self._lines = lines
        self._root = root

    def take(self, edit: Edit) -> None:
        """Add an edit to the changes."""
        place = edit.place
        if place.span.file != self._lines.file:
            raise CannotEditError(f"this is an edit of {shortened(place.span.file)}")
        match edit:
            case SetValue():
                self._set(self._at(place), _value(edit.value), place)
            case AddKey():
                self._add_key(self._at(place), edit.key, _value(edit.value), place)
            case AddItem(key=""):
                self._add_item(self._at(place), _value(edit.value), place)
            case AddItem():
                self._add_item_under(self._at(place), edit.key, _value(edit.value), place)
            case RenameKey():
                self._rename(place, edit.name)
            case Remove():
                self._remove(place)

    # --- where ---

    def _at(self, place: Place) -> Change:
        """The change of the node at a place."""
        node = find(self._root, place.path)
        if node is None or node.span != place.span:
            raise CannotEditError(f"the file has been changed since it was read: {_spot(place)} is no longer there")
        return self._change(node, len(place.path))

    def _change(self, node: Node, depth: int) -> Change:
        return self.changes.by_span.setdefault(node.span, Change(node, depth))

    def _holder(self, place: Place) -> tuple[Change, str | int, Node]:
        """What holds an entry or item, and the key or number under which it does; the place is its value's or key's."""
        if not place.path:
            raise CannotEditError("the whole file is no entry of anything")
        *above, step = place.path
        holder, node = find(self._root, tuple(above)), find(self._root, place.path)
        spans = {node.span, *(_key_span(holder, step))} if node is not None else set()
        if holder is None or node is None or place.span not in spans:
            raise CannotEditError(f"the file has been changed since it was read: {_spot(place)} is no longer there")
        return self._change(self._written(holder, place), len(above)), step, node

    def _written(self, node: Node, place: Place) -> Node:
        """A collection that stands here itself, and is not repeated by an alias."""
        if self._lines.text[self._lines.offset(node.span.line, node.span.column) :][:1] == "*":
            raise CannotEditError(f"an alias stands at {_spot(place)}; edit what it refers to by hand")
        return node

    # --- the edits ---

    def _set(self, change: Change, value: NewValue, place: Place) -> None:
        if change.value is not None and change.value.text != value.text:
            says = f"{_spot(place)} is to be both {shortened(change.value.text)} and {shortened(value.text)}"
            raise ClashingEditsError(says)
        change.value = value

    def _add_key(self, change: Change, key: str, value: NewValue, place: Place) -> None:
        entry = change.node.entries.get(key) if isinstance(change.node, MappingNode) else None
        if entry is not None and _is_nothing(entry.value):  # the key stands there, and waits for its value
            below = Place((*place.path, key), entry.value.span)
            self._set(self._change(entry.value, len(below.path)), value, below)
            return
        _check_key(key)
        self._check_new(change, key, place)
        known = change.keys.get(key)
        joined = value if known is None else _joined(known, value)
        if joined is None:
            raise ClashingEditsError(f"{_spot(place)} is to get two different values of {shortened(key)}")
        change.keys[key] = joined

    def _check_new(self, change: Change, key: str, place: Place) -> None:
        """Refuse to add a key where it stands, and where no key can stand."""
        node = change.node
        if isinstance(node, MappingNode):
            self._written(node, place)
            if key in node.entries:
                raise ClashingEditsError(f"{_spot(place)} has a key {shortened(key)} already")
        elif not _is_nothing(node):
            raise CannotEditError(f"{_spot(place)} is no mapping, and takes no key {shortened(key)}")

    def _add_item(self, change: Change, value: NewValue, place: Place) -> None:
        if isinstance(change.node, MappingNode):
            raise CannotEditError(f"{_spot(place)} is a mapping, and takes no item")
        if isinstance(change.node, SequenceNode):
            self._written(change.node, place)
        change.items.append(value)

    def _add_item_under(self, change: Change, key: str, value: NewValue, place: Place) -> None:
        node = change.node
        entry = node.entries.get(key) if isinstance(node, MappingNode) else None
        if entry is not None:
            below = Place((*place.path, key), entry.value.span)
            self._add_item(self._change(entry.value, len(below.path)), value, below)
            return
        _check_key(key)
        self._check_new(change, key, place)
        change.lists.setdefault(key, []).append(value)

    def _rename(self, place: Place, name: str) -> None:
        _check_key(name)
        change, key, _ = self._holder(place)
        if not isinstance(change.node, MappingNode) or not isinstance(key, str):
            raise CannotEditError(f"{_spot(place)} is an item of a list, and has no key")
        if change.names.setdefault(key, name) != name:
            raise ClashingEditsError(f"{_spot(place)} is to be renamed twice")
        if name in change.node.entries:
            raise ClashingEditsError(f"there is a {shortened(name)} beside {_spot(place)} already")

    def _remove(self, place: Place) -> None:
        change, step, _ = self._holder(place)
        change.removed.add(step)


def _joined(one: NewValue, other: NewValue) -> NewValue | None:
    """Two new values of one key as one: mappings take each other's keys in; None where they contradict each other."""
    if one.text == other.text:
        return one
    mine, theirs = _written_entries(one), _written_entries(other)
    if mine is None or theirs is None:
        return None
    entries = dict(mine)
    for key, value in theirs.items():
        both = _joined(entries[key], value) if key in entries else value
        if both is None:
            return None
        entries[key] = both
    return _value(f"{{{', '.join(f'{key}: {value.text}' for key, value in entries.items())}}}")


def _written_entries(value: NewValue) -> dict[str, NewValue] | None:
    """The entries of a mapping in braces, by their keys as written; None of any other value."""
    node = value.node
    if not isinstance(node, MappingNode) or not value.text.startswith("{"):
        return None
    written = ((_source(value, entry.key), entry.value) for entry in node.entries.values())
    return {key: NewValue(_source(value, below), below) for key, below in written}


def _source(value: NewValue, node: Node) -> str:
    """How a node inside of a value is written; a value stands on one line."""
    begin = value.node.span.column
    return value.text[node.span.column - begin : node.span.end_column - begin]


def _spot(place: Place) -> str:
    """A place as a sentence names it."""
    return f"{shortened(str(place)) or 'the file'} (line {place.span.line})"


def _key_span(holder: Node | None, step: str | int) -> tuple[Span, ...]:
    if not isinstance(holder, MappingNode) or step not in holder.entries:
        return ()
    return (holder.entries[str(step)].key.span,)


def _is_nothing(node: Node) -> bool:
    """Whether nothing stands at a node but its key."""
    return isinstance(node, Scalar) and node.plain and not node.text


def _check_key(key: str) -> None:
    node = _value(key).node
    if not (isinstance(node, Scalar) and node.plain and node.text == key):
        raise CannotEditError(f"{shortened(key)} is no key")


def _value(text: str) -> NewValue:
    """A value to be written, if it is one by itself, on one line, and without a comment."""
    text = text.strip()
    try:
        parsed = parse(text, "")
    except NotYamlError as error:
        raise CannotEditError(f"{shortened(text)} is no value: {error.finding.sentence}") from error
    root = parsed.root
    whole = Span("", 1, 1, 1, len(text) + 1)
    if root is None or root.span != whole or parsed.problems:
        raise CannotEditError(f"{shortened(text)} is no value that can be written on one line")
    return NewValue(text, root)

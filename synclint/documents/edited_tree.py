"""What a tree says, without its places, and what it says once changes are made to it."""

from __future__ import annotations

from typing import TypeAlias

from synclint.documents.changes import Change, Changes
from synclint.documents.nodes import MappingNode, Node, Scalar, SequenceNode, Value

Said: TypeAlias = "tuple[str, Value, bool] | dict[str, Said] | list[Said]"
"""A scalar as its text, its value and whether it is written without quotes; a mapping; or a list."""

_NO_CHANGES = Changes()


def as_values(node: Node) -> Said:
    """What a tree says."""
    return with_changes(node, _NO_CHANGES)


def with_changes(node: Node, changes: Changes) -> Said:
    """What a tree says once changes are made to it; the parser has bounded how deep it can be."""
    change = changes.of(node)
    if change is not None and change.value is not None:
        return as_values(change.value.node)
    if isinstance(node, MappingNode):
        return _mapping(node, change, changes)
    if isinstance(node, SequenceNode):
        removed = change.removed if change else set()
        kept = [with_changes(item, changes) for index, item in enumerate(node.items) if index not in removed]
        return kept + _new_items(change)
    return _scalar(node, change)


def _mapping(node: MappingNode, change: Change | None, changes: Changes) -> Said:
    if change is None:
        return {key: with_changes(entry.value, changes) for key, entry in node.entries.items()}
    kept = {
        change.names.get(key, key): with_changes(entry.value, changes)
        for key, entry in node.entries.items()
        if key not in change.removed
    }
    return kept | _new_keys(change)


def _scalar(node: Scalar, change: Change | None) -> Said:
    said: Said = (node.text, node.value, node.plain)
    if change is None or not (change.items or change.keys or change.lists):
        return said
    nothing = node.plain and not node.text
    return ([] if nothing else [said]) + _new_items(change) if change.items else _new_keys(change)


def _new_keys(change: Change) -> dict[str, Said]:
    lists: dict[str, Said] = {key: [as_values(each.node) for each in items] for key, items in change.lists.items()}
    return {key: as_values(value.node) for key, value in change.keys.items()} | lists


def _new_items(change: Change | None) -> list[Said]:
    return [as_values(item.node) for item in change.items] if change else []

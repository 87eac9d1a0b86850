"""The kits of a setup: their types with all that they take over, and the numbered pieces on the shelf."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass

from synclint.documents.nodes import Document, MappingNode, Node, Scalar, SequenceNode
from synclint.documents.records import CIRCULAR_INHERITANCE, CLASHING_NAMES
from synclint.findings import Mention, shortened
from synclint.rig.reading import Desk, overlaid, without

_OWN_TO_A_TYPE = frozenset({"based_on", "about"})


@dataclass(frozen=True, slots=True)
class Shelf:
    """Everything the kits offer: types by name, pieces by serial number."""

    types: Mapping[str, Node]
    items: Mapping[str, MappingNode]
    complete: bool = True
    """Whether all kits could be read; where not, a name that is missing may stand in one that was not."""


def shelve(desk: Desk, kits: Iterable[Document]) -> Shelf:
    """Put the kits together; names given twice, unknown bases and circles are told."""
    written: dict[str, MappingNode] = {}
    items: dict[str, MappingNode] = {}
    for kit in kits:
        types = kit.root.get("types")
        if isinstance(types, MappingNode):
            for name, entry in types.entries.items():
                if isinstance(entry.value, MappingNode) and _is_new(desk, "type", name, entry.value, written.get(name)):
                    written[name] = entry.value
        pieces = kit.root.get("items")
        for piece in pieces.items if isinstance(pieces, SequenceNode) else ():
            serial = piece.get("serial") if isinstance(piece, MappingNode) else None
            if not isinstance(piece, MappingNode) or not isinstance(serial, Scalar):
                continue
            if _is_new(desk, "piece with the serial number", serial.text, piece, items.get(serial.text)):
                items[serial.text] = piece
    for piece in items.values():
        kind = piece.get("type")
        if isinstance(kind, Scalar) and kind.text not in written:
            desk.unknown_name(desk.place(kind), "type", kind.text, written)
    return Shelf(_complete(desk, written), items)


def _is_new(desk: Desk, what: str, name: str, node: MappingNode, first: MappingNode | None) -> bool:
    """Whether a name is given for the first time; the second is told."""
    if first is None:
        return True
    desk.problems.append(
        CLASHING_NAMES.finding(
            at=desk.place(node),
            says=f"the {what} {shortened(name)} stands in the kits twice; the first is taken",
            also=(Mention(desk.place(first), "the first"),),
        )
    )
    return False


def _complete(desk: Desk, written: Mapping[str, MappingNode]) -> dict[str, Node]:
    """Every type with what it takes over from the types it is based on."""
    complete: dict[str, Node] = {}
    for name in written:
        for each in chain(desk, written, name, "based_on", "type", complete):
            own = without(desk, written[each], _OWN_TO_A_TYPE)
            base = written[each].get("based_on")
            under = complete.get(base.text) if isinstance(base, Scalar) else None
            merged = overlaid(desk, under, own)
            if merged is not None:
                complete[each] = merged
    return complete


def chain(
    desk: Desk, written: Mapping[str, MappingNode], name: str, key: str, kind: str, done: Container[str]
) -> list[str]:
    """A name and all that it takes over from, the farthest first, up to what is done already.

    A circle or an unknown name ends it and is told.
    """
    found: dict[str, None] = {}
    while name not in done:
        found[name] = None
        node = written[name].get(key)
        if not isinstance(node, Scalar):
            break
        name = node.text
        if name not in written:
            desk.unknown_name(desk.place(node), kind, name, written)
            break
        if name in found:
            names = list(found)
            way = shortened(" to ".join((*names[names.index(name) :], name)), 200)
            desk.tell(CIRCULAR_INHERITANCE, desk.place(node), f"{shortened(name)} takes over from itself: {way}")
            desk.names_resolve = False
            break
    return list(found)[::-1]

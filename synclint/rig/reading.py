"""Nodes of a document to facts: each value read once, with its place, and every problem told."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any, TypeVar

from synclint.documents.nearest import nearest
from synclint.documents.nodes import Document, Entry, MappingNode, Node, Scalar, SequenceNode, walk
from synclint.documents.records import UNKNOWN_NAME, WRONG_UNIT, WRONG_VALUE
from synclint.findings import Edit, Fact, Finding, Fix, Path, Place, Record, SetValue, Span, listed, shortened, unknown
from synclint.trade.quantities import QuantityError
from synclint.trade.rates import AmbiguousRateError

T = TypeVar("T")

NameEdit = Callable[[Place, str], Edit | None]


def no_edit(_place: Place, _name: str) -> None:
    """No edit: the name is one of a range, and stands nowhere by itself."""


@dataclass
class Desk:
    """What a build works with: the places of all nodes, and the problems found so far."""

    problems: list[Finding] = field(default_factory=list)
    names_resolve: bool = True
    facts: dict[tuple[int, object], Fact[Any]] = field(default_factory=dict)
    """What has been read already: by node and by what read it."""
    _paths: dict[int, Path] = field(default_factory=dict)
    _kept: list[Node] = field(default_factory=list)
    name_places: dict[int, Place] = field(default_factory=dict)
    """Where the names of the devices stand, by the identity of the node below; it is there that people look."""
    _told: set[int] = field(default_factory=set)
    _misnamed: set[Span] = field(default_factory=set)
    _names_compared: int = 0
    _work: int = 0

    def register(self, document: Document) -> None:
        """Remember the path of every node of a document."""
        self._kept.append(document.root)
        self._paths.update((id(node), path) for path, node in walk(document.root))

    def place(self, node: Node) -> Place:
        """Where a node stands."""
        return Place(self._paths.get(id(node), ()), node.span)

    def key_place(self, mapping: MappingNode, key: str) -> Place:
        """Where a key itself stands."""
        entry = mapping.entries[key]
        # By the value's own path: in a mapping of several layers the entry may stand in another than the uppermost.
        path = self._paths.get(id(entry.value)) or (*self._paths.get(id(mapping), ()), key)
        return Place(path, entry.key.span)

    def adopt(self, node: MappingNode, like: Node) -> MappingNode:
        """Give a merged mapping the place of the one it was made from."""
        self._kept.append(node)
        self._paths[id(node)] = self._paths.get(id(like), ())
        return node

    def first_time(self, node: Node) -> bool:
        """Whether this is the first time that something is told of a node."""
        new = id(node) not in self._told
        self._told.add(id(node))
        return new

    def tell(self, record: Record, at: Place, says: str, fix: Fix | None = None) -> None:
        """Note a problem of the file."""
        self.problems.append(record.finding(at=at, says=says, fix=fix))

    def unknown_name(
        self, at: Place, kind: str, name: str, legal: Iterable[str], note: str = "", edit: NameEdit = SetValue
    ) -> None:
        """Note a name that is declared nowhere, with the nearest that is; rules then do not run.

        It is told once a place: a range, or devices that are like each other, share the word that is wrong. `edit`
        makes of the place and the near name what puts it right, where the name is not all that stands there.
        """
        self._unknown(at, name, f"{shortened(name)} is not a {kind}", tuple(legal), note, edit)

    def unknown_port(
        self,
        at: Place,
        device: str,
        name: str,
        ports: Iterable[str],
        edit: NameEdit = SetValue,
        besides: tuple[str, ...] = (),
    ) -> None:
        """Note a port that a device does not have, with those that it has; `besides` are names that would do too."""
        has = sorted(ports)
        these = f"; its {'ports are' if len(has) > 1 else 'only port is'} {listed(has, 12)}"
        self._unknown(at, name, f"{device} has no port {shortened(name)}", (*besides, *has), these, edit)

    def _unknown(self, at: Place, name: str, says: str, legal: tuple[str, ...], note: str, edit: NameEdit) -> None:
        self.names_resolve = False
        if at.span in self._misnamed:
            return
        self._misnamed.add(at.span)
        close = self._nearest(name, legal)
        hint = f" (did you mean {close}?)" if close else ""
        put_right = edit(at, close) if close else None
        fix = Fix(f"Write {close}, or declare {shortened(name)}", (put_right,) if put_right else ()) if close else None
        self.tell(UNKNOWN_NAME, at, f"{says}{hint}{note}", fix)

    def wrong_word(self, at: Place, word: str, says: str, legal: Iterable[str], example: str) -> None:
        """Note a word that is none of those that would do, with the nearest of them, or else an example."""
        close = self._nearest(word, tuple(legal))
        hint = f" (did you mean {close}?)" if close else ""
        edits = (SetValue(at, close),) if close else ()
        self.tell(WRONG_VALUE, at, f"{says}{hint}", Fix(f"Write {close or f'one such as {example}'}", edits))

    def afford(self, work: int, at: Place) -> bool:
        """Whether ranges may go on to be written out: not past what any shoot comes to, which is told once."""
        within = self._work <= MOST_WORK
        self._work += work
        if self._work <= MOST_WORK:
            return True
        self.names_resolve = False
        if within:
            says = "with what stands here this file comes to more devices and leads than any shoot has"
            self.tell(WRONG_VALUE, at, says)
        return False

    def _nearest(self, name: str, legal: tuple[str, ...]) -> str | None:
        """The legal name next to a wrong one, as long as the file has not asked for more than a person could read."""
        self._names_compared += len(legal)
        return nearest(name, legal) if self._names_compared <= _MOST_COMPARED else None


MOST_WORK = 2_000_000
"""How much the ranges of a file may come to: names written out, a link and a device counting for several."""
LINK_WORK = 8
DEVICE_WORK = 40

_MOST_COMPARED = 500_000
"""How many names a file's wrong ones are compared with in all; it bounds the work where thousands are wrong."""


class Reader:
    """Reads facts from one mapping; an absent fact has the place of the mapping."""

    def __init__(self, desk: Desk, node: Node | None, place: Place) -> None:
        """Read from `node`; anything but a mapping holds no facts."""
        self.desk = desk
        self.node = node if isinstance(node, MappingNode) else None
        self.place = desk.place(node) if isinstance(node, MappingNode) else place

    def node_at(self, *keys: str) -> Node | None:
        """The node under keys, one below the other."""
        node: Node | None = self.node
        for key in keys:
            node = node.get(key) if isinstance(node, MappingNode) else None
        return node

    def below(self, key: str) -> Reader:
        """A reader of the mapping under a key."""
        return Reader(self.desk, self.node_at(key), self.place)

    def fact(self, *keys: str, read: Callable[[str], T]) -> Fact[T]:
        """The fact under keys, read from its source text; what cannot be read is told and unknown."""
        node = self.node_at(*keys)
        return self.value(node, read)

    def value(self, node: Node | None, read: Callable[[str], T]) -> Fact[T]:
        """The fact that a scalar node states; one that many devices share is read once."""
        if not isinstance(node, Scalar) or (node.plain and node.value is None):
            return unknown(self.place if node is None else self.desk.place(node))
        known: dict[tuple[int, object], Fact[T]] = self.desk.facts
        key = (id(node), read)
        if key not in known:
            known[key] = self._read(node, read)
        return known[key]

    def _read(self, node: Scalar, read: Callable[[str], T]) -> Fact[T]:
        place = self.desk.place(node)
        try:
            return Fact(read(node.text), place, text=node.text)
        except AmbiguousRateError:
            return unknown(place, node.text)  # a rule asks which is meant
        except QuantityError as error:
            self.desk.tell(WRONG_UNIT, place, str(error))
        except ValueError as error:
            self.desk.tell(WRONG_VALUE, place, str(error))
        return unknown(place, node.text)

    def text(self, *keys: str) -> Fact[str]:
        """A fact that is a word or a text."""
        return self.fact(*keys, read=str)

    def words(self, *keys: str, read: Callable[[str], T]) -> Fact[tuple[T, ...]]:
        """A fact that is a list of words; a single word is a list of one."""
        node = self.node_at(*keys)
        if isinstance(node, Scalar) and node.value is not None:
            one = self.value(node, read)
            return (
                Fact((one.value,), one.place, text=one.text) if one.value is not None else unknown(one.place, one.text)
            )
        if not isinstance(node, SequenceNode):
            return unknown(self.place)
        facts = [self.value(item, read) for item in node.items]
        # An empty list is a statement too: this device takes nothing.
        return Fact(tuple(fact.value for fact in facts if fact.value is not None), self.desk.place(node), text="[]")

    def entries(self) -> Iterable[tuple[str, Entry]]:
        """The keys and values of the mapping."""
        return self.node.entries.items() if self.node else ()


def first_written(*facts: Fact[T]) -> Fact[T]:
    """The first of several facts that something is written for, or the last: a setting goes before an ability."""
    return next((fact for fact in facts if fact.written), facts[-1])


def truth(text: str) -> bool:
    """A yes-or-no value; raises ValueError for any other word."""
    if text not in ("true", "false"):
        raise ValueError(f"{shortened(text)} is neither true nor false")
    return text == "true"


def whole(text: str) -> int:
    """A whole number from 0 to 999,999; raises ValueError for anything else."""
    if not (text.isascii() and text.isdigit() and len(text) <= 6):
        raise ValueError(f"{shortened(text)} is not a whole number")
    return int(text)


def overlaid(desk: Desk, under: Node | None, over: Node | None) -> Node | None:
    """Two layers of settings as one: mappings merge key by key, anything else is replaced by the upper layer."""
    if under is None or over is None:
        return over if under is None else under
    if not (isinstance(under, MappingNode) and isinstance(over, MappingNode)):
        return over
    entries = dict(under.entries)
    for key, entry in over.entries.items():
        below = entries.get(key)
        value = overlaid(desk, below.value if below else None, entry.value)
        entries[key] = entry if value is None or value is entry.value else Entry(entry.key, value)
    return desk.adopt(MappingNode(entries, over.span), over)


def without(desk: Desk, node: Node | None, keys: frozenset[str]) -> Node | None:
    """A mapping with some keys left out."""
    if not isinstance(node, MappingNode) or keys.isdisjoint(node.entries):
        return node
    kept = {key: entry for key, entry in node.entries.items() if key not in keys}
    return desk.adopt(MappingNode(kept, node.span), node)

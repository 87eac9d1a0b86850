"""YAML text to a tree of nodes that know where they stand; no other module touches a YAML library.

The tree is built from the parser's events, so every key and value keeps its place and its source text, and the
values are read by the rules of YAML 1.2 (see `scalars`). Nothing recurses, and depth, size and aliases are bounded.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, Final, NoReturn, TypeGuard

import yaml
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from synclint.documents import traps
from synclint.documents.broken_yaml import explained
from synclint.documents.collector import collector_paused
from synclint.documents.failure import Failure, Stretch
from synclint.documents.lines import Lines
from synclint.documents.nodes import Entry, MappingNode, Node, Scalar, SequenceNode
from synclint.documents.open_nodes import Event, Open, OpenMapping, OpenSequence
from synclint.documents.records import DUPLICATE_KEY, UNREADABLE_FILE
from synclint.documents.scalars import is_not_finite, resolved
from synclint.findings import Finding, Fix, Mention, Path, Place, Span, shortened

MAX_CHARACTERS: Final = 4_000_000
MAX_NODES: Final = 500_000
"""Keys and values; what stands behind an alias counts as often as it is used."""
MAX_DEPTH: Final = 64
MAX_ALIASES: Final = 100

_Loader: Final[Any] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_BYTE_ORDER_MARK: Final = "\ufeff"
_INVISIBLE: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")
"""Characters that YAML forbids or that readers of it take differently, as they do the line separators of Unicode."""
_PROPERTIES: Final = re.compile(r"(?:(?:!<[^>\s]*>|[&!][^\s,\[\]{}]*)(?:\s|\#[^\r\n]*)*)*")
"""The anchor and tag before a value, with what may stand between."""
_TAG: Final = re.compile(r"!<[^>\s]*>|![^\s,\[\]{}]*")
_BLANK: Final = re.compile(r"\s*")


class NotYamlError(Exception):
    """The text cannot be parsed, or has too much in it to be; `finding` says where and why."""

    def __init__(self, finding: Finding) -> None:
        """Carry the finding to whoever asked for the parse."""
        super().__init__(finding.sentence)
        self.finding = finding


@dataclass(frozen=True, slots=True)
class Parsed:
    """What a text says, and what is wrong with how it is written; no root where the text says nothing."""

    root: Node | None
    problems: tuple[Finding, ...]


def parse(text: str, file: str) -> Parsed:
    """Parse one YAML document; raise `NotYamlError` where it is none."""
    lines = Lines(text.removeprefix(_BYTE_ORDER_MARK), file)
    if len(text) > MAX_CHARACTERS:
        _fail(Span(file, 1, 1, 1, 1), f"the file has more than {MAX_CHARACTERS:,} characters; no setup is so large")
    found = _INVISIBLE.search(lines.text)
    if found:
        code = f"U+{ord(found[0]):04X}"
        _fail(lines.span(found.start(), found.end()), f"an invisible character stands here ({code})", "Take it out")
    builder = _Builder(lines)
    with collector_paused():
        root = builder.build()
    return Parsed(root, tuple(builder.problems))


def _fail(span: Span, says: str, fix: str = "") -> NoReturn:
    raise NotYamlError(UNREADABLE_FILE.finding(at=Place((), span), says=says, fix=Fix(fix) if fix else None))


# --- the builder -----------------------------------------------------------------------------------------------


class _Builder:
    """Makes the tree from the parser's events, and collects problems on the way."""

    def __init__(self, lines: Lines) -> None:
        self.problems: list[Finding] = []
        self._lines = lines
        self._stack: list[Open] = []
        self._root: Node | None = None
        self._documents = 0
        self._count = 0
        self._aliases = 0
        self._anchors: dict[str, Node] = {}
        self._last: Event = None
        """The last scalar event."""

    def build(self) -> Node | None:
        """The root of the tree; None where nothing is written."""
        for event in self._events():
            kind = type(event)
            if kind is ScalarEvent:
                self._attach(self._scalar(event))
            elif kind is MappingStartEvent or kind is SequenceStartEvent:
                self._open(event)
            elif kind is MappingEndEvent or kind is SequenceEndEvent:
                self._close(event)
            elif kind is AliasEvent:
                self._attach(self._alias(event))
            elif kind is DocumentStartEvent:
                self._document(event)
        root = self._root
        return None if isinstance(root, Scalar) and root.plain and not root.text else root

    def _events(self) -> Iterator[Event]:
        """The parser's events; its own errors become ours (the slower parser lets two of Python's through as well)."""
        events = yaml.parse(self._lines.text, Loader=_Loader)
        while True:
            try:
                event = next(events, None)
            except (yaml.YAMLError, ValueError, OverflowError) as error:
                raise NotYamlError(explained(self._failure(error))) from error
            if event is None:
                return
            yield event

    def _failure(self, error: Exception) -> Failure:
        """What the parser's error says, without its types."""
        at, since = getattr(error, "problem_mark", None), getattr(error, "context_mark", None)
        said = f"{getattr(error, 'context', None) or ''}: {getattr(error, 'problem', None) or error}"
        start = next((frame.start.index for frame in reversed(self._stack) if frame.flow), None)
        properties = _PROPERTIES.match(self._lines.text, start) if start is not None else None
        last = self._last
        return Failure(
            self._lines,
            said,
            at.index if at else len(self._lines.text),
            since.index if since else None,
            properties.end() if properties else None,
            Stretch(last.start_mark.index, last.end_mark.index, quoted=bool(last.style)) if last else None,
        )

    def _document(self, event: Event) -> None:
        self._documents += 1
        if self._documents > 1:
            start = event.start_mark.index
            fix = "Give every document a file of its own"
            _fail(self._lines.span(start, start + 3), "a second document begins here; a file holds one", fix)

    # --- values ---

    def _scalar(self, event: Event) -> Scalar:
        self._last = event
        text: str = event.value
        start, end = event.start_mark, event.end_mark
        plain = not event.style
        if event.tag is not None or event.anchor is not None or event.style in {"|", ">"} or start.index == end.index:
            span = self._exact_span(event)
        else:
            span = Span(self._lines.file, start.line + 1, start.column + 1, end.line + 1, end.column + 1)
        if event.style == '"' and _INVISIBLE.search(text):
            _fail(span, "a code with a backslash in this text makes an invisible character", "Take it out")
        scalar = Scalar(text, resolved(text), span) if plain else Scalar(text, text, span, plain=False)
        if event.anchor is not None:
            self._anchors[event.anchor] = scalar
        return scalar

    def _exact_span(self, event: Event) -> Span:
        """The span of a scalar without its anchor and tag, and without the empty lines after a block of text."""
        if event.tag is not None:
            self._report_tag(event)
        text, start, end = self._lines.text, event.start_mark.index, event.end_mark.index
        if event.anchor is not None or event.tag is not None:
            found = _PROPERTIES.match(text, start, end)
            start = found.end() if found else start
        if event.style in {"|", ">"}:
            end = start + len(text[start:end].rstrip())
        return self._lines.span(start, end)

    def _alias(self, event: Event) -> Node:
        """What an alias stands for, standing where the alias does; what is inside it keeps its own place."""
        name, span = event.anchor, self._lines.span(event.start_mark.index, event.end_mark.index)
        if self._awaits_key():
            _fail(span, "an alias stands here as a key; a key is a word", "Put a key that begins with * in quotes")
        self._aliases += 1
        if self._aliases > MAX_ALIASES:
            _fail(span, f"the file has more than {MAX_ALIASES} aliases (`*{shortened(name)}`)", "Use `like` instead")
        if any(frame.anchor == name for frame in self._stack):
            _fail(span, f"`*{shortened(name)}` stands inside the very thing it refers to", "Use `like` instead")
        node = self._anchors.get(name)
        if node is None:
            says = f"`*{shortened(name)}` refers to something marked `&{shortened(name)}`, and nothing above is"
            _fail(span, says, "Put a text that begins with * in quotes")
        self._count_alias(node, span)
        return replace(node, span=span)

    def _count_alias(self, node: Node, span: Span) -> None:
        """Count everything an alias repeats; give up as soon as it is too much."""
        level, depth = [node], len(self._stack)
        while level:
            self._count += len(level)
            depth += 1
            if self._count > MAX_NODES or depth > MAX_DEPTH:
                _fail(span, "the aliases in this file multiply to more than any setup holds", "Use `like` instead")
            level = [child for parent in level for child in _children(parent)]

    # --- collections ---

    def _open(self, event: Event) -> None:
        start = event.start_mark
        if self._awaits_key():
            says = "a list or a mapping stands here as a key; a key is a word"
            _fail(self._lines.span(start.index, start.index + 1), says, "Put a text in braces or brackets in quotes")
        if len(self._stack) >= MAX_DEPTH:
            says = f"the file is nested more than {MAX_DEPTH} levels deep; no setup is so deep"
            _fail(self._lines.span(start.index, start.index + 1), says)
        if event.tag is not None:
            self._report_tag(event)
        kind = OpenMapping if type(event) is MappingStartEvent else OpenSequence
        self._stack.append(kind(start, event.flow_style, event.anchor))

    def _awaits_key(self) -> bool:
        top = self._stack[-1] if self._stack else None
        return isinstance(top, OpenMapping) and top.key is None

    def _close(self, event: Event) -> None:
        frame = self._stack.pop()
        start, end, last = frame.start, event.end_mark, frame.end
        # A block has no end of its own: the parser's is where the next thing begins.
        line, column = (end.line + 1, end.column + 1) if frame.flow or not last else (last.end_line, last.end_column)
        node = frame.node(Span(self._lines.file, start.line + 1, start.column + 1, line, column))
        if frame.anchor is not None:
            self._anchors[frame.anchor] = node
        self._attach(node)

    def _attach(self, node: Node) -> None:
        """Put a finished node where it belongs."""
        self._count += 1
        if self._count > MAX_NODES:
            _fail(node.span, f"the file holds more than {MAX_NODES:,} keys and values; no setup is so large")
        if not self._stack:
            self._root = node
            return
        top = self._stack[-1]
        top.end = node.span
        if isinstance(top, OpenSequence):
            if _is_not_finite(node):
                self.problems.append(traps.not_a_number(node, Place(self._path(), node.span)))
            else:
                top.items.append(node)
        elif top.key is not None:
            self._take_value(top, Entry(top.key, node))
        elif isinstance(node, Scalar) and node.text:
            top.key = node
        else:
            _fail(node.span, "a key is missing here", "Write a word before the colon")

    def _take_value(self, top: OpenMapping, entry: Entry) -> None:
        """Keep an entry of a mapping, or report why not: what is reported here gives no second finding later."""
        bare = top.flow and self._is_bare(entry)
        if not (bare and top.bare):  # of several in a row, as in a sentence with commas, only the first is told
            problem = self._refusal(top, entry, bare=bare)
            if problem:
                self.problems.append(problem)
            else:
                top.entries[entry.key.text] = entry
                self._look_for_comment(entry)
        top.key, top.bare = None, bare
        if not bare:
            top.before = entry

    def _refusal(self, top: OpenMapping, entry: Entry, *, bare: bool) -> Finding | None:
        """What keeps an entry out of its mapping."""
        key = entry.key
        first = top.entries.get(key.text)
        if top.flow and key.plain and ":" in key.text:
            found = traps.no_space_after_colon(key, Place(self._path(), key.span))
            if found:
                return found
        if bare:
            return traps.key_without_value(key, top.before, Place(self._path(), key.span))
        if key.text == "<<" and key.plain:
            return traps.merge_key(Place(self._path(), key.span))
        if _is_not_finite(entry.value):
            return traps.not_a_number(entry.value, Place(self._path(), entry.value.span))
        return self._duplicate(first, key) if first else None

    def _duplicate(self, first: Entry, key: Scalar) -> Finding:
        at = Place(self._path(), key.span)
        says = f"`{shortened(key.text)}` stands twice; the first is read (line {first.key.span.line}), this one is not"
        mention = Mention(Place(at.path, first.key.span), "the first stands here")
        return DUPLICATE_KEY.finding(at=at, says=says, fix=Fix("Take one of the two out"), also=(mention,))

    def _is_bare(self, entry: Entry) -> bool:
        """Whether a key in braces has neither a value nor a colon."""
        key, value, text = entry.key.span, entry.value, self._lines.text
        if not isinstance(value, Scalar) or value.text or not value.plain:
            return False
        after = self._lines.offset(key.end_line, key.end_column)
        found = _BLANK.match(text, after)
        return text[found.end() if found else after :][:1] in {",", "}"}

    def _look_for_comment(self, entry: Entry) -> None:
        """Report a sentence that looks as if it went on in a comment."""
        value = entry.value
        if entry.key.text not in traps.SENTENCES or not isinstance(value, Scalar) or not value.plain:
            return
        stretch = traps.comment_in(self._lines.text, self._lines.offset(value.span.end_line, value.span.end_column))
        if stretch and value.text:
            at = Place(self._path(), self._lines.span(*stretch))
            self.problems.append(traps.cut_by_comment(self._lines.text[slice(*stretch)], at))

    def _report_tag(self, event: Event) -> None:
        start = event.start_mark.index
        found = _TAG.search(self._lines.text, start)
        stretch = found.span() if found else (start, start + 1)
        at = Place(self._path(), self._lines.span(*stretch))
        self.problems.append(traps.tag(self._lines.text[slice(*stretch)], at))

    def _path(self) -> Path:
        """The path of what is being read."""
        return tuple(step for frame in self._stack for step in frame.step)


def _is_not_finite(node: Node) -> TypeGuard[Scalar]:
    return isinstance(node, Scalar) and node.plain and is_not_finite(node.text)


def _children(node: Node) -> Iterator[Node]:
    """What stands directly below a node, keys left out."""
    if isinstance(node, MappingNode):
        return (entry.value for entry in node.entries.values())
    return iter(node.items if isinstance(node, SequenceNode) else ())

"""Which keys of a document no rule judges yet, so that silence about them is not taken for praise."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from synclint.documents.nodes import Document, MappingNode, Node, Scalar, SequenceNode
from synclint.documents.schema_tree import Schema, filled_schema
from synclint.findings import Path

_ANY = "*"


def unjudged_patterns(document: Document) -> list[tuple[Path, str, int]]:
    """The written keys that no rule judges yet, each pattern once: the path of its first, and how often it occurs.

    A pattern has `*` for what the user named or numbered: `devices/*/power/runtime`.
    """
    first: dict[str, Path] = {}
    counts: Counter[str] = Counter()
    for path, pattern in _unjudged(document.root, filled_schema(document.kind)):
        first.setdefault(pattern, path)
        counts[pattern] += 1
    return [(path, pattern, counts[pattern]) for pattern, path in first.items()]


def _unjudged(root: Node, schema: Schema) -> Iterator[tuple[Path, str]]:
    """The path and the pattern of every key that is marked in the schema, in the order written."""
    stack: list[tuple[Node, Schema, Path, str]] = [(root, schema, (), "")]
    while stack:
        node, here, path, pattern = stack.pop()
        views = _views(node, here)
        if here.get("judged") is False:
            yield path, pattern
        elif any(view.get("judged") is False for view in views):
            yield path, f"{pattern} ({_kind_of_event(node)})"
        else:
            stack += reversed(list(_below(node, views, path, pattern)))


def _views(node: Node, schema: Schema) -> list[Schema]:
    """What the schema says of a node: itself, and the branch for its kind of event."""
    kind = _kind_of_event(node)
    branches = [branch["then"] for branch in schema.get("allOf", ()) if _condition(branch) == kind]
    return [*branches, schema]


def _condition(branch: Schema) -> str | None:
    condition = branch["if"]["properties"]["do"]["const"]
    return condition if isinstance(condition, str) else None


def _kind_of_event(node: Node) -> str:
    do = node.get("do") if isinstance(node, MappingNode) else None
    return do.text if isinstance(do, Scalar) else ""


def _below(node: Node, views: list[Schema], path: Path, pattern: str) -> Iterator[tuple[Node, Schema, Path, str]]:
    """What stands right below a node, with its schema, path and pattern; what the schema does not know is left out."""
    if isinstance(node, SequenceNode):
        for view in views:
            if "items" in view:
                for index, item in enumerate(node.items):
                    yield item, view["items"], (*path, index), f"{pattern}/{_ANY}"
    elif isinstance(node, MappingNode):
        for key, entry in node.entries.items():
            for view in views:
                named = view.get("properties", {}).get(key)
                schema = named or view.get("additionalProperties")
                if schema:
                    step = key if named else _ANY
                    yield entry.value, schema, (*path, key), f"{pattern}/{step}" if pattern else step
                    break

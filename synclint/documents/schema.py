"""Holds a document against the schema of its kind; no other module touches a schema library.

Importing this is slow, so callers import it where they need it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any, Final

from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError

from synclint.documents import wording
from synclint.documents.nodes import Document, MappingNode, Node, SequenceNode, find
from synclint.documents.schema_tree import Schema, filled_schema
from synclint.documents.wording import Said
from synclint.findings import Finding, Fix, Path, Place

_RANKS: Final = {"type": 0, "additionalProperties": 0, "required": 0, "enum": 1, "pattern": 2}
"""Which of several complaints about one place is told: the smallest rank, then the one of the narrower schema."""
_LAST_RANK: Final = 3


@dataclass(frozen=True, slots=True)
class _Complaint:
    """One thing that the schema does not allow, where it stands, and how it is said.

    `key` is the key that is unknown or missing at `path`; without one it is about the value at `path`.
    """

    path: Path
    key: str | None
    order: tuple[int, int]
    said: Said
    missing: bool = False


def validate(document: Document) -> list[Finding]:
    """Every place where the document is not as its schema wants it, one finding a place, in the order written."""
    plain = _plain(document.root)
    best: dict[tuple[Path, str | None], _Complaint] = {}
    for error in _validator(document.kind).iter_errors(plain):
        for complaint in _complaints(error, document):
            spot = (complaint.path, complaint.key)
            if spot not in best or complaint.order < best[spot].order:
                best[spot] = complaint
    unknown = {(*path, key) for (path, key), each in best.items() if key is not None and not each.missing}
    findings = [
        _finding(complaint, document.root)
        for complaint in best.values()
        if not any(complaint.path[:depth] in unknown for depth in range(1, len(complaint.path) + 1))
    ]
    return sorted(findings, key=lambda finding: finding.at.order)


@cache
def _validator(kind: str) -> Draft202012Validator:
    return Draft202012Validator(filled_schema(kind))


def _plain(node: Node) -> Any:
    """The values alone, as any reader of YAML 1.2 would give them; a schema library cannot do with exact decimals."""
    if isinstance(node, MappingNode):
        return {key: _plain(entry.value) for key, entry in node.entries.items()}
    if isinstance(node, SequenceNode):
        return [_plain(item) for item in node.items]
    return float(node.value) if isinstance(node.value, Decimal) else node.value


def _complaints(error: ValidationError, document: Document) -> Iterator[_Complaint]:
    """What a library's error says: about a value, or about one or several keys of the mapping at its path."""
    path: Path = tuple(error.absolute_path)
    steps = list(error.absolute_schema_path)
    order = (_RANKS.get(str(error.validator), _LAST_RANK), -len(steps))
    schema = error.schema if isinstance(error.schema, dict) else {}
    instance: Any = error.instance
    if len(steps) > 1 and steps[-2] == "propertyNames":
        # An event has all keys of all kinds of event, so a key that it must not have is known and misplaced.
        order = (order[0] + _LAST_RANK, order[1])
        said = wording.misplaced_key(instance, schema) if "enum" in schema else wording.wrong_name(instance, schema)
        yield _Complaint(path, instance, order, said)
    elif error.validator == "additionalProperties":
        for key in instance.keys() - schema["properties"].keys():
            yield _Complaint(path, key, order, wording.unknown_key(key, schema, instance))
    elif error.validator == "required":
        owner = _owner(filled_schema(document.kind), steps)
        for key in schema["required"]:
            if key not in instance:
                said = wording.missing_key(key, owner, instance.get("do"))
                yield _Complaint(path, key, order, said, missing=True)
    else:
        node = find(document.root, path) or document.root
        yield _Complaint(path, None, order, wording.wrong_value(node, path, str(error.validator), schema))


def _owner(schema: Any, steps: Iterable[str | int]) -> Schema:
    """The schema with `properties` that a path into the schema goes through last."""
    owner: Schema = schema
    for step in steps:
        if isinstance(schema, dict) and "additionalProperties" in schema:
            owner = schema
        schema = schema[step]
    return owner


def _finding(complaint: _Complaint, root: Node) -> Finding:
    said, path, node = complaint.said, complaint.path, find(root, complaint.path) or root
    span = node.span
    if complaint.key is not None and not complaint.missing:
        path = (*path, complaint.key)
        if isinstance(node, MappingNode):
            span = node.entries[complaint.key].key.span
    place = Place(path, span)
    edits = (said.edit(place),) if said.edit else ()
    return said.record.finding(
        at=place,
        says=said.says,
        fix=Fix(said.does, edits) if said.does else None,
        who=[str(path[1])] if len(path) > 1 and path[0] == "devices" else (),
    )

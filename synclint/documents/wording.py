"""How it is said that a key or a value is not what a schema wants, and what to write instead."""

from __future__ import annotations

import re
from collections.abc import Callable, Container
from dataclasses import dataclass
from typing import Any, Final

from synclint.documents.nearest import nearest
from synclint.documents.nodes import MappingNode, Node, Scalar
from synclint.documents.records import MISSING_KEY, UNKNOWN_KEY, WRONG_UNIT, WRONG_VALUE
from synclint.documents.scalars import resolved
from synclint.documents.schema_tree import Schema
from synclint.findings import Edit, Path, Place, Record, RenameKey, SetValue, shortened

_NUMBER: Final = re.compile(r"[+-]?[0-9]+(?:[./][0-9]+)?(?: *\.\. *[+-]?[0-9]+(?:\.[0-9]+)?)?")
"""A number, a share such as 1/2 or a range such as 8..31, without any unit."""
_NUMERIC_START: Final = re.compile(r"[+-]?\.?[0-9]")
_SAFE_IN_LIST: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9_. /-]*")
_TRUTH: Final = {"yes": "true", "on": "true", "y": "true", "no": "false", "off": "false", "n": "false"}
_NO_MARKS: Final = str.maketrans({"⟪": "<", "⟫": ">"})
_LIMITS: Final = {"minimum": "at least", "maximum": "at most"}
_KEYS_TOLD: Final = 12


@dataclass(frozen=True, slots=True)
class Said:
    """A complaint in words: what is wrong, what to do about it, and the edit that does it where it is certain."""

    record: Record
    says: str
    does: str = ""
    edit: Callable[[Place], Edit] | None = None


def unknown_key(key: str, schema: Schema, present: Container[str]) -> Said:
    """A key that the mapping of this schema does not have; `present` are the keys that stand beside it."""
    legal = list(schema["properties"])
    owner = _title(schema).removesuffix(" or none")
    near = nearest(key, legal)
    newer = "or this file is newer than this program"
    if near is None:
        return Said(UNKNOWN_KEY, f"{_quoted(key)} is not a key of {owner} (it takes {_enumerated(legal)}), {newer}")
    says = f"{_quoted(key)} is not a key of {owner} (did you mean {near}?), {newer}"
    if near in present:
        return Said(UNKNOWN_KEY, says, f"Keep one of the two, as {near}")
    return Said(UNKNOWN_KEY, says, f"Write {near}", lambda place: RenameKey(place, near))


def misplaced_key(key: str, schema: Schema) -> Said:
    """A key that does not go with the kind of event that it stands in."""
    kind = _title(schema).removeprefix("a key of the event ")
    says = f"{_quoted(key)} does not go with {kind}; such an event takes {_enumerated(schema['enum'])}"
    return Said(UNKNOWN_KEY, says, "Take it out, or say another thing under do")


def wrong_name(name: str, schema: Schema) -> Said:
    """A name that no thing of this sort can have."""
    says = f"{_quoted(name)} is not {_title(schema)}"
    return Said(WRONG_VALUE, says, "Name it otherwise, here and wherever it is used")


def missing_key(key: str, schema: Schema, kind: object) -> Said:
    """A key that a mapping of this schema, or an event of this kind, cannot do without."""
    # What every event needs stands in its schema; the rest is asked for by the word under `do`.
    owner = f"the event {kind}" if key not in schema.get("required", ()) and isinstance(kind, str) else _title(schema)
    example = _example(schema["properties"][key])
    return Said(
        MISSING_KEY, f"'{key}' is missing: {owner} cannot do without it", f"Add {key}, such as {key}: {example}"
    )


def wrong_value(node: Node, path: Path, validator: str, schema: Schema) -> Said:
    """A value that its key does not take."""
    said = _no_value(node, path, schema) or _needless_quotes(node, schema)
    said = said or (_wrong_shape(node, schema) if validator == "type" else None)
    if said:
        return said
    text = node.text if isinstance(node, Scalar) else ""
    if validator == "enum":
        return _wrong_word(text, schema)
    if schema.get("quantity"):
        return _wrong_quantity(text, schema)
    if schema.get("type") == "boolean":
        return _no_truth_value(text)
    says = f"{_quoted(text)} is not {_title(schema)}"
    if validator in _LIMITS:
        says += f"; it is {_LIMITS[validator]} {schema[validator]}"
    return Said(WRONG_VALUE, says, _like(schema))


def _no_value(node: Node, path: Path, schema: Schema) -> Said | None:
    if not isinstance(node, Scalar) or node.value is not None:
        return None
    what = f"item {path[-1] + 1}" if path and isinstance(path[-1], int) else str(path[-1]) if path else "this"
    return Said(WRONG_VALUE, f"{_shortened(what)} has no value; it wants {_wanted(schema)}", _like(schema))


def _needless_quotes(node: Node, schema: Schema) -> Said | None:
    """A number or truth value that is a text only because it stands in quotes."""
    if not isinstance(node, Scalar) or node.plain or not _kinds(schema) <= {"integer", "boolean"}:
        return None
    text, value = node.text, resolved(node.text)
    if not isinstance(value, int) or isinstance(value, bool) != ("boolean" in _kinds(schema)):
        return None
    says = f"{_quoted(text)} is a text, because it stands in quotes"
    return Said(WRONG_VALUE, says, f"Write {text} without quotes", lambda place: SetValue(place, text))


def _wrong_shape(node: Node, schema: Schema) -> Said | None:
    """One thing where a list or keys with values belong, or the other way round."""
    kinds = _kinds(schema)
    if not isinstance(node, Scalar):
        what = "keys with values stand" if isinstance(node, MappingNode) else "a list stands"
        return Said(WRONG_VALUE, f"{what} in the place of {_wanted(schema)}", _like(schema))
    if kinds == {"array"}:
        text = node.text
        edit = (lambda place: SetValue(place, f"[{text}]")) if _SAFE_IN_LIST.fullmatch(text) else None
        return Said(WRONG_VALUE, f"{_quoted(text)} is not a list", f"Write [{_shortened(text)}]", edit)
    if kinds == {"object"}:
        keys = f" (keys such as {', '.join(list(schema['properties'])[:3])})" if "properties" in schema else ""
        says = f"{_quoted(node.text)} stands where keys with values belong: {_title(schema)}{keys}"
        return Said(WRONG_VALUE, says, _like(schema))
    return None


def _wrong_word(text: str, schema: Schema) -> Said:
    legal = [_yaml(word) for word in schema["enum"]]
    near = _near_word(text, legal)
    says = f"{_quoted(text)} is not {_title(schema)}; it is one of {', '.join(legal)}"
    if near is None:
        return Said(WRONG_VALUE, says, "Write one of these words")
    return Said(WRONG_VALUE, f"{says} (did you mean {near}?)", f"Write {near}", lambda place: SetValue(place, near))


def _near_word(text: str, legal: list[str]) -> str | None:
    """The word that is meant: a misspelt one, or the only one that has this word in it, as `switched off` has `off`."""
    if _NUMBER.fullmatch(text):
        return None
    holding = [word for word in legal if text.casefold() in word.casefold().split()]
    return nearest(text, legal) or (holding[0] if len(holding) == 1 else None)


def _wrong_quantity(text: str, schema: Schema) -> Said:
    form = f"{_title(schema)}, such as {_example(schema)}"
    if _NUMBER.fullmatch(text):
        return Said(WRONG_UNIT, f"{_shortened(text)} has no unit: write {form}", _like(schema))
    record = WRONG_UNIT if _NUMERIC_START.match(text) else WRONG_VALUE
    return Said(record, f"{_quoted(text)} is not {form}", _like(schema))


def _no_truth_value(text: str) -> Said:
    says = f"{_quoted(text)} is neither true nor false"
    meant = _TRUTH.get(text.casefold())
    if meant is None:
        return Said(WRONG_VALUE, says, "Write true or false")
    return Said(WRONG_VALUE, f"{says} (did you mean {meant}?)", f"Write {meant}", lambda place: SetValue(place, meant))


def _kinds(schema: Schema) -> set[str]:
    kinds = schema.get("type", ())
    return {kinds} if isinstance(kinds, str) else set(kinds)


def _wanted(schema: Schema) -> str:
    return schema.get("title") or ("a list" if "array" in _kinds(schema) else "a value")


def _title(schema: Schema) -> str:
    return str(schema.get("title", "what belongs here"))


def _like(schema: Schema) -> str:
    return f"Write it like {_example(schema)}" if schema.get("examples") else "Write what belongs here"


def _example(schema: Schema) -> str:
    """The first example, in the form of the file."""
    return _yaml(schema["examples"][0]) if schema.get("examples") else "a value"


def _yaml(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(map(_yaml, value))}]"
    if isinstance(value, dict):
        return f"{{{', '.join(f'{key}: {_yaml(each)}' for key, each in value.items())}}}"
    return str(value)


def _enumerated(keys: list[str]) -> str:
    told = keys if len(keys) <= _KEYS_TOLD else [*keys[: _KEYS_TOLD - 1], f"{len(keys) - _KEYS_TOLD + 1} more"]
    return " and ".join(filter(None, [", ".join(told[:-1]), told[-1]]))


def _quoted(text: str) -> str:
    return f"'{_shortened(text)}'"


def _shortened(text: str) -> str:
    """Text of the file for a sentence: short, on one line, and without the marks that sentences are filled in at."""
    return shortened(text.translate(_NO_MARKS))

"""The schemas as values, each `$ref` filled in: quicker to hold a document against, and to walk beside one."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from synclint.documents.where import schema_text

Schema = dict[str, Any]


@cache
def filled_schema(kind: str) -> Schema:
    """The schema of a kind of document without references; it is shared, so nobody may change it."""
    schema: Schema = json.loads(schema_text(kind))
    definitions = schema.pop("$defs")
    filled: dict[str, Schema] = {}

    def fill(value: Any) -> Any:
        if isinstance(value, list):
            return [fill(each) for each in value]
        if not isinstance(value, dict):
            return value
        own = {key: fill(each) for key, each in value.items() if key != "$ref"}
        if "$ref" not in value:
            return own
        name = value["$ref"].removeprefix("#/$defs/")
        if name not in filled:
            filled[name] = fill(definitions[name])
        # What stands beside a reference only describes (a test sees to it), so it may cover what the definition says.
        return {**filled[name], **own}

    result: Schema = fill(schema)
    return result

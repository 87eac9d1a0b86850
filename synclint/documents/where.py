"""Where the schemas lie: beside the package in a clone or an editable install, inside it in a wheel."""

from __future__ import annotations

from pathlib import Path
from typing import Final

KINDS: Final = ("setup/1", "kit/1", "log/1")
"""The kinds of document that have a schema, as they stand after `synclint:`."""

_PACKAGE: Final = Path(__file__).resolve().parents[1]


def schema_folder() -> Path:
    """The folder of the schemas; FileNotFoundError where the program was installed without them."""
    # The wheel's place comes first: next to an installed package may lie a `schemas` of somebody else.
    for folder in (_PACKAGE / "schemas", _PACKAGE.parent / "schemas"):
        if (folder / _file_name(KINDS[0])).is_file():
            return folder
    raise FileNotFoundError(f"the schemas of synclint are missing; they belong in {_PACKAGE / 'schemas'}")


def schema_text(kind: str) -> str:
    """The JSON Schema of a kind of document; ValueError for a kind that has none."""
    if kind not in KINDS:
        raise ValueError(f"{kind!r} is no kind of document; the kinds are {', '.join(KINDS)}")
    return (schema_folder() / _file_name(kind)).read_text(encoding="utf-8")


def _file_name(kind: str) -> str:
    return f"{kind.replace('/', '-')}.schema.json"

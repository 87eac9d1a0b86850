"""A validator that is not ours, on the same schemas: it accepts and rejects the same documents."""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest

from synclint.documents.nodes import Document, MappingNode, Node, SequenceNode
from synclint.documents.schema import validate
from synclint.documents.where import KINDS, schema_text
from synclint.documents.yamltree import parse
from tests.documents.schema_texts import KIT, SETUP

SAMPLES = Path(__file__).parents[2] / "sample_setups"
FILES = sorted(path for path in SAMPLES.rglob("*.yaml") if path.suffixes[-2:-1] in ([".setup"], [".kit"], [".log"]))

HEAD = "synclint: setup/1\ndevices:\n"
BROKEN = [
    "synclint: setup/1\n",
    f"{HEAD}  Cam A: {{}}\n",
    f"{HEAD}  all: {{}}\n",
    f"{HEAD}  a:\n",
    f"{HEAD}  a: {{zebra: 1}}\n",
    f"{HEAD}  a: {{timecode: {{mode: jamm}}}}\n",
    f"{HEAD}  a: {{longest_take: 45}}\n",
    f"{HEAD}  a: {{longest_take: 45 mn}}\n",
    f"{HEAD}  a: {{trigger: yes}}\n",
    f"{HEAD}  a: {{records: {{sound: {{track_count: 0}}}}}}\n",
    f"{HEAD}  a: {{records: {{sound: {{bit_depth: 24.5}}}}}}\n",
    f"{HEAD}  a: {{records: {{sound: loud}}}}\n",
    f"{HEAD}  a: {{records: {{sound: {{tracks: {{centre: LTC}}}}}}}}\n",
    f"{HEAD}  a: {{able: {{ports: {{jack: {{level: 1 V}}}}}}}}\n",
    f"{HEAD}  a: {{}}\nlinks: [{{from: a, to: b.c, carries: LTC}}]\n",
    f"{HEAD}  a: {{}}\nlinks: [{{from: a.b, carries: LTC}}]\n",
    f"{HEAD}  a: {{}}\ndays: [{{events: [{{at: 07:00, do: jam, of: all, scene: 1}}]}}]\n",
    f"{HEAD}  a: {{}}\ndays: [{{events: [{{at: 07:00, do: roll, of: all}}]}}]\n",
    f"{HEAD}  a: {{}}\ndays: [{{events: [{{at: 07:00, do: set, of: all, to: x}}]}}]\n",
    f"{HEAD}  a: {{}}\ndays: [{{call: 6:30}}]\n",
    "synclint: log/1\n",
    "synclint: log/1\nentries: [{at: 07:00, do: roll, of: [a]}]\n",
    "synclint: log/1\nentries: [{at: 07:00, do: jam, of: [a], against: b}]\n",
    "synclint: log/1\nentries: [{at: 07:00, do: compare, of: [a], against: b, read_by: scope}]\n",
    "synclint: log/1\nentries: [{at: 07:00, do: compare, of: [a], against: b, offset: 3, read_by: scope}]\n",
    "synclint: log/1\nentries: [{at: 07:00, do: compare, of: [a], against: b, offset: 3 ms, read_by: eye}]\n",
]
SOUND = [
    SETUP,
    KIT,
    "synclint: kit/1\n",
    "synclint: log/1\nentries: []\n",
    "synclint: log/1\nsetup: a.setup.yaml\nentries: [{at: 07:00, date: 2026-06-14, do: jam, of: all, from: b}]\n",
    "synclint: log/1\nentries: [{at: 07:00, do: compare, of: a, against: b, offset: -1/2 frame, read_by: scope}]\n",
    f"{HEAD}  a: {{records: {{sound: none}}}}\n",
    f"{HEAD}  a: {{timecode: {{rate: 24p}}}}\n",
    f"{HEAD}  a: {{records: {{sound: {{bit_depth: 24}}}}}}\n",
    f"{HEAD}  a: {{}}\ndays: [{{events: [{{at: 07:00, do: move, to: x}}]}}]\n",
]


def values(node: Node) -> Any:
    if isinstance(node, MappingNode):
        return {key: values(entry.value) for key, entry in node.entries.items()}
    if isinstance(node, SequenceNode):
        return [values(item) for item in node.items]
    return float(node.value) if isinstance(node.value, Decimal) else node.value


@pytest.fixture(scope="module")
def second() -> dict[str, jsonschema_rs.Draft202012Validator]:
    return {kind: jsonschema_rs.Draft202012Validator(json.loads(schema_text(kind))) for kind in KINDS}


def mapping(text: str) -> MappingNode:
    root = parse(text, "x.yaml").root
    assert isinstance(root, MappingNode)
    return root


def both(root: MappingNode, second: dict[str, jsonschema_rs.Draft202012Validator]) -> tuple[bool, bool]:
    """Whether we, and whether the other, take a document."""
    plain = values(root)
    kind = plain["synclint"]
    return not validate(Document(kind, "x.yaml", root)), second[kind].is_valid(plain)


@pytest.mark.parametrize("text", SOUND)
def test_both_take_sound_documents(text: str, second: dict[str, jsonschema_rs.Draft202012Validator]) -> None:
    assert both(mapping(text), second) == (True, True)


@pytest.mark.parametrize("text", BROKEN)
def test_both_refuse_broken_documents(text: str, second: dict[str, jsonschema_rs.Draft202012Validator]) -> None:
    assert both(mapping(text), second) == (False, False)


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(SAMPLES)))
def test_both_agree_on_every_sample(path: Path, second: dict[str, jsonschema_rs.Draft202012Validator]) -> None:
    root = parse(path.read_text(encoding="utf-8"), str(path)).root
    if not isinstance(root, MappingNode) or values(root).get("synclint") not in KINDS:
        pytest.skip("not a document of a known kind")
    ours, theirs = both(root, second)
    assert ours == theirs

"""The schema files themselves: valid, described key by key, with examples that hold."""

import json
import re
from itertools import combinations
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from synclint.documents.schema_tree import filled_schema
from synclint.documents.where import KINDS, schema_folder, schema_text
from synclint.rig.pace_and_power import idle_time
from synclint.trade import exposure, phase, quantities, sizes
from tests.documents.schema_texts import schema_parts

ANNOTATIONS = {"title", "description", "examples", "judged", "$ref"}


READERS = {
    "time": quantities.parse_duration,
    "frames_or_time": quantities.parse_offset,
    "offset": quantities.parse_offset,
    "frequency": quantities.parse_frequency,
    "band": quantities.parse_frequency_range,
    "ppm": quantities.parse_ppm,
    "signed_ppm": quantities.parse_ppm,
    "length": quantities.parse_length,
    "decibels": quantities.parse_decibels,
    "resistance": quantities.parse_resistance,
    "full_scale": quantities.parse_full_scale,
    "temperature": quantities.parse_temperature_range,
    "voltage": quantities.parse_voltage,
    "voltage_range": quantities.parse_voltage_range,
    "power_level": quantities.parse_power,
    "size": sizes.parse_size,
    "short_time": phase.parse_phase,
    "shutter": exposure.parse_shutter,
    "clock_time": quantities.parse_clock_time,
    "date": quantities.parse_date,
    "idle_time": idle_time,
}
"""What reads the texts of a definition later on."""


def raw(kind: str) -> dict[str, Any]:
    schema: dict[str, Any] = json.loads(schema_text(kind))
    return schema


def target(part: dict[str, Any], schema: dict[str, Any]) -> dict[str, Any]:
    """The part with its reference filled in."""
    if "$ref" not in part:
        return part
    definition: dict[str, Any] = schema["$defs"][part["$ref"].removeprefix("#/$defs/")]
    return {**definition, **part}


def is_key(path: tuple[str, ...]) -> bool:
    """Whether a part is a key that a user can write: branches only narrow what stands in `properties` already."""
    return path[-2] == "properties" and "if" not in path and "then" not in path


@pytest.fixture(params=KINDS)
def kind(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_every_kind_of_document_has_its_schema_file() -> None:
    assert {f"{kind.replace('/', '-')}.schema.json" for kind in KINDS} <= {
        path.name for path in schema_folder().iterdir()
    }


def test_an_unknown_kind_has_no_schema() -> None:
    with pytest.raises(ValueError, match="'tea/1' is no kind of document; the kinds are setup/1, kit/1"):
        schema_text("tea/1")


def test_a_schema_is_valid_and_names_itself(kind: str) -> None:
    schema = raw(kind)
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["$id"] == f"urn:synclint:{kind.replace('/', '-')}"


def test_every_key_has_a_description_and_an_example(kind: str) -> None:
    schema = raw(kind)
    keys = [(path, target(part, schema)) for path, part in schema_parts(schema) if is_key(path)]
    assert len(keys) > {"log/1": 12}.get(kind, 50)
    assert not [path for path, part in keys if not part.get("description") or not part.get("examples")]
    assert not [path for path, part in keys if not re.fullmatch(r"[A-Z].*\.", part["description"])]


def test_every_definition_has_a_title_and_an_example(kind: str) -> None:
    definitions = raw(kind)["$defs"]
    assert not [name for name, part in definitions.items() if not part.get("title") or not part.get("examples")]


def test_every_example_holds_against_its_own_part(kind: str) -> None:
    schema = raw(kind)
    wrong = []
    for path, part in schema_parts(schema):
        validator = Draft202012Validator({**part, "$defs": schema["$defs"]})
        wrong += [(path, example) for example in part.get("examples", ()) if not validator.is_valid(example)]
    assert not wrong


def test_whatever_can_be_written_wrongly_has_a_title(kind: str) -> None:
    schema = raw(kind)
    leaves = [(path, target(part, schema)) for path, part in schema_parts(schema) if is_key(path)]
    assert not [path for path, part in leaves if not part.get("title") and part.get("type") != "array"]


def test_what_stands_beside_a_reference_only_describes(kind: str) -> None:
    schema = raw(kind)
    assert not [path for path, part in schema_parts(schema) if "$ref" in part and part.keys() - ANNOTATIONS]
    assert "$ref" not in json.dumps(filled_schema(kind))


def test_there_are_no_alternatives_that_would_blur_messages(kind: str) -> None:
    assert not {"anyOf", "oneOf"} & set(re.findall(r'"(\w+)":', schema_text(kind)))


def test_every_mapping_with_named_keys_is_closed(kind: str) -> None:
    schema = raw(kind)
    mappings = [(path, part) for path, part in schema_parts(schema) if "properties" in part and "then" not in path]
    assert not [path for path, part in mappings if part.get("additionalProperties") is not False]


def test_what_several_schemas_define_is_the_same() -> None:
    for one, other in combinations([raw(kind)["$defs"] for kind in KINDS], 2):
        shared = one.keys() & other.keys()
        assert {"text", "date"} <= shared
        assert not [name for name in shared if one[name] != other[name]]


def test_no_definition_is_left_over(kind: str) -> None:
    text = schema_text(kind)
    assert not [name for name in raw(kind)["$defs"] if f'"#/$defs/{name}"' not in text]


@pytest.mark.parametrize(("kind", "name"), [("setup/1", "event"), ("log/1", "entry")])
def test_every_kind_of_event_has_its_branch_and_only_known_keys(kind: str, name: str) -> None:
    event = raw(kind)["$defs"][name]
    branches = {branch["if"]["properties"]["do"]["const"]: branch["then"] for branch in event["allOf"]}
    assert list(branches) == event["properties"]["do"]["enum"]
    for then in branches.values():
        assert set(then["propertyNames"]["enum"]) <= event["properties"].keys()
        assert set(then.get("required", ())) <= set(then["propertyNames"]["enum"])


def test_marks_of_what_is_judged_are_false_or_say_description(kind: str) -> None:
    marks = [part["judged"] for _, part in schema_parts(raw(kind)) if "judged" in part]
    assert marks
    assert all(mark is False or mark == "description" for mark in marks)


def test_what_a_schema_shows_as_a_quantity_can_be_read_as_one() -> None:
    definitions = {name: part for kind in KINDS for name, part in raw(kind)["$defs"].items()}
    assert {name for name, part in definitions.items() if "quantity" in part} <= READERS.keys() <= definitions.keys()
    for name, reader in READERS.items():
        for example in definitions[name]["examples"]:
            reader(example)

"""The report for machines: its form, its schema, and that nothing in it breaks a reader."""

import io
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from synclint import __version__
from synclint.findings import Confirmed, Hurts, Level, Mended
from synclint.report import json_report
from synclint.result import Crash, Report
from tests.report import made

SCHEMA: dict[str, Any] = json.loads(
    (Path(__file__).parents[2] / "schemas" / "report-1.schema.json").read_text(encoding="utf-8")
)
EVERY = [made.SMALL, made.SOUND, made.UNREADABLE, made.hostile(), Report("k.kit.yaml", "kit")]


def text_of(*reports: Report, show: Level = Level.NOTE) -> str:
    stream = io.StringIO()
    json_report.write(reports, stream, show=show, color="always", skipped=3)
    return stream.getvalue()


def parts(schema: Any, where: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every schema within a schema, with where it stands."""
    if isinstance(schema, dict):
        yield where, schema
        for key, value in schema.items():
            yield from parts(value, f"{where}/{key}")
    elif isinstance(schema, list):
        for number, value in enumerate(schema):
            yield from parts(value, f"{where}/{number}")


def closed(schema: Any) -> Any:
    """The schema with no room for keys that it does not describe."""
    if isinstance(schema, list):
        return [closed(each) for each in schema]
    if not isinstance(schema, dict):
        return schema
    same = {key: closed(value) for key, value in schema.items()}
    return {**same, "additionalProperties": False} if isinstance(same.get("properties"), dict) else same


def test_the_schema_is_one() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_every_key_is_described() -> None:
    for where, part in parts(SCHEMA):
        if where.endswith("/properties"):
            assert all(each.get("description") for each in part.values()), where


@pytest.mark.parametrize("show", list(Level))
def test_every_report_fits_the_schema_and_says_nothing_beside_it(show: Level) -> None:
    jsonschema.Draft202012Validator(closed(SCHEMA)).validate(json.loads(text_of(*EVERY, show=show)))
    jsonschema.Draft202012Validator(closed(SCHEMA)).validate(json.loads(text_of()))


def test_the_words_of_the_schema_are_those_of_the_findings() -> None:
    defs = SCHEMA["$defs"]
    finding = defs["finding"]["properties"]
    assert finding["level"]["enum"] == [each.value for each in Level]
    assert finding["hurts"]["enum"] == [each.value for each in Hurts]
    assert finding["mended"]["enum"] == [each.value for each in Mended]
    assert defs["source"]["properties"]["confirmed"]["enum"] == [each.value for each in Confirmed]


def test_a_finding_in_full() -> None:
    document = json.loads(text_of(made.SMALL))
    file = document["files"][0]
    place = {"path": "devices/cam_c/timecode/rate", "file": made.FILE, "line": 41, "column": 17}
    place |= {"end_line": 41, "end_column": 21}
    assert document["synclint"] == "report/1"
    assert document["version"] == __version__
    assert document["skipped"] == 3
    assert document["counts"] == file["counts"] == {"error": 1, "warning": 2, "note": 1}
    assert file["findings"][0] == {
        "rule": "labels-part",
        "level": "error",
        "hurts": "day",
        "mended": "rental",
        "says": "cam_c labels at 24, the project at 23.976 NDF.",
        "devices": ["cam_c"],
        "place": place,
        "also": [],
        "costs": {
            "says": "3.6 s an hour: 45.0 s by wrap at 19:00.",
            "amounts": [{"name": "label gap by wrap", "value": 44.955, "unit": "s"}],
        },
        "fix": {
            "says": "Set 23.976 NDF in the menu of cam_c, then jam again.",
            "edits": [{"do": "set value", "place": place, "value": "23.976 NDF"}],
        },
        "rests_on": [],
        "sources": [{"text": "24 against 24000/1001", "confirmed": "exact arithmetic"}],
    }


def test_what_a_finding_assumes_and_whether_that_decides() -> None:
    finding = json.loads(text_of(made.hostile()))["files"][0]["findings"][0]
    assert [fact["decides"] for fact in finding["rests_on"]] == [True, False]


def test_show_leaves_out_findings_and_no_counts() -> None:
    file = json.loads(text_of(made.SMALL, show=Level.ERROR))["files"][0]
    assert [finding["level"] for finding in file["findings"]] == ["error"]
    assert file["not_shown"] == 3
    assert file["counts"]["note"] == 1


def test_a_tree_keeps_its_form_in_a_list() -> None:
    tree = json.loads(text_of(made.SMALL))["files"][0]["overview"]["timecode"]["tree"]
    assert [(each["depth"], each["devices"][0]) for each in tree] == [
        (0, "bag"),
        (1, "box_1"),
        (2, "cam_a"),
        (1, "slate"),
    ]


def test_a_long_chain_and_many_findings_are_all_there() -> None:
    file = json.loads(text_of(made.large(3000)))["files"][0]
    assert len(file["findings"]) == 3000
    assert file["overview"]["timecode"]["tree"][-1]["depth"] == 2999


def test_why_rules_did_not_run_and_what_failed() -> None:
    report = Report("x", "", held_back="a kit could not be read", crashes=(Crash("", "x", "trace"),))
    text = text_of(report)
    jsonschema.Draft202012Validator(closed(SCHEMA)).validate(json.loads(text))
    file = json.loads(text)["files"][0]
    assert (file["rules_held_back"], file["held_back_because"]) == (True, "a kit could not be read")
    assert file["crashes"] == [{"rule": None, "error": "x"}]


def test_strict_readers_can_read_hostile_text() -> None:
    text = text_of(made.hostile())
    assert text.isascii()
    json.dumps(json.loads(text), ensure_ascii=False).encode("utf-8", "strict")
    assert "Infinity" not in text


def test_no_path_of_the_program_is_given_away() -> None:
    assert "secret" not in text_of(made.hostile())


def test_the_same_reports_give_the_same_bytes() -> None:
    assert text_of(*EVERY) == text_of(*EVERY)

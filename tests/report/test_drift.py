"""Drift on a terminal, in a pipe and as JSON."""

import io
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from synclint.drift.values import Drift
from synclint.findings import Level
from synclint.report import drift, json_report
from synclint.result import Report
from tests.report import drifts, made
from tests.report.test_json import closed

SCHEMA: dict[str, Any] = json.loads(
    (Path(__file__).parents[2] / "schemas" / "report-1.schema.json").read_text(encoding="utf-8")
)


def printed(told: Drift | None, report: Report = made.SOUND) -> str:
    stream = io.StringIO()
    drift.write([replace(report, drift=told)], stream, show=Level.NOTE, color="never", skipped=0)
    return stream.getvalue()


def screen(told: Drift, width: int, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setenv("COLUMNS", str(width))
    stream = made.Screen()
    drift.write([replace(made.SOUND, drift=told)], stream, show=Level.NOTE, color="never", skipped=0)
    return stream.getvalue()


def test_the_table_has_a_step_where_there_is_one_and_marks_what_is_beyond() -> None:
    text = printed(drifts.LEAVES)
    assert "  box_a, cam_a  – → 0.1  10.0     15.0   25.0 → 0.1  35.0   45.0 !\n" in text
    # Of a frame of 40 ms; the larger of both sides of a step.
    assert "    in frames   <0.01    0.25     0.38   0.63        0.88   1.13\n" in text
    assert "– no bound, set by hand: box_a, cam_a" in text


def test_what_leaves_the_tolerance_stands_first() -> None:
    lines = [line.strip() for line in printed(drifts.LEAVES).splitlines()]
    assert lines[2:5] == [
        "Leaves the tolerance of 1 frame (40 ms) at 15:14:08: cam_a and bag; their jams hold until 14:02:16.",
        "Leaves the tolerance of 1 frame (40 ms) inside the take from 09:00 to 10:00: cam_a and bag, 46 ms at its end.",
        "No bound between cam_b and bag, which roll at 09:00: restarted without a jam; jam before that take.",
    ]


def test_a_day_that_holds_says_so() -> None:
    text = printed(drifts.HOLDS)
    assert "Holds: nothing that rolls together leaves the tolerance of 1 frame (40 ms)." in text
    assert "Leaves" not in text
    assert "No jam is needed after the morning's jam (07:00)." in text


def test_the_plan_and_what_would_spare_it() -> None:
    text = printed(drifts.LEAVES)
    assert "The jams as written (07:00 and 12:00) do not hold." in text
    assert (
        "2 rounds of jams after it would do: in the break of 12:30 to 13:15, by 15:00; at 17:00, in working time."
        in text
    )
    assert "With the jams as written kept, 1 more round would do: in the break of 12:30 to 13:15, by 15:00." in text
    # Never laxer than it is: 0.34356 ppm is said as 0.343.
    assert "All others as they are, box_a at 0.343 ppm (now 0.5 ppm) would need none of them." in text
    assert "No accuracy of bag alone would do." in text


def test_a_take_tells_its_sum_and_how_long_it_may_be() -> None:
    text = printed(drifts.LEAVES)
    assert "label 10 ms at its start, slip 36 ms, together 46 ms, 1.15 frames" in text
    # 3,000.9 s are never said as 3,001.
    assert "beyond the tolerance after 50 min; jam before it, or cut sooner" in text


def test_frames_and_measurements_have_their_sections() -> None:
    text = printed(drifts.LEAVES)
    assert "odds of one a frame off at the worst moment: 7 in 10." in text
    assert "A tolerance under half a frame asks for a reference" in text
    assert "box_a against bag: +0.15 ppm (+0.1 ppm to +0.2 ppm with 95 % confidence, 3 readings)" in text
    assert "stated -1 ppm to +1 ppm, and it is within; 12:38 is off the line by 40 ms: misread" in text


@pytest.mark.parametrize("width", [60, 80, 160])
def test_no_line_is_wider_than_the_screen(width: int, monkeypatch: pytest.MonkeyPatch) -> None:
    text = screen(drifts.LEAVES, width, monkeypatch)
    assert max(map(len, text.splitlines())) <= width


def test_a_narrow_screen_has_the_table_in_pieces(monkeypatch: pytest.MonkeyPatch) -> None:
    text = screen(drifts.LEAVES, 50, monkeypatch)
    assert text.count("box_a, cam_a") > printed(drifts.LEAVES).count("box_a, cam_a")


def test_a_pipe_without_the_fancy_characters_gets_plain_ones() -> None:
    stream = io.TextIOWrapper(io.BytesIO(), encoding="ascii", newline="\n")
    drift.write([replace(made.SOUND, drift=drifts.LEAVES)], stream, show=Level.NOTE, color="never", skipped=0)
    stream.flush()
    raw = stream.buffer
    assert isinstance(raw, io.BytesIO)
    assert b"- > 0.1" in raw.getvalue()


def test_without_a_tolerance_the_offsets_are_told_all_the_same() -> None:
    text = printed(replace(drifts.LEAVES, tolerance=None, frame=None, plan=None, takes=()))
    assert "Nobody says what the tolerance is" in text
    assert "10.0     15.0" in text
    assert "in frames" not in text


def test_a_file_at_fault_is_told_as_by_check() -> None:
    assert made.UNREADABLE.findings[0].sentence.split()[0] in printed(None, made.UNREADABLE)


def test_errors_of_the_setup_are_mentioned() -> None:
    assert "`synclint check` finds 1 error in this setup" in printed(drifts.HOLDS, made.SMALL)


def test_hostile_text_is_shown_and_not_obeyed() -> None:
    text = printed(replace(drifts.LEAVES, title=made.HOSTILE, masters=(made.HOSTILE,)))
    assert not set("\x1b\u202e\x07\x9b") & set(text)


def document(told: Drift | None) -> Any:
    stream = io.StringIO()
    report = replace(made.SOUND, drift=told)
    json_report.write([report], stream, show=Level.NOTE, color="never", skipped=0)
    return json.loads(stream.getvalue())


@pytest.mark.parametrize(
    "told", [drifts.LEAVES, drifts.HOLDS, drifts.EMPTY, None], ids=["leaves", "holds", "empty", "none"]
)
def test_json_fits_the_schema_and_says_nothing_beside_it(told: Drift | None) -> None:
    jsonschema.Draft202012Validator(closed(SCHEMA)).validate(document(told))


def test_json_tells_milliseconds_and_frames() -> None:
    told = document(drifts.LEAVES)["files"][0]["drift"]
    assert told["holds"] is False
    assert told["tolerance"] == {"ms": 40.0, "frames": 1.0}
    assert told["devices"][0]["moments"][0] == {
        "before": {"ms": None, "frames": None, "why": "no bound: set by hand"},
        "after": {"ms": 0.1, "frames": 0.0025, "why": None},
    }
    assert told["devices"][0]["worst"] == {"ms": 35.0, "frames": 0.875, "clock": "19:00"}
    assert told["jams"]["rounds"][0] == {"clock": "12:30", "by": "15:00", "in_break": "12:30 to 13:15"}
    assert len(told["devices"][0]["moments"]) == len(told["moments"])


def test_the_same_drift_gives_the_same_text() -> None:
    assert printed(drifts.LEAVES) == printed(drifts.LEAVES)

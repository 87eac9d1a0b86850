"""Drift on a terminal, in a pipe and as JSON."""

import io
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from synclint.drift.values import Drift, JamRound
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
    assert "No jam is needed after the first jam (07:00)." in text


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


@pytest.mark.parametrize(
    ("jams", "morning", "logged", "said"),
    [
        (("07:00", "12:00"), "07:00", False, "With no jam after the first jam (07:00) the tolerance is kept until"),
        (("07:00", "07:10"), "07:10", False, "With no jam after the jams up to 07:10 the tolerance is kept until"),
        (("07:00", "12:00"), "12:00", True, "With no jam after the last jam of the log (12:00) the tolerance is kept"),
        ((), "06:30", False, "With no jam the tolerance is kept until 15:14:08: cam_a and bag."),
    ],
)
def test_the_jam_that_is_planned_from_is_called_by_what_it_is(
    jams: tuple[str, ...], morning: str, logged: bool, said: str
) -> None:
    plan = replace(drifts.PLAN, jams=jams, morning=morning, logged=logged)
    assert said in printed(replace(drifts.LEAVES, plan=plan))


def test_a_day_without_jams_tells_of_none_that_is_taken_for_granted() -> None:
    plan = replace(drifts.PLAN, jams=(), granted=True)
    assert "- The days tell of no jam.\n" in printed(replace(drifts.LEAVES, plan=plan))
    granted = replace(drifts.PLAN, granted=True)
    assert "The days tell of no jam; one at each call is taken" in printed(replace(drifts.LEAVES, plan=granted))


def test_a_plan_tells_of_a_master_that_is_set_anew() -> None:
    leaves = replace(drifts.PLAN.leaves, clock="14:20", why="bag was set anew at 13:50")  # type: ignore[type-var]  # there is one
    rounds = (JamRound(drifts.HOUR, "13:50", "14:20", "13:00 to 14:00"),)
    plan = replace(drifts.PLAN, morning_leaves=leaves, rounds=rounds)
    text = printed(replace(drifts.LEAVES, plan=plan))
    told = "nobody can say from 14:20 on how far cam_a and bag are apart: bag was set anew at 13:50."
    assert f"With no jam after the first jam (07:00) {told}" in text
    assert "in the break of 13:00 to 14:00, from 13:50 on, by 14:20" in text


def test_a_round_tells_who_is_jammed_by_a_lead() -> None:
    alone = JamRound(drifts.HOUR, "14:40", "14:40", None, by_lead=(("box_b", "bag"),), others=False)
    plan = replace(drifts.PLAN, rounds=(alone, replace(alone, others=True)))
    text = printed(replace(drifts.LEAVES, plan=plan))
    assert "at 14:40, in working time, by 14:40 (box_b from bag by a lead); " in text
    assert "at 14:40, in working time, by 14:40 (and box_b from bag by a lead)." in text


def test_a_pair_tells_when_it_has_no_bound() -> None:
    pair = replace(drifts.PAIR, unbounded=("14:20", "18:40"))
    text = printed(replace(drifts.LEAVES, pairs=(pair,)))
    assert "at 10:00, while they roll; in the takes at 14:20 and 18:40 they have no bound" in text
    days = replace(pair, rolling=False, unbounded=("13:50 to 19:00",))
    text = printed(replace(drifts.LEAVES, pairs=(days,)))
    assert "at 10:00; from 13:50 to 19:00 they have no bound" in text


def test_where_no_take_is_told_none_is_spoken_of() -> None:
    unbounded = replace(drifts.LEAVES.unbounded[0], rolling=False)
    text = printed(replace(drifts.LEAVES, unbounded=(unbounded,)))
    assert "No bound between cam_b and bag from 09:00 on: restarted without a jam; jam then." in text


@pytest.mark.parametrize(
    ("inside", "outside", "said"),
    [(True, False, "is within"), (False, False, "may be within"), (False, True, "is outside")],
)
def test_a_measured_rate_is_held_against_what_is_stated(inside: bool, outside: bool, said: str) -> None:
    rate = replace(drifts.LEAVES.measured[0], inside=inside, outside=outside)
    assert f"stated -1 ppm to +1 ppm, and it {said};" in printed(replace(drifts.LEAVES, measured=(rate,)))


def test_a_comparison_that_is_of_no_use_is_told() -> None:
    unused = ("the comparison of box_b with bag at 12:36 says nothing of a rate: bag was off then",)
    text = printed(replace(drifts.HOLDS, measured=(), unused=unused))
    assert "MEASURED\n  - the comparison of box_b with bag at 12:36" in text


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
    assert told["jams"]["rounds"][0] == {
        "clock": "12:30",
        "by": "15:00",
        "in_break": "12:30 to 13:15",
        "by_lead": [],
        "others": True,
    }
    assert len(told["devices"][0]["moments"]) == len(told["moments"])


def test_the_same_drift_gives_the_same_text() -> None:
    assert printed(drifts.LEAVES) == printed(drifts.LEAVES)

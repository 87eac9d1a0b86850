"""Labels that part from watches; exact arithmetic on 1000/1001."""

import pytest

from synclint.findings import Level
from synclint.rules.watch import non_drop_labels_as_wall_clock
from tests.rules.running import Came, came_of, rig

DAY = "call: 07:00, wrap: 19:00, longest_take: 10 min"  # 12 h


def camera(rate: str, *, project: str = "rate: 24", day: str = "") -> str:
    timecode = f"timecode: {{from: own clock, mode: free run, rate: {rate}}}"
    text = rig(f"  cam: {{{timecode}, records: {{timecode_on: [file]}}}}", project=project, day=day)
    return text.replace("date: 2026-06-14, date:", "date:")


def logged(rate: str, by: str = "", *, means: str = "time of day", day: str = DAY) -> Came:
    project = f"rate: {rate}, timecode: {{as: {means}}}{by}"
    return came_of(non_drop_labels_as_wall_clock, camera(rate, project=project, day=day))


@pytest.mark.parametrize("rate", ["23.976", "29.97 NDF", "59.94 NDF"])
def test_a_watch_runs_away_from_non_drop_labels(rate: str) -> None:
    came = logged(rate, ", logged_by: watch")
    assert came.one.level is Level.WARNING
    # 12 h: 43,200/1001 = 43.157 s; an hour 3.596 s
    assert came.amounts["labels behind the clock"] == pytest.approx(3.5964, abs=1e-4)
    assert came.amounts["labels behind the clock at wrap"] == pytest.approx(43.157, abs=1e-3)
    assert "3.596 s an hour, 43.2 s by wrap (19:00)" in came.one.cost_sentence


def test_several_days_add_up() -> None:
    text = camera("23.976", project="rate: 23.976, timecode: {as: time of day}, logged_by: watch", day=DAY)
    text = text.replace("days: [", "days: [{date: 2026-06-13}, ")
    # 86,400/1001 = 86.3 s a day
    assert "1 min 26 s from one day to the next" in came_of(non_drop_labels_as_wall_clock, text).one.cost_sentence


def test_where_nobody_says_how_takes_are_logged_it_is_a_line_of_the_checklist() -> None:
    came = logged("23.976")
    assert not came.findings
    assert len(came.checklist) == 1
    assert came.checklist[0].sentence == (
        "Log takes by a timecode display and not by a watch: 23.976 labels fall behind the watch by 3.596 s an hour, "
        "43.2 s by wrap (19:00) if they were right at call"
    )


@pytest.mark.parametrize("rate", ["25", "24", "29.97 DF", "29.97"])
def test_silence_about_labels_of_real_seconds(rate: str) -> None:
    assert logged(rate, ", logged_by: watch").silent


def test_silence_about_a_log_by_timecode_and_about_elapsed_time() -> None:
    assert logged("23.976", ", logged_by: timecode display").silent
    assert logged("23.976", ", logged_by: watch", means="elapsed").silent


NIGHT = (
    "date: 2026-10-24, zone: Europe/Lisbon, call: 19:00, wrap: 05:00 +1, "
    "events: [{at: 19:20, do: set clock, of: [cam], from: wall clock}]"
)


def test_a_night_in_which_the_clocks_go_back_counts_in_real_hours_from_the_setting() -> None:
    """Summer time ends on 25 October 2026 at 01:00 UTC in all of the European Union (tz database).

    From 19:20 to 05:00 are 9 h 40 min on the wall and 10 h 40 min in truth: 38,400 s / 1001 = 38.36 s.
    """
    came = logged("23.976", ", logged_by: watch", day=NIGHT)
    assert came.amounts["labels behind the clock at wrap"] == pytest.approx(38.362, abs=1e-3)
    assert (
        "38.4 s by wrap (05:00 +1) if they were set right at 19:20; the clocks go back by 1 h at 02:00 +1, and the "
        "labels do not go with them" in came.one.cost_sentence
    )


def test_a_night_in_which_they_go_forward() -> None:
    """On 28 March 2027 at 01:00 UTC: from 19:20 to 05:00 are 8 h 40 min: 31,200 s / 1001 = 31.17 s."""
    came = logged("23.976", ", logged_by: watch", day=NIGHT.replace("2026-10-24", "2027-03-27"))
    assert came.amounts["labels behind the clock at wrap"] == pytest.approx(31.169, abs=1e-3)
    assert "the clocks go forward by 1 h at 01:00 +1" in came.one.cost_sentence


def test_half_an_hour_is_moved_where_that_is_the_rule() -> None:
    """Lord Howe Island, 4 April 2027: 30 minutes back at 15:00 UTC on the day before, 02:00 on its clocks."""
    day = NIGHT.replace("2026-10-24", "2027-04-03").replace("Europe/Lisbon", "Australia/Lord_Howe")
    came = logged("23.976", ", logged_by: watch", day=day)
    assert "the clocks go back by 30 min at 02:00 +1" in came.one.cost_sentence

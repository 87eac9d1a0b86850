"""The sample days: one that holds, one that wants a jam at lunch, one lost with a battery, one out of radio range."""

from fractions import Fraction
from pathlib import Path

import pytest

from synclint.checker import Choice, check_file
from synclint.drift.values import Drift

DAYS = Path(__file__).parents[2] / "sample_setups" / "days"
EVERY = sorted(DAYS.glob("*.setup.yaml"))


def drift(name: str) -> Drift:
    report = check_file(str(DAYS / f"tideline_{name}.setup.yaml"), Choice(drift=True))
    assert not report.crashes
    assert report.drift is not None
    return report.drift


@pytest.mark.parametrize("path", EVERY, ids=lambda path: path.name)
def test_a_day_opens_with_what_happens_on_it(path: Path) -> None:
    assert path.read_text(encoding="utf-8").startswith("# ")


def test_a_short_day_holds() -> None:
    found = drift("holds_all_day")
    assert found.holds
    # Recorder and box, 0.5 ppm and 0.2 more that wander each: 1.4 ppm over the 25,200 s to wrap, and 0.1 ms of a jam.
    assert {row.cells[-1].before.seconds for row in found.rows} == {Fraction("0.03528") + Fraction("0.0001")}


def test_a_long_day_wants_a_jam_at_lunch() -> None:
    found = drift("jam_at_lunch")
    assert found.plan is not None
    # A frame of 1001/24000 s less two jams of 0.1 ms, at 1.4 ppm of two boxes: 29,648.8 s after 07:00, 15:14:08.8.
    assert found.plan.leaves is not None
    assert (found.plan.leaves.clock, found.plan.leaves.first) == ("15:14:08", "Camera A")
    (one,) = found.plan.rounds
    assert (one.in_break, one.by) == ("12:30 to 13:15", "15:00")
    # Each box alone: the other against the recorder is 1.4 ppm x 31,200 s and 0.1 ms by 15:40, 43.78 ms.
    assert all(each.ppm is None for each in found.plan.needed)


def test_a_battery_takes_the_time_with_it() -> None:
    found = drift("battery_change")
    assert not found.holds
    assert {(each.first, each.second, each.clock) for each in found.unbounded} == {
        ("Sound bag", "Camera B", "15:00"),
        ("Camera A", "Camera B", "15:00"),
    }
    assert {each.why for each in found.unbounded} == {"no bound: restarted without a jam"}


def test_a_lost_link_lets_a_box_run_by_itself() -> None:
    found = drift("link_lost")
    assert found.holds
    cells = {who: row.cells for row in found.rows for who in row.devices}
    at = [moment.clock for moment in found.moments].index("13:00")
    # 0.3 ppm of the master and 0.7 of the box over two hours: 7.2 ms; then it is back with the others.
    lost, kept = cells["box_b"][at], cells["box_a"][at]
    assert lost.before.seconds is not None
    assert kept.before.seconds is not None
    assert lost.before.seconds - kept.before.seconds == pytest.approx(Fraction("0.0072"), abs=1e-6)
    assert lost.after == kept.after

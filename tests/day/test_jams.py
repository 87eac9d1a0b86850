"""The plan of jams against a search through all plans, and a few plans worked out on paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction as F
from itertools import combinations
from math import inf
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from synclint.day.clocktime import clock_of
from synclint.day.forecast import Forecast
from synclint.day.jams import Planner, Round
from synclint.day.phases import Phases
from synclint.day.run import run_days
from synclint.day.schedule import Instead
from tests.day.running import Days, lived, shoot

MS = F(1, 1000)
CALL, WRAP = 7 * 60, 21 * 60


def clock(minute: int) -> str:
    return f"{minute // 60:02}:{minute % 60:02}"


def day_of(devices: str, events: Sequence[str], links: str) -> Days:
    made = "\n".join(f"  {line.strip()}" for line in devices.strip().splitlines())
    leads = "\n".join(f"  - {line.strip()}" for line in links.strip().splitlines())
    return lived(
        "synclint: setup/1\ntitle: A day of a test\nproject: {rate: 25, tolerance: 1/2 frame, master: {timecode: m}}\n"
        f"days:\n  - {{date: 2026-06-14, call: {clock(CALL)}, wrap: {clock(WRAP)}, events: [{', '.join(events)}]}}\n"
        f"devices:\n{made}\nlinks:\n{leads}\n"
    )


def boxes(ppms: Sequence[str], chained: bool = False) -> tuple[str, str]:
    """A master of 0.2 ppm, and recorders jammed from it; where they are chained, each from the one before."""
    rig = "m: {able: {ports: {out: {out: [LTC]}}, clock: {accuracy: 0.2 ppm}}, timecode: {from: own clock}}\n"
    leads = ""
    for number, ppm in enumerate(ppms):
        rig += (
            f"b{number}: {{able: {{ports: {{tc: {{in: [LTC]}}, out: {{out: [LTC]}}}}, clock: {{accuracy: {ppm} ppm}}, "
            "timecode: {jam_error: 0.1 ms, keeps_time_off: 3 h}}, timecode: {from: tc, mode: jam}, "
            "records: {sound: {sample_rate: 48 kHz}}}\n"
        )
        source = f"b{number - 1}" if chained and number else "m"
        leads += f"{{from: {source}.out, to: b{number}.tc, carries: LTC, connected: to jam}}\n"
    return rig, leads


def planner_of(made: Days, tolerance: F) -> Planner:
    return Planner(made.case.setup, made.case.timecode, made.case.clock, tolerance)


# --- worked plans ---


def test_a_day_that_holds_needs_no_round() -> None:
    # (1 + 0.5) ppm × 14 h is 75.6 ms, and two jams.
    rig, leads = boxes(["1", "0.5"])
    plan = planner_of(day_of(rig, ["{at: 07:00, do: jam, of: all}"], leads), F("75.8") * MS).plan
    assert (plan.holds, plan.first_breach, plan.morning_breach, plan.rounds, plan.possible) == (
        True,
        None,
        None,
        (),
        True,
    )
    made = day_of(rig, ["{at: 07:00, do: jam, of: all}"], leads)
    plan = planner_of(made, F("75.7") * MS).plan
    assert not plan.holds
    assert plan.morning_breach is not None
    # 0.1 ms too much, at 1.5 ppm: the last 66 2/3 s are beyond it.
    assert plan.morning_breach.at == made.instant("21:00") - F(200, 3)


@pytest.mark.parametrize(
    ("tolerance", "rounds"),
    [
        # 2 ppm is 7.2 ms an hour, two jams 0.2 ms. With 50.6 ms a round holds for 7 h: till 14:00, and from a break at
        # 13:00 till 20:00, an hour too short; from its end at 14:00 to the wrap.
        (F("50.6"), [("14:00", "14:00", True)]),
        # With 57.8 ms for 8 h: till 15:00, and from 13:00 to the wrap.
        (F("57.8"), [("13:00", "15:00", True)]),
        # With 43.4 ms for 6 h: till 13:00, where the break begins, and from there till 19:00, where the next must be.
        (F("43.4"), [("13:00", "13:00", True), ("19:00", "19:00", False)]),
        # With 36.2 ms for 5 h: till 12:00, before the break, and from there till 17:00. In the break, too, would be one
        # round more: from 14:00 only till 19:00. Fewer rounds go before more of them in breaks.
        (F("36.2"), [("12:00", "12:00", False), ("17:00", "17:00", False)]),
    ],
)
def test_a_day_without_takes(tolerance: F, rounds: list[tuple[str, str, bool]]) -> None:
    rig, leads = boxes(["1", "1"])
    made = day_of(rig, ["{at: 07:00, do: jam, of: all}", "{at: 13:00, do: break, until: 14:00}"], leads)
    plan = planner_of(made, tolerance * MS).plan
    said = [
        (clock_of(made.case.setup, each.at), clock_of(made.case.setup, each.by or F(0)), each.in_break)
        for each in plan.rounds
    ]
    assert said == rounds


def test_never_inside_a_take() -> None:
    # 2 ppm is 7.2 ms an hour: 43.4 ms hold for 6 h, till 13:00, inside the take from 11:00 to 14:00. So it must be done
    # by 11:00; at the end of the take before, at 10:00, is a natural moment, and holds till 16:00. That is inside the
    # take from 15:00 to 18:00, so the next must be done by 15:00; at 14:00 another take ends.
    rig, leads = boxes(["1", "1"])
    takes = [(9, 10), (11, 14), (15, 18)]
    events = [
        "{at: 07:00, do: jam, of: all}",
        *(f"{{at: {a:02}:00, do: roll, of: [b0, b1], until: {b}:00}}" for a, b in takes),
    ]
    made = day_of(rig, events, leads)
    plan = planner_of(made, F("43.4") * MS).plan
    assert plan.morning_breach is not None
    assert clock_of(made.case.setup, plan.morning_breach.at) == "13:00"
    said = [(clock_of(made.case.setup, each.at), clock_of(made.case.setup, each.by or F(0))) for each in plan.rounds]
    assert said == [("10:00", "11:00"), ("14:00", "15:00")]


def test_a_take_that_is_too_long() -> None:
    rig, leads = boxes(["1", "1"])
    events = ["{at: 07:00, do: jam, of: all}", "{at: 09:00, do: roll, of: [b0, b1], until: 16:00}"]
    plan = planner_of(day_of(rig, events, leads), F("43.4") * MS).plan
    assert (plan.possible, plan.rounds) == (False, ())


def recording(rig: str) -> str:
    """The same rig with a master that records too."""
    return rig.replace("timecode: {from: own clock}}", "timecode: {from: own clock}, records: {sound: {}}}", 1)


def rounds_of(made: Days, tolerance: F, *, keep_written: bool = False) -> list[tuple[str, str, bool]]:
    case = made.case
    plan = Planner(case.setup, case.timecode, case.clock, tolerance, keep_written=keep_written).plan
    assert plan.possible
    return [
        (clock_of(case.setup, each.at), clock_of(case.setup, each.by or F(0)), each.in_break) for each in plan.rounds
    ]


TAKE = "{at: 13:30, do: roll, of: [m, b0, b1], until: 14:00}"
ANEW = "{at: 11:30, do: set clock, of: [m]}"
MORNING, BREAK = "{at: 07:00, do: jam, of: all}", "{at: 10:00, do: break, until: 12:00}"


@pytest.mark.parametrize(
    ("events", "tolerance", "rounds"),
    [
        # 2 ppm is 7.2 ms an hour, two jams 0.2 ms: 43.4 ms hold for 6 h, to 13:00, and from the break on to 16:00.
        ([MORNING, BREAK, TAKE], F("43.4"), [("10:00", "13:30", True)]),
        # But the master is set anew at 11:30: a jam before that is lost on the take at 13:30.
        ([MORNING, BREAK, TAKE, ANEW], F("43.4"), [("11:30", "13:30", True)]),
        # So it is however little the clocks drift.
        ([MORNING, BREAK, TAKE, ANEW], F(1000), [("11:30", "13:30", True)]),
        # Where it is set in working time the end of the take before, at 11:00, will not do.
        (
            [MORNING, "{at: 10:00, do: roll, of: [m, b0], until: 11:00}", TAKE, ANEW],
            F(1000),
            [("11:30", "13:30", False)],
        ),
        # Without the master the two that share its old time are alike.
        ([MORNING, BREAK, TAKE.replace("m, ", ""), ANEW], F(1000), []),
        # Where no take is told a round has a quarter of an hour.
        ([MORNING, ANEW], F(1000), [("11:30", "11:45", False)]),
    ],
)
def test_a_jam_before_its_master_is_set_anew_is_lost(
    events: list[str], tolerance: F, rounds: list[tuple[str, str, bool]]
) -> None:
    rig, leads = boxes(["1", "1"])
    assert rounds_of(day_of(recording(rig), events, leads), tolerance * MS) == rounds


@pytest.mark.parametrize("take", [TAKE, ""])
def test_a_jam_right_after_it_is_enough(take: str) -> None:
    rig, leads = boxes(["1", "1"])
    events = [MORNING, ANEW, "{at: 11:40, do: jam, of: all}", *filter(None, [take])]
    assert rounds_of(day_of(recording(rig), events, leads), F(1), keep_written=True) == []


AIR = """
    m: {able: {ports: {radio: {out: [timecode]}}, clock: {accuracy: 0 ppm}}, timecode: {from: own clock}}
    r: {able: {ports: {radio: {in: [timecode]}, out: {out: [LTC]}}, clock: {accuracy: 0 ppm}},
        timecode: {from: radio, mode: continuous}, records: {sound: {}}}
    c: {able: {ports: {radio: {in: [timecode]}, tc: {in: [LTC]}}, clock: {accuracy: 5 ppm}},
        timecode: {from: radio, mode: continuous}, records: {picture: {shot_at: 25}}}"""
GROUP = "radio_groups:\n  main: {sends: m.radio, receives: [r.radio, c.radio], carries: timecode}\n"


def by_air(rig: str = AIR) -> Planner:
    events = (
        "{at: 08:00, do: link lost, of: [c], until: 15:00}\n{at: 14:40, do: roll, of: [r, c], until: 14:48}\n"
        "{at: 09:00, do: roll, of: [r, c], until: 09:10}"
    )
    made = shoot(rig, events, more=GROUP)
    return planner_of(made, 40 * MS)


def test_who_has_lost_its_link_is_jammed_by_a_lead() -> None:
    # 5 ppm are 18 ms an hour: 40 ms last 2 h 13 min, and it is 6 h 40 min to the take at 14:40. A jam at the end of
    # the one before, at 09:10, would not hold either.
    planner = by_air()
    (one,) = planner.plan.rounds
    assert (clock_of(planner.setup, one.at), one.by_lead, one.others) == ("14:40", (("c", "r"),), False)


@pytest.mark.parametrize(
    "change", [("tc: {in: [LTC]}", "tc: {in: [sound]}"), ("out: {out: [LTC]}", "out: {out: [sound]}")]
)
def test_without_a_lead_from_one_to_the_other_no_round_helps(change: tuple[str, str]) -> None:
    plan = by_air(AIR.replace(*change)).plan
    assert (plan.possible, plan.rounds) == (False, ())


# --- against all plans ---


def random_day(seed: int, *, jammed_again: bool = False, set_anew: bool = False) -> tuple[Days, F]:
    """A day of few devices, takes and breaks, some of them switched off or late, or some of them jammed again.

    Where its master is set anew it records, too.
    """
    chance = Random(seed)
    count = chance.randint(2, 4)
    rig, leads = boxes([chance.choice(["0.5", "1", "2", "3"]) for _ in range(count)], chance.random() < 0.3)
    keys = [*(["m"] if set_anew else []), *(f"b{number}" for number in range(count))]
    rig, count = (recording(rig) if set_anew else rig), len(keys)
    events = ["{at: 07:00, do: jam, of: all}"]
    at = CALL + chance.choice([0, 10, 60])
    with_takes = chance.random() < 0.7
    while at < WRAP - 120:
        length = chance.choice([15, 30, 60, 100])
        what = chance.random()
        if what < 0.3:
            events.append(f"{{at: {clock(at)}, do: break, until: {clock(at + length)}}}")
        elif what < 0.8 and with_takes:
            some = ", ".join(sorted(chance.sample(keys, chance.randint(2, count))))
            events.append(f"{{at: {clock(at)}, do: roll, of: [{some}], until: {clock(at + length)}}}")
        at += length + chance.choice([0, 5, 30, 90])
    if chance.random() < 0.4:
        off = chance.randrange(CALL + 30, WRAP - 300)
        events.append(
            f"{{at: {clock(off)}, do: power off, of: [{chance.choice([*keys, 'm'])}], "
            f"until: {clock(off + chance.choice([20, 100, 200]))}}}"
        )
    if chance.random() < 0.2:
        events.append(f"{{at: {clock(chance.randrange(CALL + 30, WRAP - 300))}, do: arrive, of: [{keys[-1]}]}}")
    if jammed_again:
        slaves = [key for key in keys if key != "m"]
        some = ", ".join(sorted(chance.sample(slaves, chance.randint(1, len(slaves)))))
        events.append(f"{{at: {clock(chance.randrange(CALL + 60, WRAP - 200))}, do: jam, of: [{some}]}}")
    if set_anew:
        events.append(f"{{at: {clock(chance.randrange(CALL + 60, WRAP - 200))}, do: set clock, of: [m]}}")
    return day_of(rig, events, leads), F(chance.choice([25, 40, 60])) * MS


class Search:
    """All plans of a day, by trying."""

    def __init__(self, made: Days, planner: Planner) -> None:
        self.case, self.planner = made.case, planner
        self.run = made.run
        self.kept = self.run.end if planner.keep_written else planner.morning
        self.since = self.run.start if planner.keep_written else planner.morning
        self.rolls = [(roll.start, roll.end) for roll in self.run.rolls]
        self.breaks = [(step.at, step.until) for step in self.run.steps if step.what == "break" and step.until]
        grid = {self.run.start + 3600 * n for n in range(14 + 1)}
        natural = {at for span in (*self.rolls, *self.breaks) for at in span}
        steps = {step.at for step in self.run.steps}
        self.moments = sorted(at for at in grid | natural | steps if not self.rolls_at(at))
        self.known: dict[tuple[F, ...], F | None] = {}

    def rolls_at(self, at: F) -> bool:
        return any(start < at < end for start, end in self.rolls)

    def in_break(self, at: F) -> bool:
        return any(start <= at <= end for start, end in self.breaks)

    def breach(self, rounds: tuple[F, ...]) -> F | None:
        """The first moment after the last of some rounds at which two that must agree may be beyond the tolerance."""
        if rounds not in self.known:
            run = run_days(self.case.setup, self.case.timecode, Instead(self.kept, rounds))
            forecast = Forecast(run, Phases(run, self.case.clock))
            after = rounds[-1] if rounds else self.since
            self.known[rounds] = min(self._breaches(forecast, after), default=None)
        return self.known[rounds]

    def _breaches(self, forecast: Forecast, after: F) -> Iterator[F]:
        takes = [(roll.start, roll.end, roll.devices) for roll in forecast.run.rolls]
        for start, end, keys in takes or [(self.run.start, self.run.end, ("b0", "b1", "b2", "b3"))]:
            if takes and start >= after and self.joins_two_times(forecast, keys, start):
                yield start
            for first, second in combinations([key for key in keys if key in forecast.run.histories], 2):
                if end > after:
                    at = forecast.leaves(first, second, self.planner.tolerance, max(start, after), end)
                    if at is not None:
                        yield at

    def joins_two_times(self, forecast: Forecast, keys: Sequence[str], at: F) -> bool:
        """Whether a device in a take has its master's time of before it was set, and a jam then would mend that."""
        times = {key: forecast.run.at(key, at).time for key in keys}
        lines = {key: time.line for key, time in times.items() if time is not None}
        jam = self.latest(at)
        mended = run_days(self.case.setup, self.case.timecode, Instead(self.kept, (jam,)))
        newest = {key: mended.at(key, jam).time for key in mended.histories}
        return any(
            lines[one].root == lines[other].root
            and lines[one].since < lines[other].since
            and (time := newest[one]) is not None
            and all(
                time.line.since >= each.line.since
                for each in newest.values()
                if each and each.line.root == time.line.root
            )
            for one in lines
            for other in lines
        )

    def latest(self, until: F) -> F:
        """The latest moment up to another that is inside no take."""
        while self.rolls_at(until):
            until = max(start for start, end in self.rolls if start < until < end)
        return until

    def as_late_as_may_be(self) -> float:
        """How many rounds it takes where each is jammed at the latest moment; endless where that will not do."""
        rounds: tuple[F, ...] = ()
        while (until := self.breach(rounds)) is not None:
            at = self.latest(until)
            if at <= (rounds[-1] if rounds else self.since):
                return inf
            rounds = (*rounds, at)
        return len(rounds)

    def plans(self, most: int, rounds: tuple[F, ...] = ()) -> Iterator[tuple[F, ...]]:
        """Every plan of at most so many rounds that holds."""
        until = self.breach(rounds)
        last = rounds[-1] if rounds else self.since
        if until is None:
            yield rounds
        elif most and until > last:
            for at in sorted({*self.moments, self.latest(until)}):
                if last < at <= until:
                    yield from self.plans(most - 1, (*rounds, at))


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.integers(0, 2**40))
def test_no_other_plan_is_better(seed: int) -> None:
    made, tolerance = random_day(seed)
    check_plan(made, planner_of(made, tolerance))


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.integers(0, 2**40))
def test_nor_is_one_that_comes_on_top_of_the_jams_that_are_written(seed: int) -> None:
    made, tolerance = random_day(seed, jammed_again=True)
    case = made.case
    check_plan(made, Planner(case.setup, case.timecode, case.clock, tolerance, keep_written=True))


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.integers(0, 2**40), st.booleans())
def test_nor_where_the_master_is_set_anew(seed: int, keep_written: bool) -> None:
    made, tolerance = random_day(seed, jammed_again=keep_written, set_anew=True)
    case = made.case
    if case.forecast.takes:
        check_plan(made, Planner(case.setup, case.timecode, case.clock, tolerance, keep_written=keep_written))


def check_plan(made: Days, planner: Planner) -> None:
    """That a plan holds and that no other has fewer rounds, or as few and more of them in breaks."""
    plan, search = planner.plan, Search(made, planner)
    assert (plan.morning_breach is None) is (search.breach(()) is None)
    if plan.morning_breach is not None:
        assert plan.morning_breach.at == search.breach(())
    ats = tuple(each.at for each in plan.rounds)
    check_rounds(plan.rounds, search)
    if not plan.possible:
        assert next(search.plans(2), None) is None
        return
    assert search.breach(ats) is None
    assert len(ats) <= search.as_late_as_may_be()
    if len(ats) > 3:
        assert next(search.plans(2), None) is None  # more would take too long to try
        return
    outside = sum(not search.in_break(at) for at in ats)
    for other in search.plans(len(ats)):
        assert len(other) == len(ats)
        assert sum(not search.in_break(at) for at in other) >= outside


def check_rounds(rounds: Sequence[Round], search: Search) -> None:
    """Each is outside of takes, in its time, and told as what it is."""
    for number, each in enumerate(rounds):
        assert not search.rolls_at(each.at)
        assert each.in_break is search.in_break(each.at)
        until = search.breach(tuple(before.at for before in rounds[:number]))
        assert until is not None
        assert each.by == search.latest(until)
        assert each.at <= each.by


def test_in_a_round_whoever_lives_on_one_that_is_jammed_gives_on_its_new_time() -> None:
    # D takes its time from C, which lives on Z: Z is jammed before D, though file and alphabet say otherwise.
    rig = """
    d: {able: {ports: {tc: {in: [LTC]}}}, timecode: {from: tc, mode: jam}}
    c: {able: {ports: {tc: {in: [LTC]}, out: {out: [LTC]}}}, timecode: {from: tc, mode: continuous}}
    z: {able: {ports: {tc: {in: [LTC]}, out: {out: [LTC]}}}, timecode: {from: tc, mode: jam}}
    m: {able: {ports: {out: {out: [LTC]}}}, timecode: {from: own clock}}"""
    leads = """
    {from: m.out, to: z.tc, carries: LTC, connected: to jam}
    {from: z.out, to: c.tc, carries: LTC, connected: all day}
    {from: c.out, to: d.tc, carries: LTC, connected: to jam}"""
    made = day_of(rig, ["{at: 07:00, do: jam, of: all}"], leads)
    assert made.line("d", "07:01") == ("m", "RUNNING")
    time = made.at("d", "07:01").time
    assert time is not None
    assert [(hand.target, hand.source) for hand in time.hands] == [("z", "m"), ("d", "c")]

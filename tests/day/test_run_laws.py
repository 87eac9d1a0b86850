"""What holds of every run, whatever the rig and whatever happens on its days."""

from __future__ import annotations

import copy
import json
from collections import Counter
from fractions import Fraction
from itertools import pairwise
from random import Random

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from synclint.checker import check_text
from synclint.day.moments import Carried, State
from synclint.day.run import Run
from synclint.documents.nodes import find
from synclint.trade.clocks import MILLION
from tests.day.rigs import Setup, clock_times, setups, written
from tests.day.running import Days, lived, plain

many = settings(
    max_examples=120, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large], deadline=None
)


def days(setup: Setup) -> Days:
    return lived(written(setup))


def told(run: Run) -> list[Counter[object]]:
    """What a run tells besides its states, but for where in the file that stands and in which order."""
    return [
        Counter((jam.at, jam.target, jam.source) for jam in run.jams),
        Counter((roll.start, roll.end, frozenset(roll.devices), roll.day) for roll in run.rolls),
        Counter((each.at, each.device, each.against, each.read_by) for each in run.comparisons),
        Counter((each.kind, each.key, each.instant, each.seconds) for each in run.contradictions),
        Counter((each.device, each.lacks) for each in run.unsure),
    ]


# --- order ---


def independent(setup: Setup) -> bool:
    """Whether no two events of one kind stand at one moment, so that nothing hangs on which is written first."""
    moments = []
    for index, day in enumerate(setup["days"]):
        for event in day["events"]:
            moments += [(day.get("date"), index, event["at"], event["do"])]
            moments += [(day.get("date"), index, event["until"], f"end of {event['do']}")] if "until" in event else []
    return len(moments) == len(set(moments)) and len({day.get("date") for day in setup["days"]}) == len(setup["days"])


@many
@given(setups(), st.integers())
def test_the_order_in_which_devices_and_links_are_written_is_of_no_account(setup: Setup, seed: int) -> None:
    chance, other = Random(seed), copy.deepcopy(setup)
    keys = list(other["devices"])
    chance.shuffle(keys)
    other["devices"] = {key: other["devices"][key] for key in keys}
    chance.shuffle(other["links"])
    assert plain(days(other).run) == {key: plain(days(setup).run)[key] for key in keys}
    assert told(days(other).run) == told(days(setup).run)


@many
@given(setups(), st.integers())
def test_the_order_in_which_events_are_written_is_of_no_account(setup: Setup, seed: int) -> None:
    assume(independent(setup))
    other = copy.deepcopy(setup)
    for day in other["days"]:
        Random(seed).shuffle(day["events"])
    assert plain(days(other).run) == plain(days(setup).run)
    assert told(days(other).run) == told(days(setup).run)


@many
@given(setups(most=6), clock_times(), st.sampled_from(["power off", "leave", "arrive", "set clock"]), st.data())
def test_like_events_of_one_moment_and_of_other_devices_may_be_written_either_way(
    setup: Setup, at: str, what: str, data: st.DataObject
) -> None:
    assume(len(setup["devices"]) >= 2)
    pair = data.draw(st.lists(st.sampled_from(sorted(setup["devices"])), min_size=2, max_size=2, unique=True))
    two = [{"at": at, "do": what, "of": [key]} for key in pair]
    one, other = copy.deepcopy(setup), copy.deepcopy(setup)
    one["days"][0]["events"] = [*one["days"][0]["events"], *two]
    other["days"][0]["events"] = [*other["days"][0]["events"], *reversed(two)]
    assert plain(days(one).run) == plain(days(other).run)
    # Of all in one event is the same as of each in its own.
    together = copy.deepcopy(setup)
    together["days"][0]["events"].append({"at": at, "do": what, "of": pair})
    assert plain(days(together).run) == plain(days(one).run)


# --- what changes nothing ---


@many
@given(setups(), clock_times(), st.sampled_from(["compare", "break", "jam", "set", "move"]), st.data())
def test_an_event_that_changes_nothing_changes_nothing(setup: Setup, at: str, what: str, data: st.DataObject) -> None:
    before = days(setup)
    assume(before.instant(at) >= before.run.start)  # the days begin with the first thing that happens on them
    key = data.draw(st.sampled_from(sorted(setup["devices"])))
    event: Setup = {"at": at, "do": what}
    if what == "compare":
        event |= {"of": [key], "against": key, "read_by": "scope"}
    elif what == "break":
        event["until"] = "23:00 +1"
    elif what == "jam":
        # A jam of nothing; that one stands there at all would end what is taken for granted, and a device that waits on
        # a lead that stays is plugged when others are jammed.
        assume(not before.run.jams_taken_for_granted)
        assume("jam" not in {each.get("timecode", {}).get("mode") for each in setup["devices"].values()})
        event["of"] = []
    elif what == "set":
        event |= {"of": [key], "to": now_set(before, key, at)}
        assume(event["to"])
    other = copy.deepcopy(setup)
    other["days"][0]["events"].append(event)
    after = days(other)
    assert plain(after.run) == plain(before.run)
    assert told(after.run)[:2] == told(before.run)[:2]


def now_set(made: Days, key: str, at: str) -> Setup:
    """Some settings as they are at a moment at which nothing else happens."""
    instant = made.instant(at)
    assume(instant > made.run.start)
    assume(not any(step.at == instant for step in made.run.steps))
    state = made.run.at(key, instant)
    timecode = state.device.timecode
    same = {"from": timecode.source.text, "mode": timecode.mode.text, "rate": timecode.rate.text}
    return {"timecode": {word: text for word, text in same.items() if text}} if any(same.values()) else {}


# --- what stands behind it ---


@many
@given(setups())
def test_every_state_points_at_what_brought_it_about(setup: Setup) -> None:
    made = days(setup)
    for key, states in made.run.histories.items():
        moments = [state.since for state in states]
        assert moments == sorted(set(moments)), key
        for state in states:
            assert find(made.document.root, state.cause.path) is not None
            assert state.cause.span.file == "rig.setup.yaml"
            for cause in causes_of(state.time):
                assert find(made.document.root, cause) is not None


def causes_of(time: Carried | None) -> list[tuple[str | int, ...]]:
    if time is None:
        return []
    return [time.line.cause.path, *(hand.cause.path for hand in time.hands)]


@many
@given(setups())
def test_a_device_has_a_time_only_while_it_is_there_and_on(setup: Setup) -> None:
    made = days(setup)
    for states in made.run.histories.values():
        for state in states:
            assert state.working or state.time is None
            if state.time is None:
                continue
            assert state.time.line.since <= state.since
            assert all(one.at <= two.at for one, two in pairwise(state.time.hands))
            assert state.time.set_at <= state.since
            for source in state.time.through:
                assert made.run.at(source, state.since).working


@many
@given(setups())
def test_who_lives_on_another_has_its_time(setup: Setup) -> None:
    run = days(setup).run
    for states in run.histories.values():
        for state in states:
            if state.time is None or not state.time.through:
                continue
            source = run.at(state.time.through[0], state.since).time
            assert source is not None
            if state.device.key in source.through or state.device.key in state.time.through:
                continue  # in a circle each has what another was left with
            assert (source.line, source.hands, source.through) == (
                state.time.line,
                state.time.hands,
                state.time.through[1:],
            )


@many
@given(setups())
def test_every_jam_is_in_the_time_of_whom_it_jams(setup: Setup) -> None:
    run = days(setup).run
    for jam in run.jams:
        if any(
            other.at == jam.at and jam.target in (other.target, other.source) for other in run.jams if other is not jam
        ):
            continue
        state = run.at(jam.target, jam.at)
        if (
            state.working
            and state.time is not None
            and not state.time.through
            and state.time.line.origin.name != "TAKES"
        ):
            anew = [step for step in run.steps if step.at == jam.at and step.what != "jam"]
            assert anew or (state.time.hands[-1].source, state.time.hands[-1].at) == (jam.source, jam.at)


# --- the numbers ---


class World:
    """Devices with clocks of definite rates and jams of definite errors, run through by a slow and simple way."""

    def __init__(self, made: Days, chance: Random) -> None:
        self.made, self.chance = made, chance
        self.rates: dict[str, Fraction] = {}
        self.jams: dict[tuple[str, str, Fraction], Fraction] = {}

    def pick(self, low: Fraction, high: Fraction) -> Fraction:
        return self.chance.choice([low, high, (low + high) / 2])

    def rate(self, keeper: str) -> Fraction:
        """Seconds a second by which a device's counter runs fast."""
        pace = self.made.phases.pace_of(keeper)
        if pace not in self.rates:
            oscillator = self.made.phases.oscillator(pace)
            fixed = self.pick(oscillator.fixed.low, oscillator.fixed.high)
            self.rates[pace] = (fixed + self.pick(-oscillator.varying, oscillator.varying)) / MILLION
        return self.rates[pace]

    def jam(self, target: str, source: str, at: Fraction) -> Fraction:
        if (target, source, at) not in self.jams:
            unknown = self.made.phases.jam_unknown(("jam",), target, source)
            self.jams[target, source, at] = self.pick(unknown.low, unknown.high)
        return self.jams[target, source, at]

    def error(self, key: str, state: State, instant: Fraction) -> Fraction | None:
        """By how much a device is ahead of the line of time that it is on."""
        time = state.time
        if time is None:
            return None
        if time.line.root == "outside" and not time.hands:
            return Fraction(0)
        keeper, since, error = time.line.root, time.line.since, Fraction(0)
        for hand in time.hands:
            error += 0 if keeper == "outside" else self.rate(keeper) * (hand.at - since)
            error += 0 if hand.let_go else self.jam(hand.target, hand.source, hand.at)
            keeper, since = hand.target, hand.at
        return error + self.rate(time.through[-1] if time.through else key) * (instant - since)


@many
@given(setups(), st.integers(), st.integers(0, 20))
def test_no_clocks_put_two_devices_farther_apart_than_is_said(setup: Setup, seed: int, part: int) -> None:
    made = days(setup)
    run, world = made.run, World(made, Random(seed))
    instant = run.start + (run.end - run.start) * Fraction(part, 20)
    keys = sorted(run.histories)
    for one in keys:
        for other in keys:
            apart = made.phases.offset(one, other, instant)
            if apart is None:
                continue
            assert one != other or apart.worst == 0
            errors = [world.error(key, run.at(key, instant), instant) for key in (one, other)]
            assert errors[0] is not None
            assert errors[1] is not None
            assert abs(errors[0] - errors[1]) <= apart.worst
            back = made.phases.offset(other, one, instant)
            assert back is not None
            assert back.worst == apart.worst


# --- nothing breaks ---


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large], deadline=None)
@given(setups())
def test_no_day_makes_the_check_fail(setup: Setup) -> None:
    report = check_text(written(setup), "rig.setup.yaml")
    assert [crash.trace for crash in report.crashes] == []
    assert not report.rules_held_back
    for finding in report.findings:
        assert finding.sentence
        assert not set("⟪⟫").intersection(finding.sentence + finding.cost_sentence + finding.fix_sentence)


@settings(max_examples=30, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large], deadline=None)
@given(setups(), st.integers())
def test_what_is_found_does_not_hang_on_the_order_of_the_file(setup: Setup, seed: int) -> None:
    chance, other = Random(seed), copy.deepcopy(setup)
    keys = list(other["devices"])
    chance.shuffle(keys)
    other["devices"] = {key: other["devices"][key] for key in keys}
    first, second = (check_text(written(each), "rig.setup.yaml") for each in (setup, other))
    assert {finding.rule for finding in first.findings} == {finding.rule for finding in second.findings}


def test_what_is_drawn_is_written_as_it_is() -> None:
    setup = {"synclint": "setup/1", "devices": {"d0": {"able": {"clock": {"accuracy": "1 ppm"}}}}}
    assert json.loads("{" + written(setup).strip().replace("\n", ",") + "}") == setup

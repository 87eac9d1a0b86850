"""The widest pair of a rig, found without looking at every pair, against looking at every pair."""

from __future__ import annotations

from fractions import Fraction as F
from itertools import combinations, pairwise
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from synclint.day.clocktime import day_clocks
from synclint.day.forecast import Forecast
from synclint.day.phases import Phases
from synclint.day.widest import widest_pair
from synclint.rig.build import build
from synclint.rules.framework import Case
from tests.day.running import shoot
from tests.reference.stories import kit_of, setup_of, story
from tests.rig.building import document


def every_pair(phases: Phases, keys: list[str], at: F, aside: frozenset[str] = frozenset()) -> F | None:
    """The widest of all pairs with a bound at an instant, one by one."""
    shown = {key: phases.at(key, at) for key in keys}
    offsets = [phases.apart(shown[a], shown[b]) for a, b in combinations(keys, 2) if not {a, b} <= aside]
    return max((offset.worst for offset in offsets if offset is not None), default=None)


@settings(max_examples=100, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.integers(0, 2**40), st.integers(2, 60), st.integers(0, 20))
def test_no_pair_is_wider_than_the_widest(seed: int, size: int, events: int) -> None:
    told = story(seed, size, events)
    case = Case(build(document(setup_of(told)), [document(kit_of(told), "shelf.kit.yaml")]).setup)
    keys = [f"d{number}" for number in range(size)]
    aside = frozenset(Random(seed).sample(keys, size // 4))
    midnight = day_clocks(case.setup)[0].instant(F(0))
    for at in told.asked:
        states = [(key, case.run.at(key, midnight + at)) for key in keys]
        found = widest_pair(case.phases, states, midnight + at, aside)
        assert (found[2].worst if found else None) == every_pair(case.phases, keys, midnight + at, aside)
        if found:
            assert not {found[0], found[1]} <= aside


@settings(max_examples=30, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.integers(0, 2**40), st.integers(2, 8), st.integers(0, 12))
def test_no_moment_of_the_days_is_worse_than_the_worst_of_all(seed: int, size: int, events: int) -> None:
    told = story(seed, size, events)
    case = Case(build(document(setup_of(told)), [document(kit_of(told), "shelf.kit.yaml")]).setup)
    forecast = Forecast(case.run, case.phases)
    forecast.labelled = tuple(f"d{number}" for number in range(size))  # as though all of them recorded
    start, end = case.run.start, case.run.end
    curves = [forecast.curve(a, b, start, end) for a, b in combinations(forecast.labelled, 2)]
    most = max((vertex.worst for curve in curves for vertex in curve if vertex.worst is not None), default=None)
    worst = forecast.worst_of_all
    assert (worst.offset.worst if worst else None) == most


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.integers(0, 2**40), st.integers(2, 6), st.integers(0, 10))
def test_a_curve_is_straight_between_its_points(seed: int, size: int, events: int) -> None:
    told = story(seed, size, events)
    case = Case(build(document(setup_of(told)), [document(kit_of(told), "shelf.kit.yaml")]).setup)
    forecast, chance = Forecast(case.run, case.phases), Random(seed)
    start, end = case.run.start, case.run.end
    for a, b in combinations([f"d{number}" for number in range(size)], 2):
        points = forecast.curve(a, b, start, end)
        for before, after in pairwise(points):
            if before.at < after.at:
                share = F(chance.randint(1, 99), 100)
                offset = case.phases.offset(a, b, before.at + (after.at - before.at) * share)
                if before.worst is None or after.worst is None:
                    assert offset is None
                else:
                    assert offset is not None
                    assert offset.worst == before.worst + (after.worst - before.worst) * share


def test_a_box_whose_own_clock_another_carries_does_not_hide_the_rest() -> None:
    # B is farther off than A by its own, but C was jammed from B: of the morning's two it is A that C is farther from.
    # B and C: B for 8 h 2 × 28.8, C 20 × 28.8, C's jam:                            633.7 ms
    # A and C: A for 10 h 1.9 × 36, B for 2 h 2 × 7.2, C 20 × 28.8, three jams:      659.1 ms
    rig = (
        "m: {able: {clock: {accuracy: 0 ppm}}, timecode: {from: own clock}}\n"
        "a: {able: {clock: {accuracy: 1.9 ppm}, ports: {in: {in: [LTC]}}}, timecode: {from: in, mode: jam}}\n"
        "b: {like: a, able: {clock: {accuracy: 2 ppm}}}\n"
        "c: {like: a, able: {clock: {accuracy: 20 ppm}}}"
    )
    leads = "{from: m.out, to: [a.in, b.in, c.in], carries: LTC, connected: to jam}"
    made = shoot(rig, "{at: 07:00, do: jam, of: [a, b]}\n{at: 09:00, do: jam, of: [c], from: b}", links=leads)
    at = made.instant("17:00")
    found = widest_pair(made.phases, [(key, made.run.at(key, at)) for key in "mabc"], at)
    assert found is not None
    assert {found[0], found[1]} == {"a", "c"}
    assert found[2].worst * 1000 == F("1.9") * 36 + 2 * F("7.2") + 20 * F("28.8") + F("0.3")


@pytest.mark.parametrize("count", [2, 300])
def test_many_alike_are_no_more_work_than_they_must_be(count: int) -> None:
    """Boxes that cannot be told apart: the first two that are looked at are as wide as any."""
    rig = "m: {able: {clock: {accuracy: 1 ppm}}, timecode: {from: own clock}}\n" + "\n".join(
        f"b{n}: " + "{able: {clock: {accuracy: 2 ppm}, ports: {in: {in: [LTC]}}}, timecode: {from: in, mode: jam}}"
        for n in range(count)
    )
    leads = f"{{from: m.out, to: [{', '.join(f'b{n}.in' for n in range(count))}], carries: LTC, connected: to jam}}"
    made = shoot(rig, "{at: 07:00, do: jam, of: all}", links=leads)
    at = made.instant("17:00")
    tried = 0
    apart = made.phases.apart

    def counted(one: object, other: object) -> object:
        nonlocal tried
        tried += 1
        return apart(one, other)  # type: ignore[arg-type]

    made.phases.apart = counted  # type: ignore[method-assign,assignment]
    found = widest_pair(made.phases, [(key, made.run.at(key, at)) for key in made.run.histories], at)
    assert found is not None
    assert found[2].worst * 1000 == 2 * 2 * 36 + F("0.2")
    assert tried < 40

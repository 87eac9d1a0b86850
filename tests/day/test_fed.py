"""A device without a battery of its own goes off and comes back with the one that feeds it."""

from __future__ import annotations

from synclint.documents.reading import load_text
from synclint.rig.build import build
from synclint.rules.framework import Case
from tests.rules.days import BAG, JAM, box, camera, to_jam, told

OFF = "at: 10:00, do: power off, of: [cam_a], until: 10:05"


def case(*events: str, power: str = "from: cam_a", devices: tuple[str, ...] = ()) -> Case:
    boxed = box("box_a", more=f", power: {{{power}}}")
    document = load_text(told([BAG, camera("cam_a"), boxed, *devices], to_jam("box_a.jack"), *events), "a").document
    assert document is not None
    return Case(build(document, ()).setup)


def powered(made: Case, key: str) -> list[bool]:
    return [state.powered for state in made.run.histories[key]]


def test_it_goes_off_with_its_feeder_and_comes_back_with_it() -> None:
    assert False in powered(case(JAM, OFF), "box_a")
    assert powered(case(JAM, OFF), "box_a")[-1]


def test_with_a_battery_of_its_own_it_stays_on() -> None:
    assert all(powered(case(JAM, OFF, power="from: cam_a, runtime: 3 h"), "box_a"))


def test_what_is_fed_by_it_goes_off_too() -> None:
    third = box("box_b", more=", power: {from: box_a}")
    assert False in powered(case(JAM, OFF, devices=(third,)), "box_b")


def test_two_that_feed_each_other_are_no_endless_chain() -> None:
    one = case(
        JAM,
        "at: 10:00, do: power off, of: [box_b], until: 10:05",
        power="from: box_b",
        devices=(box("box_b", more=", power: {from: box_a}"),),
    )
    assert False in powered(one, "box_a")


def test_one_that_is_not_there_yet_is_no_contradiction() -> None:
    made = case(JAM, OFF, "at: 11:00, do: arrive, of: [box_a]")
    assert not made.run.contradictions

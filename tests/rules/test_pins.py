"""Which contacts a lead joins, and what each does at either end."""

import pytest

from synclint.findings import AddKey, Level, SetValue
from synclint.rules.pins import pins_that_do_not_meet
from tests.rules.leads import reader
from tests.rules.running import Came, came_of

OURS = "pin 1: ground, pin 2: timecode in, pin 3: tri-level out, pin 4: 5 V, pin 5: timecode out"
THEIRS = "pin 1: ground, pin 2: timecode in, pin 3: genlock in, pin 4: pulse in, pin 5: timecode out"


def joined(wiring: str = "", ours: str = OURS, theirs: str = THEIRS) -> Came:
    text = reader(
        box=f"out: [LTC], connector: 5-pin, pins: {{{ours}}}",
        tc_in=f"in: [LTC], connector: 5-pin, pins: {{{theirs}}}",
        lead=f"connected: all day{wiring and f', wiring: {{{wiring}}}'}",
    )
    return came_of(pins_that_do_not_meet, text)


def test_a_supply_on_an_input() -> None:
    came = joined("pin 1: pin 1, pin 5: pin 2, pin 4: pin 4")
    assert came.one.level is Level.ERROR
    assert came.amounts == {"contacts that do not meet": 1, "supply on a contact": 5.0}
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, SetValue)
    assert edit.value == "{pin 1: pin 1, pin 2: pin 5, pin 3: pin 3, pin 5: pin 2}"  # a reference output on genlock


def test_no_lead_mends_an_output_without_a_contact_for_timecode() -> None:
    came = joined("pin 1: pin 1, pin 3: pin 3", ours="pin 1: ground, pin 3: tri-level out")
    assert came.one.level is Level.ERROR
    assert came.one.fix is not None
    assert not came.one.fix.edits
    assert came.one.fix_sentence.endswith("feed cam_1 from another socket")


def test_a_crossed_lead_is_right() -> None:
    assert joined("pin 1: pin 1, pin 5: pin 2").silent
    assert joined("pin 1: pin 1, pin 2: pin 5, pin 5: pin 2").silent


def test_a_straight_lead_joins_outputs() -> None:
    came = joined("pin 1: pin 1, pin 5: pin 5")
    # timecode out on timecode out, and timecode on nothing that takes it
    assert came.amounts == {"contacts that do not meet": 2}
    assert came.one.level is Level.ERROR


def test_a_lead_that_nobody_describes_is_taken_to_be_straight() -> None:
    came = joined()
    # 5 V on a pulse input, outputs on each other, no timecode
    assert came.one.level is Level.WARNING
    assert came.amounts == {"contacts that do not meet": 3, "supply on a contact": 5.0}
    assert came.one.fix is not None
    (edit,) = came.one.fix.edits
    assert isinstance(edit, AddKey)


def test_the_same_pin_out_for_in_and_out() -> None:
    ours, theirs = "pin 1: ground, pin 2: timecode out, pin 4: 5 V", "pin 1: ground, pin 2: timecode in, pin 4: 5 V"
    assert joined(ours=ours, theirs=theirs).silent
    assert joined(ours=f"{ours} out", theirs=f"{theirs} in").silent  # a supply where one is taken


@pytest.mark.parametrize(
    ("ours", "theirs", "found"),
    [
        ("pin 2: timecode out, pin 4: 12 V out", "pin 2: timecode in, pin 4: ground", True),
        ("pin 2: timecode out, pin 4: 12 V out", "pin 2: timecode in, pin 4: 5 V out", True),
        ("pin 2: timecode out, pin 4: 12 V out", "pin 2: timecode in", False),
    ],
)
def test_supplies_that_meet(ours: str, theirs: str, found: bool) -> None:
    assert bool(joined(ours=ours, theirs=theirs).findings) is found


def test_a_lead_of_which_nobody_knows_the_pins_is_to_be_tried() -> None:
    text = reader(box="out: [LTC], connector: 5-pin", tc_in="in: [LTC], connector: 5-pin")
    came = came_of(pins_that_do_not_meet, text)
    assert len(came.checklist) == 1
    assert not came.findings
    wired = reader(
        box="out: [LTC], connector: 5-pin",
        tc_in="in: [LTC], connector: 5-pin",
        lead="connected: all day, wiring: {pin 5: pin 2}",
    )
    assert came_of(pins_that_do_not_meet, wired).silent
    assert came_of(
        pins_that_do_not_meet, reader(box="out: [LTC], connector: BNC", tc_in="in: [LTC], connector: BNC")
    ).silent

"""75 ohm lines and the loads that end them."""

import pytest

from synclint.findings import AddKey, Level, SetValue
from synclint.rules.terminations import not_one_termination
from tests.rules.running import Came, came_of, rig

SWITCHES = "termination: switchable, loop: loop"


def chain(*settings: str, carries: str = "tri-level", able: str = SWITCHES, level: str = "") -> Came:
    """Cameras one behind the other, each through the loop of the one before."""
    devices = f"  gen: {{able: {{class: sync generator, ports: {{ref: {{out: [{carries}]{level}}}}}}}}}\n"
    links = []
    for number, setting in enumerate(settings, 1):
        ports = f", ports: {{ref_in: {{termination: {setting}}}}}" if setting else ""
        devices += f"  cam_{number}: {{able: {{ports: {{ref_in: {{in: [{carries}], {able}}}}}}}{ports}}}\n"
        source = "gen.ref" if number == 1 else f"cam_{number - 1}.loop"
        links.append(f"  - {{from: {source}, to: cam_{number}.ref_in, carries: {carries}, connected: all day}}")
    return came_of(not_one_termination, rig(devices, links="\n".join(links)))


@pytest.mark.parametrize(
    ("settings", "db", "millivolts"),
    [
        # 1200 mV behind 75 ohm: into 75/n they divide as 1/(n + 1)
        (("switched off", "switched off"), 6.02, 1200),
        (("switched on", "switched on"), -3.52, 400),
        (("switched on", "switched on", "switched on"), -6.02, 300),
    ],
)
def test_levels_by_the_number_of_loads(settings: tuple[str, ...], db: float, millivolts: int) -> None:
    came = chain(*settings)
    assert came.one.level is Level.ERROR
    assert came.amounts["level"] == pytest.approx(db, abs=0.005)
    assert came.amounts["at the inputs"] == pytest.approx(millivolts)
    assert came.amounts["terminations"] == sum(each == "switched on" for each in settings)


@pytest.mark.parametrize("settings", [("switched on",), ("switched off", "switched on"), ("", "plugged on")])
def test_one_load_is_right(settings: tuple[str, ...]) -> None:
    assert chain(*settings, able=SWITCHES if settings[0] else "termination: never, loop: loop").silent


def test_an_automatic_load_is_there_where_the_loop_is_free() -> None:
    assert chain("", "", "", able="termination: automatic, loop: loop").silent
    assert "ends in 2 loads" in chain("", "", able="termination: always, loop: loop").one.sentence


def test_a_stated_level_counts() -> None:
    # 1 Vpp into 75 ohm; two loads leave two thirds of it
    came = chain("switched on", "switched on", level=", level: 1 Vpp into 75 ohm")
    assert came.amounts["at the inputs"] == pytest.approx(1000 * 2 / 3)


def test_of_black_burst_and_word_clock_only_the_ratio_is_known() -> None:
    for carries, level in (("black burst", Level.ERROR), ("word clock", Level.WARNING)):
        came = chain("switched on", "switched on", carries=carries)
        assert came.one.level is level
        assert "at the inputs" not in came.amounts


def test_the_load_at_the_far_end_stays() -> None:
    came = chain("switched on", "switched on", "switched on")
    assert came.one.fix is not None
    assert [(str(edit.place), edit.value) for edit in came.one.fix.edits if isinstance(edit, SetValue)] == [
        ("devices/cam_1/ports/ref_in/termination", "switched off"),
        ("devices/cam_2/ports/ref_in/termination", "switched off"),
    ]
    came = chain("switched on", "switched on", "switched off")
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == [
        "switched off",
        "switched off",
        "switched on",
    ]


def test_where_nothing_can_be_switched_a_terminator_is_plugged_on_the_loop() -> None:
    came = chain("", "", able="termination: never, loop: loop")
    assert came.one.fix is not None
    assert [edit for edit in came.one.fix.edits if isinstance(edit, AddKey)] == [
        AddKey(came.one.fix.edits[0].place, "ports", "{ref_in: {termination: plugged on}}")
    ]
    assert "loop of cam_2" in came.one.fix_sentence


def test_where_there_is_no_loop_either_a_tee_is_wanted() -> None:
    came = chain("", able="termination: never")
    assert came.one.fix is not None
    assert not came.one.fix.edits
    assert "a tee" in came.one.fix_sentence


def test_inputs_that_always_end_the_line_want_a_distribution_amplifier() -> None:
    came = chain("", "", able="termination: always, loop: loop")
    assert came.one.fix is not None
    assert not came.one.fix.edits
    assert "distribution amplifier" in came.one.fix_sentence


def test_what_is_not_said_is_asked_for_once_a_line() -> None:
    assert chain("", "").lacks == ["whether the 75 ohm at ref_in of cam_1 is switched on (ports: termination)"]
    # two that are known are too many, whatever the third is
    assert chain("switched on", "switched on", "").amounts["terminations"] == 2


def test_an_active_loop_ends_one_line_and_begins_another() -> None:
    active = "termination: always, loop: loop, loop_through: active"
    assert chain("", "", "", able=active).silent


def test_a_distribution_box_ends_one_line_and_begins_others() -> None:
    devices = """
  gen: {able: {ports: {ref: {out: [tri-level]}}}}
  box: {able: {ports: {in: {in: [tri-level], termination: always}}}, passes: {in: [out_1, out_2]}}
  cam_1..cam_2: {able: {ports: {ref_in: {in: [tri-level], termination: always}}}}
"""
    links = """
  - {from: gen.ref, to: box.in, carries: tri-level, connected: all day}
  - {from: box.out_1..out_2, to: cam_1..cam_2.ref_in, carries: tri-level, connected: all day}
"""
    assert came_of(not_one_termination, rig(devices, links=links.strip("\n"))).silent


def test_leads_plugged_one_after_the_other_are_no_line() -> None:
    devices = """
  gen: {able: {ports: {ref: {out: [tri-level]}}}}
  cam_1..cam_2: {able: {ports: {ref_in: {in: [tri-level], termination: always}}}}
"""
    links = "  - {from: gen.ref, to: cam_1..cam_2.ref_in, carries: tri-level, connected: to compare}"
    assert came_of(not_one_termination, rig(devices, links=links)).silent


def test_sockets_are_named_where_the_line_comes_to_a_device_twice() -> None:
    devices = """
  gen: {able: {class: sync generator, ports: {ref: {out: [black burst]}}}}
  mix:
    able:
      ports:
        in_1: {in: [black burst], termination: switchable, loop: loop_1}
        in_2: {in: [black burst], termination: switchable, loop: loop_2}
    ports: {in_1: {termination: switched on}, in_2: {termination: switched on}}
"""
    leads = (("gen.ref", "mix.in_1"), ("mix.loop_1", "mix.in_2"))
    links = "".join(
        f"  - {{from: {one}, to: {other}, carries: black burst, connected: all day}}\n" for one, other in leads
    )
    came = came_of(not_one_termination, rig(devices, links=links))
    assert came.one.sentence == "the black burst from gen ends in 2 loads of 75 ohm, at in_1 of mix and in_2 of mix"
    assert came.one.fix_sentence == "Switch the 75 ohm off at in_1 of mix"


def test_what_a_camera_takes_over_from_another_is_set_below_its_own_name() -> None:
    devices = """
  gen: {able: {class: sync generator, ports: {ref: {out: [black burst]}, ref_2: {out: [black burst]}}}}
  cam_a:
    able: {ports: {ref_in: {in: [black burst], termination: switchable}}}
    ports: {ref_in: {termination: switched off}}
  cam_b: {like: cam_a}
"""
    links = "".join(
        f"  - {{from: {one}, to: {other}, carries: black burst, connected: all day}}\n"
        for one, other in (("gen.ref", "cam_b.ref_in"), ("gen.ref_2", "cam_a.ref_in"))
    )
    came = came_of(not_one_termination, rig(devices, links=links))
    edits = [edit for finding in came.findings for edit in (finding.fix.edits if finding.fix else ())]
    assert [(type(edit), edit.place.path) for edit in edits] == [
        (AddKey, ("devices", "cam_b")),
        (SetValue, ("devices", "cam_a", "ports", "ref_in", "termination")),
    ]

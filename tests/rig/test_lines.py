"""What is joined by wire at one time, and what stands at each input; values by hand, with their working beside them."""

from __future__ import annotations

import pytest

from synclint.rig.lines import Line, Lines
from synclint.rig.model import End
from synclint.trade.levels import decibels
from synclint.trade.quantities import parse_voltage
from tests.rig.building import sound

RIG = """
devices:
  gen:
    able:
      class: tuned generator
      ports:
        out: {out: [LTC], level: 1 Vpp open, source_impedance: 600 ohm}
        mic_level: {out: [LTC], level: {line: 1 Vpp open, mic: 30 mVpp open}, source_impedance: 1 kohm}
        driven: {out: [LTC], level: 2 Vpp open, source_impedance: 100 ohm, balanced: true}
        floating: {out: [LTC], level: 2 Vpp open, source_impedance: 100 ohm, balanced: true, transformer: true}
        ref: {out: [tri-level], level: 600 mVpp into 75 ohm, source_impedance: 75 ohm}
        bare: {out: [LTC]}
  cam_1..cam_6:
    able:
      class: cinema camera
      ports:
        tc_in: {in: [LTC], input_impedance: 10 kohm}
        xlr: {in: [LTC], input_impedance: 10 kohm, balanced: true}
        ref_in: {in: [tri-level], termination: switchable, input_impedance: 100 kohm, loop: ref_loop}
    ports: {ref_in: {termination: switched off}}
  small:
    able: {class: small camera, ports: {mic_in: {in: [sound, LTC], connector: 3.5 mm TRS}}}
  tee: {able: {class: through-thing, passive: true}, passes: {in: [out_1, out_2]}}
  video_box:
    able:
      class: through-thing
      ports: {in: {input_impedance: 75 ohm}, out_1: {source_impedance: 75 ohm}, out_2: {source_impedance: 75 ohm}}
    passes: {in: [out_1, out_2]}
links:
"""


def lines_of(links: str, rig: str = RIG) -> Lines:
    return Lines(sound(rig + links).setup)


def end(text: str) -> End:
    device, port = text.split(".")
    return End(device, port)


def only(lines: Lines) -> Line:
    (line,) = lines.all
    return line


def volts(lines: Lines, at: str) -> float:
    (line,) = lines.at(end(at))
    stands = lines.stands(line, end(at))
    assert stands.volts is not None, stands.lacks
    return float(stands.volts)


# --- what is plugged together --------------------------------------------------------------------------------------


def test_leads_that_stay_on_one_output_are_one_line() -> None:
    line = only(lines_of("  - {from: gen.out, to: [cam_1.tc_in, cam_2.tc_in], carries: LTC, connected: all day}\n"))
    assert [str(each) for each in line.outputs] == ["gen.out"]
    assert [str(each) for each in line.inputs] == ["cam_1.tc_in", "cam_2.tc_in"]
    assert line.split


@pytest.mark.parametrize("connected", [", connected: to jam", ", connected: to compare", ""])
def test_leads_used_one_after_another_are_never_together(connected: str) -> None:
    lines = lines_of(f"  - {{from: gen.out, to: [cam_1.tc_in, cam_2.tc_in], carries: LTC{connected}}}\n")
    assert [len(line.inputs) for line in lines.all] == [1, 1]
    # 10,000 / 10,600 of 1 Vpp, each by itself
    assert volts(lines, "cam_1.tc_in") == pytest.approx(0.943396, abs=1e-6)


def test_a_jam_lead_takes_the_place_of_the_lead_that_stays() -> None:
    lines = lines_of(
        "  - {from: gen.out, to: cam_1.tc_in, carries: LTC, connected: all day}\n"
        "  - {from: gen.out, to: cam_2.tc_in, carries: LTC, connected: to jam}\n"
    )
    assert [[str(each) for each in line.inputs] for line in lines.all] == [["cam_1.tc_in"], ["cam_2.tc_in"]]


def test_a_jam_through_a_tee_meets_what_stays_on_it() -> None:
    lines = lines_of(
        "  - {from: gen.out, to: tee.in, carries: LTC, connected: all day}\n"
        "  - {from: tee.out_1, to: cam_1.tc_in, carries: LTC, connected: all day}\n"
        "  - {from: tee.out_2, to: cam_2.tc_in, carries: LTC, connected: to jam}\n"
    )
    staying, jam = lines.all
    assert [str(each) for each in staying.inputs] == ["cam_1.tc_in"]
    assert [str(each) for each in jam.inputs] == ["cam_1.tc_in", "cam_2.tc_in"]
    # Two inputs of 10 kohm are 5 kohm: 5,000 / 5,600
    assert float(lines.stands(jam, end("cam_2.tc_in")).volts or 0) == pytest.approx(0.892857, abs=1e-6)


def test_a_loop_through_is_part_of_the_line() -> None:
    lines = lines_of(
        "  - {from: gen.ref, to: cam_1.ref_in, carries: tri-level, connected: all day}\n"
        "  - {from: cam_1.ref_loop, to: cam_2.ref_in, carries: tri-level, connected: all day}\n"
    )
    line = only(lines)
    assert [str(each) for each in line.outputs] == ["gen.ref"]
    assert [str(each) for each in line.inputs] == ["cam_1.ref_in", "cam_2.ref_in"]
    assert [ends.value for _, ends in lines.terminations(line)] == [False, False]


def test_a_distribution_box_ends_a_line_and_begins_others() -> None:
    lines = lines_of(
        "  - {from: gen.out, to: video_box.in, carries: LTC, connected: all day}\n"
        "  - {from: video_box.out_1, to: cam_1.tc_in, carries: LTC, connected: all day}\n"
        "  - {from: video_box.out_2, to: cam_2.tc_in, carries: LTC, connected: all day}\n"
    )
    assert [len(line.inputs) for line in lines.all] == [1, 1, 1]
    # 75 / 675 = 0.1111 Vpp reach the box, which gives 0.2222 Vpp open: × 10,000 / 10,075 = 0.2206
    assert volts(lines, "video_box.in") == pytest.approx(0.111111, abs=1e-6)
    assert volts(lines, "cam_1.tc_in") == pytest.approx(0.220568, abs=1e-6)


def test_boxes_that_feed_each_other_come_to_an_end() -> None:
    rig = """
devices:
  one: {class: through-thing, passes: {in: [out]}}
  two: {class: through-thing, passes: {in: [out]}}
links:
  - {from: one.out, to: two.in, carries: LTC, connected: all day}
  - {from: two.out, to: one.in, carries: LTC, connected: all day}
"""
    lines = lines_of("", rig)
    (line,) = lines.at(end("two.in"))
    assert [lack.says for lack in lines.stands(line, end("two.in")).lacks] == [
        "the level that one gives at out (level)"
    ]


# --- what stands there ---------------------------------------------------------------------------------------------


def test_six_inputs_on_one_output() -> None:
    lines = lines_of("  - {from: gen.out, to: [cam_1..cam_6.tc_in], carries: LTC, connected: all day}\n")
    # Six of 10 kohm are 1,666.7 ohm: 1,666.7 / 2,266.7 = 0.735 of 1 Vpp
    assert volts(lines, "cam_6.tc_in") == pytest.approx(0.735294, abs=1e-6)
    line = only(lines)
    others = line.inputs[:-1]
    assert float(lines.stands(line, line.inputs[-1], without=others).volts or 0) == pytest.approx(0.943396, abs=1e-6)


@pytest.mark.parametrize(
    ("ends", "db"),
    [
        # 600 mV into one 75 ohm is 0 dB; none 1.2 V, 20 log10(2); two 37.5 ohm: 1.2 × 37.5/112.5 = 0.4 V, 20 log10(2/3)
        (("switched on", "switched off"), 0.0),
        (("switched off", "switched off"), 6.02),
        (("switched on", "switched on"), -3.52),
    ],
)
def test_terminations_of_a_reference_line(ends: tuple[str, str], db: float) -> None:
    rig = RIG.replace(
        "links:",
        "".join(f"  c{n}: {{like: cam_1, ports: {{ref_in: {{termination: {how}}}}}}}\n" for n, how in enumerate(ends))
        + "links:",
    )
    lines = lines_of(
        "  - {from: gen.ref, to: c0.ref_in, carries: tri-level}\n"
        "  - {from: c0.ref_loop, to: c1.ref_in, carries: tri-level}\n",
        rig,
    )
    line = only(lines)
    stands = lines.stands(line, end("c1.ref_in")).volts
    # The two inputs of 100 kohm take 0.01 dB more.
    assert decibels((stands or 0) / parse_voltage("600 mVpp").value) == pytest.approx(db, abs=0.02)


def test_a_pad_and_a_long_lead() -> None:
    lead = "pad: 40 dB, length: 50 m"
    lines = lines_of(f"  - {{from: gen.out, to: cam_1.tc_in, carries: LTC, connected: all day, {lead}}}\n")
    # 40 dB: 150 ohm behind 150 × 99 = 14,850 ohm; source 600: 150 / 15,600 = 9.6154 mV open behind
    # 150 × 15,450 / 15,600 = 148.56 ohm, with 5 ohm of lead into 10 kohm: × 10,000 / 10,153.56 = 9.4700 mV
    assert volts(lines, "cam_1.tc_in") == pytest.approx(0.0094700, abs=1e-6)


def test_the_cold_leg_of_a_driven_output() -> None:
    def into(how: str) -> float:
        link = f"  - {{from: gen.driven, to: cam_1.tc_in, carries: LTC, connected: all day, cold_leg: {how}}}\n"
        return volts(lines_of(link), "cam_1.tc_in")

    # Half of 2 Vpp behind half of 100 ohm: 10,000 / 10,050
    assert into("open") == pytest.approx(0.995025, abs=1e-6)
    assert into("to ground") == pytest.approx(0.995025, abs=1e-6)
    # All of it behind all of it: 2 × 10,000 / 10,100
    assert into("transformer") == pytest.approx(1.980198, abs=1e-6)


def test_the_cold_leg_of_a_floating_output() -> None:
    def into(how: str) -> float:
        link = f"  - {{from: gen.floating, to: cam_1.tc_in, carries: LTC, connected: all day, cold_leg: {how}}}\n"
        return volts(lines_of(link), "cam_1.tc_in")

    assert into("open") == 0  # no way back, no current
    assert into("to ground") == pytest.approx(1.980198, abs=1e-6)


def test_balanced_all_the_way_and_from_unbalanced() -> None:
    lines = lines_of("  - {from: gen.driven, to: cam_1.xlr, carries: LTC, connected: all day}\n")
    assert volts(lines, "cam_1.xlr") == pytest.approx(1.980198, abs=1e-6)
    lines = lines_of("  - {from: gen.out, to: cam_1.xlr, carries: LTC, connected: all day}\n")
    # The cold contact is at ground: half of 10 kohm loads 600 ohm: 5,000 / 5,600
    assert volts(lines, "cam_1.xlr") == pytest.approx(0.892857, abs=1e-6)


def test_an_output_into_an_output() -> None:
    rig = RIG.replace(
        "links:",
        "  back: {like: cam_1, ports: {tc_in: {set_to: timecode out}}, "
        "able: {ports: {tc_in: {source_impedance: 600 ohm}}}}\nlinks:",
    )
    lines = lines_of("  - {from: gen.out, to: [back.tc_in, cam_2.tc_in], carries: LTC, connected: all day}\n", rig)
    line = only(lines)
    assert [str(each) for each in line.outputs] == ["gen.out", "back.tc_in"]
    # 600 ohm beside 10 kohm are 566.04 ohm: 566.04 / 1,166.04
    assert float(lines.stands(line, end("cam_2.tc_in")).volts or 0) == pytest.approx(0.485437, abs=1e-6)


# --- what is assumed, and what lacks -------------------------------------------------------------------------------


def test_assumed_impedances_give_a_least_and_a_most() -> None:
    lines = lines_of(
        "  - {from: gen.mic_level, to: small.mic_in, carries: LTC, connected: all day}\n",
        RIG.replace("  cam_1..cam_6:", "    ports: {mic_level: {output: mic}}\n  cam_1..cam_6:"),
    )
    (line,) = lines.at(end("small.mic_in"))
    stands = lines.stands(line, end("small.mic_in"))
    # 30 mVpp behind 1 kohm into 2 kohm, and from 1 to 10 kohm
    assert [float(each or 0) * 1000 for each in (stands.volts, stands.least, stands.most)] == pytest.approx(
        [20.0, 15.0, 27.2727], abs=1e-4
    )
    assert [fact.why for fact in stands.assumed] == [
        "microphone inputs have 1 to 10 kohm, 2 kohm in the sums (common practice, no source)"
    ]


@pytest.mark.parametrize(
    ("link", "lacks"),
    [
        ("gen.bare, to: cam_1.tc_in", "the level that gen gives at bare (level)"),
        ("gen.mic_level, to: cam_1.tc_in", "which output level gen is set to at mic_level (ports: output)"),
        (
            "gen.driven, to: cam_1.tc_in",
            "what the lead from gen to cam_1 does with the cold leg (links: cold_leg)",
        ),
    ],
)
def test_what_lacks_is_told(link: str, lacks: str) -> None:
    lines = lines_of(f"  - {{from: {link}, carries: LTC, connected: all day}}\n")
    stands = lines.stands(only(lines), end("cam_1.tc_in"))
    assert stands.volts is None
    assert [lack.says for lack in stands.lacks] == [lacks]


def test_a_termination_that_nobody_sets_lacks() -> None:
    rig = RIG.replace("    ports: {ref_in: {termination: switched off}}\n", "")
    lines = lines_of("  - {from: gen.ref, to: cam_1.ref_in, carries: tri-level}\n", rig)
    stands = lines.stands(only(lines), end("cam_1.ref_in"))
    assert [lack.says for lack in stands.lacks] == [
        "whether the 75 ohm at ref_in of cam_1 is switched on (ports: termination)"
    ]


def test_a_level_can_be_given_for_an_output_that_states_none() -> None:
    lines = lines_of("  - {from: gen.bare, to: cam_1.tc_in, carries: LTC, connected: all day}\n")
    stands = lines.stands(only(lines), end("cam_1.tc_in"), level=parse_voltage("1 Vpp open"))
    assert float(stands.volts or 0) == pytest.approx(0.943396, abs=1e-6)


# --- boxes behind boxes --------------------------------------------------------------------------------------------


def boxes(count: int, first: str = "gen.out") -> Lines:
    """Boxes one behind the other from `first` on, each with a camera beside the next box."""
    box = "{class: other device, ports: {in: {in: [LTC]}, on: {out: [LTC]}, beside: {out: [LTC]}}}"
    rig = RIG.replace("links:", f"  box_1..box_{count}: {{able: {box}, passes: {{in: [on, beside]}}}}\nlinks:")
    rig = rig.replace("cam_1..cam_6", f"cam_1..cam_{count}")
    leads = [f"{first}, to: box_1.in", *(f"box_{n}.on, to: box_{n + 1}.in" for n in range(1, count))]
    leads += [f"box_{n}.beside, to: cam_{n}.tc_in" for n in range(1, count + 1)]
    return lines_of("".join(f"  - {{from: {lead}, carries: LTC, connected: all day}}\n" for lead in leads), rig)


def known(lines: Lines, number: int) -> bool:
    at = end(f"cam_{number}.tc_in")
    return lines.stands(lines.at(at)[0], at).volts is not None


@pytest.mark.parametrize("asked", [(60, 41, 40, 21), (21, 40, 41, 60), (41, 60, 21, 40)])
def test_a_level_is_followed_through_forty_boxes_whatever_was_asked_before(asked: tuple[int, ...]) -> None:
    lines = boxes(60)
    assert {number: known(lines, number) for number in asked} == {21: True, 40: True, 41: False, 60: False}


@pytest.mark.parametrize("asked", [(1, 2, 3), (3, 2, 1)])
def test_boxes_that_come_round_have_no_level(asked: tuple[int, ...]) -> None:
    lines = boxes(3, "box_3.on")
    assert not any(known(lines, number) for number in asked)

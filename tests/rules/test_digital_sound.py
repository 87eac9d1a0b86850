"""Digital sound between two clocks, and word clock from box to box."""

import pytest

from synclint.findings import AddKey, Level, SetValue
from synclint.rules.digital_sound import two_clocks_on_a_digital_link, word_clock_from_box_to_box
from tests.rules.running import Came, came_of, rig


def joined(
    clock: str = "clock: {from: own clock}",
    *,
    able: str = ", sample_rate_converter: never",
    project: str = "rate: 25, sample_rate: 48 kHz",
    carries: str = "digital sound",
    console: str = "clock: {from: own clock}",
    day: str = "",
    ppm: str = "5 ppm",
    more: str = "",
) -> Came:
    devices = f"""
  gen: {{able: {{class: sync generator, ports: {{word: {{out: [word clock]}}}}, clock: {{accuracy: 1 ppm}}}}}}
  console:
    able: {{ports: {{word_in: {{in: [word clock]}}, aes_out: {{out: [{carries}]}}}}, clock: {{accuracy: 5 ppm}}}}
    {console}
  multi:
    able:
      ports: {{word_in: {{in: [word clock]}}, aes_in: {{in: [digital sound, AES reference]{able}}}}}
      clock: {{accuracy: {ppm}}}
    {clock}
    records: {{sound: {{sample_rate: 48 kHz}}}}
"""
    links = f"  - {{from: console.aes_out, to: multi.aes_in, carries: {carries}, connected: all day}}\n{more}"
    return came_of(two_clocks_on_a_digital_link, rig(devices, links=links.rstrip(), project=project, day=day))


WORD = "  - {from: gen.word, to: [console.word_in, multi.word_in], carries: word clock, connected: all day}"


def test_a_sample_every_two_seconds() -> None:
    # 5 + 5 ppm of 48,000 a second: 0.48 samples, one in 2.0833 s; 600 s hold 288
    came = joined(day="longest_take: 10 min")
    assert came.one.level is Level.ERROR
    assert came.amounts == {"a click every": pytest.approx(100 / 48), "clicks in the longest take": 288}
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == ["aes_in"]


def test_an_aes_reference_that_brings_sound_is_one_too() -> None:
    assert joined(carries="AES reference").amounts["a click every"] == pytest.approx(100 / 48)


@pytest.mark.parametrize("clock", ["clock: {from: aes_in}", "clock: {from: word_in}"])
def test_one_clock_at_both_ends(clock: str) -> None:
    console = "clock: {from: word_in}" if "word" in clock else "clock: {from: own clock}"
    assert joined(clock, console=console, more=WORD).silent


def test_two_ends_on_two_references() -> None:
    # the console on the generator's 1 ppm, the recorder on its own 5: 6 ppm, 100/(6 x 4.8) = 3.47 s
    came = joined(console="clock: {from: word_in}", more=WORD)
    assert came.amounts == {"a click every": pytest.approx(1e6 / 6 / 48_000)}
    assert "console on that of gen and multi on its own clock" in came.one.sentence


def test_a_converter_takes_the_clocks_apart() -> None:
    assert joined(able=", sample_rate_converter: always").silent


def test_where_nobody_says_there_is_none_it_is_a_warning() -> None:
    assert joined(able="").one.level is Level.WARNING
    assert joined(able=", sample_rate_converter: switchable").one.level is Level.WARNING


def test_who_paces_itself_by_assumption_is_warned_and_given_a_clock() -> None:
    came = joined("timecode: {from: own clock}")
    assert came.one.level is Level.WARNING
    assert came.one.fix is not None
    assert [edit for edit in came.one.fix.edits if isinstance(edit, AddKey)] == [
        AddKey(came.one.fix.edits[0].place, "clock", "{from: aes_in}")
    ]


def test_the_device_that_is_to_lead_is_not_told_to_follow() -> None:
    came = joined(project="rate: 25, sample_rate: 48 kHz, master: {clock: multi}")
    assert came.one.fix is not None
    assert not came.one.fix.edits
    assert "Lock console to multi" in came.one.fix_sentence


def test_without_an_accuracy_it_clicks_all_the_same() -> None:
    devices = """
  console: {able: {ports: {aes_out: {out: [digital sound]}}}, clock: {from: own clock}}
  multi: {able: {ports: {aes_in: {in: [digital sound], sample_rate_converter: never}}}, clock: {from: own clock}}
"""
    links = "  - {from: console.aes_out, to: multi.aes_in, carries: digital sound, connected: all day}"
    came = came_of(two_clocks_on_a_digital_link, rig(devices, links=links))
    assert came.amounts == {}
    assert "it clicks" in came.one.cost_sentence


def test_sound_that_is_not_digital_is_left_alone() -> None:
    assert joined(carries="sound").silent


# --- word clock ------------------------------------------------------------------------------------------------


def row(length: int) -> Came:
    devices = "  gen: {able: {ports: {word: {out: [word clock]}}}, clock: {from: own clock}}\n"
    links = []
    for number in range(1, length + 1):
        devices += (
            f"  box_{number}: {{able: {{ports: {{word_in: {{in: [word clock], termination: always}}, "
            "word_out: {out: [word clock]}}}, clock: {from: word_in}}\n"
        )
        source = "gen.word" if number == 1 else f"box_{number - 1}.word_out"
        links.append(f"  - {{from: {source}, to: box_{number}.word_in, carries: word clock, connected: all day}}")
    return came_of(word_clock_from_box_to_box, rig(devices, links="\n".join(links)))


def test_the_third_in_a_row() -> None:
    assert row(2).silent
    came = row(3)
    assert came.one.level is Level.WARNING
    assert came.amounts == {"clocks in a row": 3, "fall with the first": 2}
    assert came.one.sentence == "word clock from gen comes to box_3 through box_1 and box_2, one after the other"


def test_a_long_row_is_told_once() -> None:
    came = row(6)
    assert came.amounts == {"clocks in a row": 6, "fall with the first": 5}
    assert came.one.who == ("box_3", "box_4", "box_5", "box_6")


def test_a_star_and_a_ring_are_no_row() -> None:
    devices = """
  gen: {able: {ports: {out_1: {out: [word clock]}, out_2: {out: [word clock]}}}, clock: {from: own clock}}
  box_1..box_2: {able: {ports: {word_in: {in: [word clock]}, word_out: {out: [word clock]}}}, clock: {from: word_in}}
"""
    star = "  - {from: gen.out_1..out_2, to: box_1..box_2.word_in, carries: word clock, connected: all day}"
    assert came_of(word_clock_from_box_to_box, rig(devices, links=star)).silent
    ring = """
  - {from: box_1.word_out, to: box_2.word_in, carries: word clock, connected: all day}
  - {from: box_2.word_out, to: box_1.word_in, carries: word clock, connected: all day}
"""
    assert came_of(word_clock_from_box_to_box, rig(devices, links=ring.strip("\n"))).silent

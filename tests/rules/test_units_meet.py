"""Units that meet, and radio groups that share a channel; exact arithmetic unless a source is named."""

import pytest

from synclint.findings import Level
from synclint.rules.radio_clash import same_group_and_channel
from synclint.rules.units_meet import units_meet_without_a_common_jam
from tests.rules.days import BAG, JAM, camera, roll, to_jam, told
from tests.rules.running import Came, came_of

SECOND = BAG.replace("  bag:", "  bag_2:").replace("0.2 ppm", "0.8 ppm").replace("}}\n", "}}")[:-1] + ", unit: second}"
DEVICES = [BAG, camera("cam_a"), SECOND, camera("cam_b", more=", unit: second")]
LEADS = to_jam("cam_a.tc_in") + to_jam("cam_b.tc_in", source="bag_2.tc_out")
UNITS = "  second: {master: bag_2, cut_with: main, shares_timecode: false}"
MEET = roll("15:00", "15:30", "bag", "cam_a", "cam_b")
LETTERS = "Units main and second: camera letters, reels and sound rolls of their own for each"


def met(*events: str, units: str = UNITS) -> Came:
    return came_of(units_meet_without_a_common_jam, told(DEVICES, LEADS, *events, units=units))


def test_two_masters_in_one_scene() -> None:
    (finding,) = met(JAM, MEET).findings
    assert finding.level is Level.ERROR
    assert finding.sentence == (
        "bag and cam_a of main record with cam_b of second in the roll at 15:00, on the times of bag and bag_2, which "
        "no jam ties together"
    )
    assert finding.costs is not None
    # 0.2 and 0.8 ppm: 3.6 ms an hour
    assert {amount.name: amount.value for amount in finding.costs.amounts} == {"time off": 30, "parting": 3.6}
    assert finding.fix_sentence.startswith("Before the roll at 15:00 jam bag_2 and cam_b from bag")


@pytest.mark.parametrize(
    "events",
    [
        (JAM, "at: 14:00, do: jam, of: [bag_2, cam_b], from: bag", MEET),
        (JAM, "at: 14:00, do: jam, of: [cam_b], from: bag", MEET),
        (JAM, f"{MEET}, sync_sound: false"),
        (JAM, roll("15:00", "15:30", "bag", "cam_a"), roll("15:00", "15:30", "bag_2", "cam_b")),
    ],
)
def test_silence_about_units_with_one_time_or_by_themselves(events: tuple[str, ...]) -> None:
    came = met(*events)
    assert not came.findings
    assert [line.sentence for line in came.checklist] == [LETTERS]


def test_where_no_jam_is_told_of_it_is_a_line_of_the_checklist() -> None:
    came = met(MEET)
    assert not came.findings
    assert "Units main and second are together in the roll at 15:00" in came.checklist[-1].sentence


def test_a_unit_that_shares_the_timecode_meets_nobody() -> None:
    assert not met(JAM, MEET, units=UNITS.replace("false", "true")).findings


# --- on the air ------------------------------------------------------------------------------------------------


def on_air(second: str, *, sends: str = "air_2.radio") -> Came:
    air = "able: {{ports: {{radio: {{out: [timecode]}}}}}}, timecode: {{from: own clock, mode: free run}}"
    hears = "able: {{ports: {{radio: {{in: [timecode]}}}}}}, timecode: {{from: radio, mode: continuous}}"
    text = (
        "synclint: setup/1\ntitle: Air\nproject: {rate: 25}\ndevices:\n"
        + "".join(f"  air_{n}: {{{air.format()}}}\n  box_{n}: {{{hears.format()}}}\n" for n in (1, 2))
        + "radio_groups:\n"
        + "  main: {sends: air_1.radio, receives: [box_1.radio], carries: timecode, group: 4, channel: 3, "
        + "band: 865..868 MHz}\n"
        + f"  second: {{sends: {sends}, receives: [box_2.radio], carries: timecode, {second}}}\n"
    )
    return came_of(same_group_and_channel, text)


def test_two_senders_on_one_channel() -> None:
    came = on_air("group: 4, channel: 3, band: 868 MHz")
    assert came.one.level is Level.ERROR
    assert came.one.sentence == (
        "the radio groups main and second are both on group 4 and channel 3, and air_1 sends in one and air_2 in the "
        "other"
    )
    assert came.amounts["receivers that may follow the wrong sender"] == 2
    assert str(came.one.at) == "radio_groups/second/channel"


def test_a_band_that_nobody_says_may_be_the_same() -> None:
    assert on_air("group: 4, channel: 3").findings


@pytest.mark.parametrize(
    "second",
    [
        "group: 4, channel: 5, band: 865..868 MHz",
        "group: 5, channel: 3, band: 865..868 MHz",
        "group: 4, channel: 3, band: 2400..2483 MHz",
        "group: 4",
        "band: 865..868 MHz",
    ],
)
def test_silence_about_channels_of_their_own(second: str) -> None:
    assert on_air(second).silent


def test_one_sender_may_have_two_groups() -> None:
    assert on_air("group: 4, channel: 3, band: 868 MHz", sends="air_1.radio").silent

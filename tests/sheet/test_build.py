"""The sheet as values: what stands in it for a rig and a day worked out by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from synclint.checker import Choice, examine
from synclint.sheet.build import build
from synclint.sheet.crew import Given
from synclint.sheet.values import LogDay, RoundLine, Sheet, Time
from tests.sheet import sheets

SAMPLES = Path(__file__).parents[2] / "sample_setups"

SMALL = """
synclint: setup/1
title: The pier
revision: D
project:
  rate: 23.976 NDF
  sample_rate: 48 kHz
  timecode: {as: time of day, zone: Europe/Lisbon}
  tolerance: 20 ms
  master: {timecode: bag, clock: none}
days:
  - date: 2026-06-14
    zone: Europe/Lisbon
    call: 06:30
    wrap: 19:00
    longest_take: 10 min
    events:
      - {at: 06:50, do: set clock, of: [bag], from: wall clock}
      - {at: 07:00, do: jam, of: all}
      - {at: 07:10, do: compare, of: [cam_b], against: slate, read_by: recorded clip}
      - {at: 11:00, do: power off, of: [box_a], until: 11:05, why: battery}
      - {at: 11:05, do: jam, of: [box_a]}
devices:
  bag:
    name: Sound bag
    able:
      class: field recorder
      clock: {accuracy: 0.5 ppm}
      timecode: {loses_time_on: [power off], keeps_time_off: 2 h}
      ports: {tc_out: {out: [LTC]}}
    timecode: {from: own clock, mode: free run, rate: 23.976 NDF}
    clock: {from: own clock}
    records: {sound: {sample_rate: 48 kHz, bit_depth: 24}, timecode_on: [file]}
  box_a:
    able:
      class: compensated generator
      clock: {accuracy: 0.5 ppm}
      timecode: {loses_time_on: [power off]}
      ports: {jack: {in: [LTC], out: [LTC]}}
    timecode: {from: jack, mode: jam, rate: 23.976 NDF}
  slate:
    able:
      class: timecode slate
      clock: {accuracy: 0.5 ppm}
      timecode: {loses_time_on: [power off]}
      ports: {jack: {in: [LTC]}}
    timecode: {from: jack, mode: jam, rate: 23.976 NDF}
  cam_b:
    name: Camera B
    able: {class: small camera, ports: {mic: {in: [LTC]}}}
    records:
      picture: {shot_at: 23.976, played_at: 23.976}
      sound: {sample_rate: 48 kHz, tracks: {left: LTC, right: scratch}}
      timecode_on: [left]
    offset: {amount: +2 frames, corrected_in: post, tested: 2026-06-11}
links:
  - {from: bag.tc_out, to: [box_a.jack, slate.jack], carries: LTC, connected: to jam, lead: BNC to 3.5 mm TRS}
  - {from: box_a.jack, to: cam_b.mic, carries: LTC, connected: all day, lead: 3.5 mm TRS to BNC}
"""


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Sheet:
    return sheets.sheet_from(SMALL, tmp_path_factory.mktemp("small"), "pier.setup.yaml")


def test_the_head(sheet: Sheet) -> None:
    assert (sheet.title, sheet.revision, sheet.setup_file) == ("The pier", "D", "pier.setup.yaml")
    assert (sheet.errors, sheet.draft) == (1, "Draft: 1 error is open. Do not shoot by this sheet.")
    assert sheet.days == ("2026-06-14, 06:30 to 19:00, Europe/Lisbon",)
    # 06:30 is 23,400 s after midnight.
    assert sheet.log_days == (LogDay("2026-06-14", "Europe/Lisbon", 23_400, past_midnight=False),)
    assert sheet.tolerance_ms == 20
    # 1001/24000 s.
    assert sheet.frame_ms == pytest.approx(41.708333, abs=1e-6)


def test_the_five_numbers(sheet: Sheet) -> None:
    assert [(each.label, each.value, each.detail) for each in sheet.numbers] == [
        ("Rate and count", "23.976 NDF", "24000/1001, not 24"),
        ("Labels", "time of day", "Europe/Lisbon"),
        ("Sample rate", "48 kHz", "24 bit"),
        ("Master", "Sound bag", "set 06:50 from wall clock"),
        ("Tolerance", "20 ms", "between any two"),
    ]


def test_a_line_a_device(sheet: Sheet) -> None:
    bag, box, slate, camera = sheet.devices
    assert (bag.runs, bag.gets, bag.loses) == ("own clock, free run", "", "off for more than 2 h")
    assert (box.gets, box.stays) == ("LTC by lead from Sound bag into jack", "only to jam")
    assert (box.jams, slate.jams) == (("07:00", "11:05"), ("07:00",))
    assert (box.loses, slate.loses) == ("power off", "power off")
    assert (camera.runs, camera.kept_on) == ("timecode recorded as sound", "left")
    assert (camera.gets, camera.stays) == ("LTC by lead from box_a into mic", "all day")
    assert camera.offset == "+2 frames, corrected in post"


def test_leads_by_kind_whichever_way_round(sheet: Sheet) -> None:
    (cable,) = sheet.cables
    assert (cable.kind, cable.count, cable.spares) == ("3.5 mm TRS to BNC", 2, 1)
    assert cable.between == (
        "Sound bag tc_out to box_a jack, slate jack (to jam, one after another)",
        "box_a jack to Camera B mic",
    )


def test_jams_and_comparisons_in_their_order(sheet: Sheet) -> None:
    box, slate = RoundLine("box_a", "box_a", "Sound bag", "bag"), RoundLine("slate", "slate", "Sound bag", "bag")
    camera = RoundLine("Camera B", "cam_b", "slate", "slate")
    assert [(each.does, each.clock, each.lines, each.read_by) for each in sheet.rounds] == [
        ("jam", "07:00", (box, slate), "display"),
        ("compare", "07:10", (camera,), "recorded clip"),
        ("jam", "11:05", (box,), "display"),
        ("compare", "19:00", (box, slate), "display"),
    ]
    assert [each.says.partition(":")[0] for each in sheet.rounds] == [
        "Wait for the lock, then read the offset",
        "",
        "Read the offset before you jam",
        "Before anything is switched off",
    ]
    assert sheet.following == ()
    assert [(each.key, each.against_key) for each in sheet.unplanned] == [
        ("box_a", "bag"),
        ("slate", "bag"),
        ("cam_b", "box_a"),
    ]


def test_times_with_the_latest_to_jam_again(sheet: Sheet) -> None:
    # Two clocks of 0.5 ppm part 3.6 ms an hour. A jam is good to 0.1 ms, and slate and Camera B hang on two of them:
    # (20 - 0.2) ms / 3.6 ms/h = 5.5 h after 07:00. Jammed again at 11:00, all hold 5.5 h more.
    latest = "jam all again: from here slate and Camera B leave the tolerance"
    assert sheet.times == (
        Time("", "06:30", "call"),
        Time("", "06:50", "set Sound bag by hand from wall clock"),
        Time("", "07:00", "jam box_a and slate", jam=True),
        Time("", "11:00", "box_a is off until 11:05 (battery)"),
        Time("", "11:05", "jam box_a", jam=True),
        Time("", "12:30", latest, latest=True),
        Time("", "16:30", "jam all again, if they were jammed at 11:00", latest=True),
        Time("", "19:00", "wrap: compare before anything is off"),
    )


def test_what_to_do_if(sheet: Sheet) -> None:
    told = {each.when: each.then for each in sheet.rules}
    assert told["a battery is changed: box_a and slate"] == "jam it again before the next take, then film slate"
    assert told["Sound bag was off for more than 2 h or was set anew"] == (
        "jam box_a and slate again, all in one round, then film slate"
    )
    assert "no even tone on the timecode track of Camera B" in told


def test_what_post_finds(sheet: Sheet) -> None:
    bag, camera = sheet.post
    assert (bag.files, bag.label, bag.offset) == ("sound 48 kHz", "file, counting 23.976 NDF", "none stated")
    assert (camera.label, camera.track) == ("left, counting 23.976 NDF", "left: LTC, right: scratch")
    assert camera.do == (
        "decode LTC on left before any transcode, and keep all tracks; subtract +2 frames from every label; "
        "group by timecode, and check head and tail of one clip"
    )


def test_checks_of_the_days_before_are_told_apart(sheet: Sheet) -> None:
    assert [(look.heading, look.before) for look in sheet.looks] == [
        ("On the test day", True),
        ("Before the first take", False),
        ("Through the day", False),
        ("In post", False),
    ]


def test_nothing_is_jammed_where_all_follow_by_radio() -> None:
    sheet = sheets.sample("tideline_wireless")
    assert [(each.does, each.clock) for each in sheet.rounds] == [("compare", "17:30")]
    assert sheet.following[0] == "Sound bag, box_a, box_b and slate follow Wireless master live"
    told = {each.when: each.then for each in sheet.rules}
    assert told["Wireless master was off or was set anew"].startswith("see its digits again on Sound bag")


def test_alike_devices_share_a_line() -> None:
    sheet = sheets.sample("tideline_whole_day")
    (shared,) = [line for line in sheet.devices if len(line.devices) > 1]
    assert (shared.devices, shared.keys) == (("box_a", "Spare box"), ("box_a", "spare"))


def test_several_nights_are_told_apart(tmp_path: Path) -> None:
    sheet = sheets.sheet_from(sheets.TWO_NIGHTS, tmp_path)
    assert [(each.day, each.on, each.does, each.clock) for each in sheet.rounds] == [
        ("2026-06-14", 0, "jam", "18:30"),
        ("2026-06-14", 0, "jam", "01:00 +1"),
        ("2026-06-14", 0, "compare", "04:00 +1"),
        ("2026-06-16", 1, "jam", "18:30"),
        ("2026-06-16", 1, "compare", "23:00"),
    ]
    assert [(day.date, day.past_midnight) for day in sheet.log_days] == [("2026-06-14", True), ("2026-06-16", False)]


def test_what_a_log_tells_of_is_not_to_be_done_again(tmp_path: Path) -> None:
    setup, log = tmp_path / "pier.setup.yaml", tmp_path / "pier.log.yaml"
    setup.write_text(SMALL, encoding="utf-8")
    log.write_text(
        "synclint: log/1\nsetup: pier.setup.yaml\nentries:\n  - {at: 07:02, do: jam, of: [box_a, slate], from: bag}\n",
        encoding="utf-8",
    )
    sheet = sheets.sheet_of(setup, log)
    assert [(each.does, each.clock) for each in sheet.rounds if each.does == "jam"] == [("jam", "11:05")]
    assert Time("", "07:02", "jammed box_a and slate") in sheet.times
    assert sheet.digest != sheets.sheet_of(setup).digest


def test_errors_make_a_draft() -> None:
    sheet = sheets.sample("broken/tideline_whole_day_muddled")
    assert sheet.errors == 4
    assert sheet.draft == "Draft: 4 errors are open. Do not shoot by this sheet."
    assert [each.level for each in sheet.open].count("error") == 4


def test_pictures_come_in_two_widths_with_names_of_their_own() -> None:
    pictures = sheets.sample("tideline").pictures
    for svg, name in ((pictures.rig_narrow, "rig-narrow"), (pictures.drift_wide, "drift-wide")):
        assert f'id="{name}-title"' in svg
    assert 'width="348"' in pictures.rig_narrow
    assert pictures.rig_told.startswith("Sound bag")
    assert pictures.drift_told.startswith("The tolerance is 1 frame (41.7 ms).")


@pytest.mark.parametrize("path", sorted(sheets.SAMPLES.glob("*.setup.yaml")), ids=lambda path: path.stem)
def test_every_sound_sample_has_a_sheet_that_is_no_draft(path: Path) -> None:
    sheet = sheets.sheet_of(path)
    assert sheet.devices
    assert not sheet.draft


def test_post_is_told_from_when_to_when_a_camera_was_off_speed() -> None:
    """The lifeboat: Camera A is set to 48 at 14:00, and back at 14:15."""
    examined = examine(str(SAMPLES / "tideline_whole_day.setup.yaml"), Choice(drift=True))
    case = examined.case
    assert case is not None
    given = Given(case.setup, case.timecode, case.clock, case.run)
    lines = {line.devices: line.do for line in build(given, examined.report).post}
    assert lines["Camera A",].startswith(
        "off speed from 14:00 to 14:15 (48 played at 23.976): do not group those clips"
    )
    assert "off speed" not in lines["Camera D",]

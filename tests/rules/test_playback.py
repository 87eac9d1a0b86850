"""Playback: its speed, its timecode, and where that goes; sums by hand."""

import pytest

from synclint.findings import Level
from synclint.rules.masters import two_timecode_masters, unsuitable_master
from synclint.rules.playback import playback_at_the_wrong_speed, timecode_into_the_loudspeakers
from synclint.rules.rates import rates_not_second_aligned
from synclint.rules.songs import (
    show_code_as_jam_source,
    song_timecode_at_another_rate,
    song_timecode_not_told_apart,
)
from synclint.rules.time_lines import two_time_lines_in_a_take
from tests.rules.running import Came, came_of, rig

DAY = "zone: Europe/Lisbon, call: 07:00, wrap: 19:00, events: [{at: 10:00, do: roll, of: [OF], until: 10:04MORE}]"


def sung(
    plays: str,
    shot: str = "24",
    played: str = "23.976",
    *,
    of: str | None = "player, cam",
    more: str = "",
    second: str = "",
    take: str = "",
) -> Came:
    """A camera that shoots to a playback in a roll of four minutes."""
    devices = f"  player: {{able: {{class: playback device}}{f', plays: {{{plays}}}' if plays else ''}}}\n"
    devices += (
        f"  cam: {{able: {{class: cinema camera}}, records: {{picture: {{shot_at: {shot}, played_at: {played}}}}}}}\n"
    )
    if second:
        devices += f"  cam_2: {{like: cam, records: {{picture: {{shot_at: {second}, played_at: {played}}}}}}}\n"
    day = DAY.replace("OF", of).replace("MORE", more) if of else take
    return came_of(playback_at_the_wrong_speed, rig(devices, project="rate: 23.976 NDF, tolerance: 1 frame", day=day))


@pytest.mark.parametrize(
    ("plays", "shot", "played", "ms"),
    [
        ("speed: 1", "24", "23.976", 240),  # 240 s × (1001/1000 - 1)
        ("speed: 1000/1001", "24", "23.976", 240 * (1.001 - 1000 / 1001) * 1000),  # the wrong way: 479.76 ms
        ("speed: 2", "48", "23.976", 480),  # 240 s × (2.002 - 2): eight minutes of film
        ("speed: 2.002", "47.952", "23.976", 480),
        ("speed: 1", "25", "24", 10_000),  # 240 s × (25/24 - 1)
    ],
)
def test_a_speed_that_is_not_shot_over_played(plays: str, shot: str, played: str, ms: float) -> None:
    came = sung(plays, shot, played)
    assert came.one.level is Level.ERROR
    assert came.amounts["song and lips apart"] == pytest.approx(ms, rel=1e-6)


@pytest.mark.parametrize(
    ("plays", "shot", "played"),
    [
        ("speed: 1001/1000", "24", "23.976"),
        ("speed: 1.001", "24", "23.976"),
        ("speed: 1", "23.976", "23.976"),
        ("", "25", "25"),
        ("speed: 2.002", "48", "23.976"),
        ("speed: 2", "47.952", "23.976"),
    ],
)
def test_a_speed_that_fits(plays: str, shot: str, played: str) -> None:
    assert sung(plays, shot, played).silent


def test_what_nobody_wrote_is_taken_for_normal_speed_and_is_a_warning() -> None:
    came = sung("")
    assert came.one.level is Level.WARNING
    assert "as it stands" in came.one.sentence
    assert came.one.fix is not None
    assert [(str(edit.place), getattr(edit, "value", "")) for edit in came.one.fix.edits] == [
        ("devices/player", "{speed: 1001/1000}")
    ]


def test_a_speed_that_an_event_sets_is_the_one_that_counts() -> None:
    change = ", scene: 1}, {at: 09:00, do: set, of: [player], to: {plays: {speed: 1001/1000}}"
    assert sung("speed: 1", more=change).silent
    came = sung("speed: 1001/1000", more=change.replace("1001/1000", "1"))
    assert str(came.one.at) == "days/0/events/1/to/plays/speed"


def test_slow_motion_beside_a_camera_that_the_song_is_right_for() -> None:
    assert sung("speed: 1", "23.976", of="player, cam, cam_2", second="48").silent
    assert sung("speed: 1", "23.976", of="player, cam, cam_2", second="24").one.who == ("cam_2",)


def test_a_difference_within_the_tolerance_is_none() -> None:
    # 1.00017 against 1.001 ... 240 s × 0.0001 = 24 ms, less than a frame of 41.7 ms
    assert sung("speed: 1.0009").silent
    assert sung("speed: 1.0008").findings  # 48 ms


def test_without_rolls_the_longest_take_counts_and_slow_motion_is_nobody_s_guess() -> None:
    # 10 min × 0.001 = 600 ms
    came = sung("speed: 1", of=None, take="call: 07:00, wrap: 19:00, longest_take: 10 min")
    assert came.amounts["song and lips apart"] == pytest.approx(600)
    assert sung("", "48", of=None, take="call: 07:00, wrap: 19:00").lacks == [
        "which rolls are shot to what player plays (days: events: do: roll, of)"
    ]


def test_rolls_without_the_playback_leave_it_unjudged() -> None:
    assert sung("speed: 1", of="cam").lacks == [
        "which rolls are shot to what player plays (days: events: do: roll, of)"
    ]
    assert sung("speed: 1", "23.976", of="cam").silent


# --- loudspeakers ----------------------------------------------------------------------------------------------

DESK = "  desk: {able: {class: audio console}}\n"


def heard(ports: str, links: str, more: str = "", tracks: str = "{left: music, right: LTC}") -> Came:
    devices = f"  player: {{able: {{class: playback device, ports: {ports}}}, plays: {{tracks: {tracks}}}}}\n"
    devices += f"  pa: {{able: {{class: loudspeaker}}}}\n{more}"
    return came_of(timecode_into_the_loudspeakers, rig(devices, links=links))


BOTH = "{out: {out: [sound], channels: {tip: left, ring: right}}, left: {out: [sound], channels: {tip: left}}}"


def lead(source: str, target: str) -> str:
    return f"  - {{from: {source}, to: {target}, carries: sound, connected: all day}}\n"


def test_a_jack_with_both_sides_into_a_loudspeaker() -> None:
    came = heard(BOTH, lead("player.out", "pa.in"))
    assert came.one.level is Level.ERROR
    assert "hurt" in came.one.cost_sentence
    assert "low level" in came.one.fix_sentence
    assert heard(BOTH, lead("player.left", "pa.in")).silent
    assert heard(BOTH, lead("player.out", "pa.in"), tracks="{left: music, right: music}").silent


def test_by_way_of_a_console() -> None:
    came = heard(BOTH, lead("player.out", "desk.in") + lead("desk.out", "pa.in"), DESK)
    assert "by way of desk" in came.one.sentence
    # a console alone is a fader to tape
    came = heard(BOTH, lead("player.out", "desk.in"), DESK)
    assert (came.findings, came.unjudged) == ([], [])
    assert "tape its fader" in came.checklist[0].sentence


ALONE = "{music: {out: [sound], channels: {tip: left}}, code: {out: [LTC], channels: {tip: right}}}"


@pytest.mark.parametrize("carries", ["sound", "LTC"])
def test_on_a_channel_of_its_own_it_is_a_matter_of_its_fader(carries: str) -> None:
    code = lead("player.code", "desk.in").replace("carries: sound", f"carries: {carries}")
    came = heard(ALONE, code + lead("desk.out", "pa.in"), DESK)
    assert came.one.level is Level.WARNING
    assert "sends it to pa by way of desk" in came.one.sentence
    assert came.one.fix_sentence.startswith("Take the LTC of player out of the mains at desk, mute and tape its fader")
    assert heard(ALONE, code.replace("desk.in", "pa.in")).one.level is Level.ERROR


def test_a_round_of_leads_ends() -> None:
    round_ = lead("player.out", "desk.in") + lead("desk.out", "desk.in_2")
    assert heard(BOTH, round_, DESK).findings == []


def test_an_output_of_which_nobody_says_what_comes_out() -> None:
    ports = "{out: {out: [sound]}, out_2: {out: [sound]}}"
    assert heard(ports, lead("player.out", "pa.in")).lacks == [
        "which tracks come out of player.out (able: ports: channels)"
    ]
    # the only output carries all there is
    assert heard("{out: {out: [sound]}}", lead("player.out", "pa.in")).findings
    assert heard("{out: {out: [sound, LTC]}, out_2: {out: [sound]}}", lead("player.out", "pa.in")).findings


# --- the song's timecode ---------------------------------------------------------------------------------------

SONG = """
  bag: {able: {class: bag recorder, ports: {tc_out: {out: [LTC]}}}, timecode: {from: own clock, rate: 23.976 NDF}, records: {sound: {sample_rate: 48 kHz}}}
  player: {name: Playback, able: {class: playback device}, timecode: {from: own clock, rate: SONGRATE}, plays: {PLAYS}}
  slate: {able: {class: timecode slate}, timecode: {from: in, mode: continuous, rate: SONGRATE}}
  box: {able: {class: compensated generator}, timecode: {from: in, mode: jam, rate: 23.976 NDF}}
  cam: {able: {class: cinema camera}, timecode: {from: tc, mode: continuous, rate: 23.976 NDF}, records: {picture: {shot_at: SHOT, played_at: 23.976}, timecode_on: [file]}}
"""  # noqa: E501 - a device a line


def song(
    rule: object,
    plays: str = "timecode: song, continuous: false",
    *,
    rate: str = "23.976 NDF",
    box_from: str = "bag.tc_out",
    post: str = "",
    shot: str = "23.976",
    events: str = "",
    song_to: str = "slate.in",
    labels: str = "23.976 NDF",
) -> Came:
    sound = "48 kHz" if labels != "24" else "48048 Hz, stamped: 48 kHz"
    day_code = SONG.strip("\n").replace("rate: 23.976 NDF", f"rate: {labels}").replace("48 kHz", sound)
    devices = day_code.replace("SONGRATE", rate).replace("PLAYS", plays).replace("SHOT", shot)
    links = (
        f"  - {{from: player.tc, to: {song_to}, carries: LTC, connected: all day}}\n"
        f"  - {{from: {box_from}, to: box.in, carries: LTC, connected: to jam}}\n"
        "  - {from: box.out, to: cam.tc, carries: LTC, connected: all day}\n"
    )
    project = f"rate: 23.976 NDF, tolerance: 1 frame, timecode: {{as: time of day}}, master: {{timecode: bag}}{post}"
    day = f"zone: Europe/Lisbon, call: 07:00, wrap: 19:00, events: [{events}]"
    return came_of(rule, rig(devices, project=project, links=links, day=day))  # type: ignore[arg-type]


TAKES = ", ".join(
    f"{{at: {at}, do: roll, of: [player, bag, cam], until: {until}, sync_sound: false}}"
    for at, until in (("10:00", "10:04"), ("10:20", "10:24"))
)


def test_a_slate_on_the_song_is_told_to_post() -> None:
    came = song(song_timecode_not_told_apart)
    assert came.amounts == {"slates on song code": 1}
    came = song(song_timecode_not_told_apart, events=TAKES)
    assert came.amounts == {"clips with two times": 4}  # the bag's and the camera's, twice
    assert song(song_timecode_not_told_apart, post=", post: {song_timecode_on: [slate]}").silent
    assert song(song_timecode_not_told_apart, song_to="cam.line").silent
    # a playback whose code is the time of the day is a source like any other
    assert song(song_timecode_not_told_apart, "timecode: day, continuous: true").silent


@pytest.mark.parametrize(
    ("rate", "ms"),
    [
        ("30", 240),  # real seconds against 1000/1001: 240 s × 0.001
        ("25", 240),
        ("29.97 DF", 240),  # 1 ppm beside real seconds: 240.24 μs more
    ],
)
def test_song_code_at_a_rate_that_does_not_fit(rate: str, ms: float) -> None:
    came = song(song_timecode_at_another_rate, rate=rate)
    assert came.amounts["off at the end of a song"] == pytest.approx(ms, abs=0.3)


def test_song_code_that_fits() -> None:
    assert song(song_timecode_at_another_rate).silent
    assert song(song_timecode_at_another_rate, rate="29.97 NDF").silent  # whole seconds agree
    # at twice the speed it is read once it is played
    assert song(song_timecode_at_another_rate, "timecode: song, continuous: false, speed: 2").silent


def test_a_song_pulled_up_carries_the_rate_of_the_film() -> None:
    # played at 1.001, code of 23.976 runs at 24, as a camera counts that shoots 24 to be played at 23.976
    pulled = "timecode: song, continuous: false, speed: 1001/1000"
    assert song(song_timecode_at_another_rate, pulled, shot="24", labels="24").silent
    came = song(song_timecode_at_another_rate, pulled, rate="24", shot="24", labels="24")
    assert came.amounts["off at the end of a song"] == pytest.approx(240)
    assert "made with timecode at 23.976" in came.one.fix_sentence


def test_cameras_on_show_code() -> None:
    came = song(show_code_as_jam_source, "timecode: show, continuous: false", box_from="player.tc", events=TAKES)
    assert came.one.who == ("box", "cam")
    assert came.amounts == {"devices on show code": 2, "takes with one set of labels": 2}
    assert "Jam box and cam from bag" in came.one.fix_sentence
    assert song(show_code_as_jam_source).silent  # the slate alone
    assert song(show_code_as_jam_source, "timecode: show, continuous: true", box_from="player.tc").silent
    assert song(show_code_as_jam_source, "timecode: show", box_from="player.tc").lacks == [
        "whether the timecode that Playback plays runs on without a stop (plays: continuous)"
    ]


def test_a_jam_of_the_day_from_the_show_counts_too() -> None:
    jam = "{at: 09:00, do: jam, of: [box], from: player}"
    came = song(show_code_as_jam_source, "timecode: show, continuous: false", events=jam)
    assert came.one.who == ("box", "cam")


@pytest.mark.parametrize(
    "rule", [two_timecode_masters, unsuitable_master, rates_not_second_aligned, two_time_lines_in_a_take]
)
def test_a_song_is_no_second_master(rule: object) -> None:
    assert song(rule, rate="30", events=TAKES).silent
    assert song(rule, "timecode: show, continuous: false", box_from="player.tc", events=TAKES).silent

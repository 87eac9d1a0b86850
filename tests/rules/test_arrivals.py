"""What reaches a recording at different times, and converters under embedded timecode; sums by hand."""

import pytest

from synclint.findings import Level
from synclint.rules.arrivals import pictures_late_by_different_delays, scratch_sound_late, sound_and_picture_apart
from synclint.rules.converters import converter_changes_the_rate, converter_drops_the_timecode
from synclint.rules.framework import Rule
from tests.rules.running import Came, came_of, rig

BAG = (
    "  bag: {able: {ports: {tc_out: {out: [LTC]}, mix: {out: [sound]}}}, timecode: {from: own clock, rate: 25}, "
    "records: {sound: {sample_rate: 48 kHz}}}\n"
)
CAM = (
    "  KEY: {able: {class: cinema camera}, timecode: {from: tc_in, mode: continuous, rate: 25}, "
    "records: {picture: {shot_at: 25}}}\n"
)
THING = "  KEY: {name: NAME, able: {class: through-thing, passes: {in: [out]}MORE}}\n"


def cam(key: str) -> str:
    return CAM.replace("KEY", key)


def thing(key: str, name: str, more: str = "") -> str:
    return THING.replace("KEY", key).replace("NAME", name).replace("MORE", f", {more}" if more else "")


def leads(*links: str) -> str:
    return "".join(f"  - {{from: {link}, connected: all day}}\n" for link in links)


# --- several cameras at one recording --------------------------------------------------------------------------


def mixed(delay: str, *, second: str = "", mixer: str = "1 frame") -> Came:
    """Three cameras at a vision mixer, one of them (or two) through something that takes time."""
    devices = BAG + cam("a") + cam("b") + cam("c") + thing("late", "Synchroniser", f"delay: {delay}")
    devices += thing("late_2", "Second synchroniser", f"delay: {second or delay}")
    devices += f"  mixer: {{able: {{class: through-thing, passes: {{in_1..in_3: [out]}}, delay: {mixer}}}}}\n".replace(
        "in_1..in_3: [out]", "in_1: [out], in_2: [out], in_3: [out]"
    )
    devices += (
        "  rec: {able: {class: video recorder}, timecode: {from: tc, mode: continuous, rate: 25}, "
        "records: {picture: {shot_at: 25}}}\n"
    )
    b = ("b.sdi, to: late_2.in, carries: picture", "late_2.out, to: mixer.in_2, carries: picture")
    links = leads(
        "bag.tc_out, to: [a.tc_in, b.tc_in, c.tc_in, rec.tc], carries: LTC",
        "a.sdi, to: mixer.in_1, carries: picture",
        *(b if second else ("b.sdi, to: mixer.in_2, carries: picture",)),
        "c.sdi, to: late.in, carries: picture",
        "late.out, to: mixer.in_3, carries: picture",
        "mixer.out, to: rec.sdi, carries: picture",
    )
    return came_of(pictures_late_by_different_delays, rig(devices, links=links))


def test_one_camera_a_frame_later_than_the_others() -> None:
    # 1 frame at 25: 40 ms
    came = mixed("1 frame")
    assert came.amounts == {"apart": 40, "in frames": 1}
    assert came.one.sentence == (
        "the picture of c reaches rec 1 frame (40 ms) later than a and b, through Synchroniser (1 frame)"
    )


def test_a_camera_that_is_early_because_two_are_late() -> None:
    came = mixed("2 frames", second="2 frames")
    assert came.amounts["apart"] == 80
    assert "the picture of a reaches rec 2 frames (80 ms) earlier than b and c" in came.one.sentence


def test_all_alike_or_less_than_half_a_frame_apart() -> None:
    assert mixed("0 frames").silent
    assert mixed("19 ms").silent  # half a frame is 20 ms
    assert mixed("20 ms").findings
    assert mixed("0 frames", mixer="3 frames").silent


# --- sound beside picture --------------------------------------------------------------------------------------


def recorded(
    picture: str = "0 ms", sound: str = "0 ms", tracks: str = "{left: mix}", cls: str = "video recorder"
) -> Came:
    devices = BAG + cam("a") + thing("conv", "Converter", f"delay: {picture}" if picture else "")
    devices += thing("hop", "Radio hop", f"delay: {sound}")
    devices += (
        f"  rec: {{able: {{class: {cls}}}, timecode: {{from: sdi, mode: continuous, rate: 25}}, "
        f"records: {{picture: {{shot_at: 25}}, sound: {{sample_rate: 48 kHz, tracks: {tracks}}}}}}}\n"
    )
    links = leads(
        "bag.tc_out, to: a.tc_in, carries: LTC",
        "a.sdi, to: conv.in, carries: SDI timecode",
        "conv.out, to: rec.sdi, carries: SDI timecode",
        "bag.mix, to: hop.in, carries: sound",
        "hop.out, to: rec.line, carries: sound",
    )
    return came_of(sound_and_picture_apart, rig(devices, links=links))


@pytest.mark.parametrize(
    ("picture", "sound", "level", "name", "ms"),
    [
        ("4 frames", "0 ms", Level.ERROR, "sound early", 160),
        ("41 ms", "0 ms", Level.ERROR, "sound early", 41),  # 40 ms is the most from end to end (EBU R 37, quoted)
        ("1 frame", "0 ms", Level.WARNING, "sound early", 40),  # 5 ms is the most in one stage
        ("4 frames", "100 ms", Level.ERROR, "sound early", 60),
        ("0 ms", "61 ms", Level.ERROR, "sound late", 61),  # 60 ms from end to end
        ("0 ms", "60 ms", Level.WARNING, "sound late", 60),
        ("0 ms", "20 ms", Level.WARNING, "sound late", 20),  # 15 ms in one stage
    ],
)
def test_sound_and_picture_apart(picture: str, sound: str, level: Level, name: str, ms: int) -> None:
    came = recorded(picture, sound)
    assert came.one.level is level
    assert came.amounts[name] == pytest.approx(ms)


@pytest.mark.parametrize(
    ("picture", "sound"),
    [("0 ms", "0 ms"), ("2 frames", "80 ms"), ("5 ms", "0 ms"), ("0 ms", "15 ms"), ("19 ms", "0 ms")],
)
def test_sound_and_picture_near_enough(picture: str, sound: str) -> None:
    # 19 ms are beyond one stage's 5 ms and less than half a frame, which nobody can set at a recorder
    assert recorded(picture, sound).silent


def test_sound_that_only_lays_the_clip_is_another_matter() -> None:
    assert recorded("4 frames", tracks="{left: scratch, right: scratch}").silent
    assert recorded("4 frames", tracks="{left: LTC, right: scratch}").silent
    assert recorded("4 frames", tracks="{left: LTC, right: mix}").findings


def test_a_picture_of_unknown_delay_is_asked_for() -> None:
    assert recorded("").lacks == ["how late Converter hands on what rec records (delay)"]


# --- scratch sound ---------------------------------------------------------------------------------------------


def scratched(delay: str, sync_by: str = "[scratch sound]", label: str = "[file]", lag: str = "") -> Came:
    able = f", able: {{class: small camera{f', records: {{sound: {{lag: {lag}}}}}' if lag else ''}}}"
    devices = BAG + thing("hop", "Radio hop", f"delay: {delay}")
    devices += (
        f"  cam: {{timecode: {{from: tc, mode: continuous, rate: 25}}{able}, "
        f"records: {{picture: {{shot_at: 25}}, sound: {{tracks: {{left: scratch}}}}, timecode_on: {label}}}"
        f"{f', sync_by: {sync_by}' if sync_by else ''}}}\n"
    )
    links = leads(
        "bag.tc_out, to: cam.tc, carries: LTC",
        "bag.mix, to: hop.in, carries: sound",
        "hop.out, to: cam.mic, carries: sound",
    )
    return came_of(scratch_sound_late, rig(devices, links=links))


def test_a_hop_of_half_a_frame_moves_what_is_laid_by_its_waveform() -> None:
    # half a frame at 25 is 20 ms
    came = scratched("20 ms", "[scratch sound, timecode]")
    assert came.amounts == {"picture early": 20, "in frames": 0.5}
    assert "Let post lay cam by timecode" in came.one.fix_sentence
    assert scratched("19 ms", "[scratch sound, timecode]").silent
    assert scratched("3 ms").silent


def test_the_camera_s_own_lag_adds_to_it() -> None:
    # 12 ms of the hop and 10 ms inside the camera: 22 ms
    assert scratched("12 ms", lag="10 ms").amounts["picture early"] == 22


def test_as_a_second_way_it_is_a_line_for_post() -> None:
    came = scratched("20 ms", "[timecode, scratch sound]")
    assert (came.findings, came.unjudged) == ([], [])
    assert "move the clips half a frame (20 ms) later" in came.checklist[0].sentence
    # without a label it is the first
    assert scratched("20 ms", "[timecode, scratch sound]", "none").findings


def test_who_is_not_laid_by_sound_is_left_alone() -> None:
    assert scratched("40 ms", "[timecode, slate]").silent
    assert scratched("40 ms", "").lacks == ["by what post lays the clips of cam (project: post: sync_by)"]


# --- converters ------------------------------------------------------------------------------------------------


def converted(
    rule: Rule, passes: str, into: str = "SDI timecode", out: str = "HDMI timecode", formats: tuple[str, str] = ("", "")
) -> Came:
    devices = BAG + cam("a") + thing("conv", "Converter", f"passes_timecode: {passes}" if passes else "")
    devices += (
        "  rec: {able: {class: video recorder}, timecode: {from: pic, mode: continuous, rate: 25}, "
        "records: {picture: {shot_at: 25}}}\n"
    )
    before, after = (f", format: {each}" if each else "" for each in formats)
    links = leads(
        "bag.tc_out, to: a.tc_in, carries: LTC",
        f"a.sdi, to: conv.in, carries: {into}{before}",
        f"conv.out, to: rec.pic, carries: {out}{after}",
    )
    return came_of(rule, rig(devices, links=links, day="call: 07:00, wrap: 19:00"))


@pytest.mark.parametrize(
    ("passes", "into", "out"),
    [
        ("[]", "SDI timecode", "HDMI timecode"),
        ("[]", "HDMI timecode", "SDI timecode"),
        ("[HDMI timecode]", "SDI timecode", "HDMI timecode"),
        ("[SDI VITC, SDI LTC]", "HDMI timecode", "SDI timecode"),
        ("[]", "SDI timecode", "SDI timecode"),
    ],
)
def test_timecode_that_is_dropped(passes: str, into: str, out: str) -> None:
    came = converted(converter_drops_the_timecode, passes, into, out)
    assert came.one.level is Level.ERROR
    assert came.amounts == {"devices without timecode": 1}
    assert str(came.one.at) == "devices/rec/timecode/from"


def test_timecode_that_is_passed() -> None:
    assert converted(converter_drops_the_timecode, "[SDI VITC, SDI LTC]").silent
    assert converted(converter_drops_the_timecode, "[HDMI timecode]", "HDMI timecode", "SDI timecode").silent
    came = converted(converter_drops_the_timecode, "[SDI VITC]")
    assert (came.findings, came.unjudged) == ([], [])
    assert "passes SDI VITC only" in came.checklist[0].sentence


def test_a_converter_between_unlike_signals_is_asked_and_a_router_is_not() -> None:
    assert converted(converter_drops_the_timecode, "").lacks == [
        "which timecode Converter passes (able: passes_timecode)"
    ]
    assert converted(converter_drops_the_timecode, "", "SDI timecode", "SDI timecode").silent


@pytest.mark.parametrize(
    ("before", "after", "name", "value"),
    [
        ("1080/23.98 PsF", "1080/29.97 PsF", "labels made up", 6),  # 30 - 24
        ("1080/23.98p", "1080/59.94p", "labels made up", 6),  # 59.94 is labelled in pairs
        ("1080/25p", "1080/24p", "labels left out", 1),  # 25 - 24
        ("1080/24p", "1080/23.98p", "parting", pytest.approx(3600 / 1001)),
    ],
)
def test_a_converter_that_changes_the_rate(before: str, after: str, name: str, value: float) -> None:
    came = converted(converter_changes_the_rate, "[SDI VITC]", formats=(before, after))
    assert came.amounts == {name: value}


def test_one_label_serves_pairs_and_fields() -> None:
    for after in ("1080/50p", "1080/50i", "625/50"):
        assert converted(converter_changes_the_rate, "[SDI VITC]", formats=("1080/25p", after)).silent, after
    assert converted(converter_changes_the_rate, "[SDI VITC]", formats=("1080/25p", "")).silent
    # where nothing is passed there is nothing to count anew
    assert converted(converter_changes_the_rate, "[]", formats=("1080/25p", "1080/24p")).silent


def test_pictures_that_come_by_more_ways_than_are_followed_are_told() -> None:
    devices = "  cam_1..cam_70: {able: {class: cinema camera, ports: {sdi: {out: [picture]}}}}\n"
    mix = "class: video recorder, ports: {in: {in: [picture]}}"
    devices += f"  mix: {{able: {{{mix}}}, records: {{picture: {{shot_at: 25}}}}}}\n"
    links = "  - {from: cam_1..cam_70.sdi, to: mix.in, carries: picture, format: 1080/25p}\n"
    links = "".join(links.replace("cam_1..cam_70", f"cam_{n}") for n in range(1, 71))
    assert came_of(pictures_late_by_different_delays, rig(devices, links=links)).lacks == [
        "what reaches mix by all its ways, of which there are too many to follow"
    ]

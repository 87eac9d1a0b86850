"""The delays on the ways of picture, sound and timecode, and the fixed offsets that they make; sums by hand."""

from fractions import Fraction as F

import pytest

from synclint.rig.build import build
from synclint.rig.delays import Delays, delays_of
from synclint.rig.model import Setup
from synclint.rig.offsets import FixedOffset, offsets_of
from tests.rig.building import document

DEVICES = """
  bag:
    able: {class: bag recorder, ports: {tc_out: {out: [LTC]}, mix: {out: [sound]}}}
    timecode: {from: own clock}
    records: {sound: {sample_rate: 48 kHz}}
  cam:
    able:
      class: cinema camera
      ports: {tc_in: {in: [LTC]}, tc_out: {out: [LTC]}, sdi: {out: [SDI timecode, picture]}}
    timecode: {from: tc_in, mode: continuous}
    records: {picture: {shot_at: 23.976}}
  rec:
    able: {class: video recorder}
    timecode: {from: tc, mode: continuous}
    records: {picture: {shot_at: 23.976}, sound: {sample_rate: 48 kHz}}
  conv: {able: {class: through-thing, passes: {in: [out], audio_in: [out]}, delay: 2 frames}}
  conv_2: {able: {class: through-thing, passes: {in: [out]}, delay: 5 ms}}
  plain: {able: {class: through-thing, passes: {in: [out, out_2]}}}
  tee: {able: {class: through-thing, passes: {in: [out, out_2]}, passive: true}}
"""
FRAME = F(1001, 24_000)
"""A frame at 23.976."""


def setup_of(text: str) -> Setup:
    made = build(document(text), ())
    assert [problem.sentence for problem in made.problems] == []
    return made.setup


def made(links: str, devices: str = "", rate: str = "23.976 NDF", post: str = "") -> Setup:
    leads = "".join(f"  - {{from: {link}, connected: all day}}\n" for link in links.strip().splitlines())
    return setup_of(
        f"synclint: setup/1\nproject: {{rate: {rate}{post}}}\ndevices:{DEVICES.rstrip()}\n{devices}links:\n{leads}"
    )


def delays(links: str, devices: str = "", key: str = "rec") -> Delays:
    return delays_of(made(links, devices))[key]


def offset(links: str, devices: str = "", key: str = "rec", post: str = "") -> FixedOffset:
    return offsets_of(made(links, devices, post=post))[key]


LTC = "bag.tc_out, to: [cam.tc_in, rec.tc], carries: LTC\n"
ROUND = f"{LTC}cam.sdi, to: conv.in, carries: picture\nconv.out, to: rec.sdi, carries: picture\n"


def test_ltc_round_a_converter_of_two_frames_is_two_frames_ahead() -> None:
    found = delays(ROUND)
    (picture,) = found.pictures
    assert (picture.source, picture.port, picture.seconds) == ("cam", "sdi", 2 * FRAME)
    assert [step.key for step in picture.late] == ["conv"]
    (timecode,) = found.timecodes
    assert timecode.source == "bag"
    assert timecode.seconds == 0
    assert found.label_error is not None
    assert found.label_error.seconds == 2 * FRAME  # later than the picture that it sits on
    assert [fact.text for fact in found.label_error.facts] == ["2 frames"]


def test_two_things_in_a_row_add_up() -> None:
    links = f"{LTC}cam.sdi, to: conv.in, carries: picture\nconv.out, to: conv_2.in, carries: picture\n"
    found = delays(f"{links}conv_2.out, to: rec.sdi, carries: picture\n")
    assert found.label_error is not None
    assert found.label_error.seconds == 2 * FRAME + F(5, 1000)


def test_timecode_in_the_picture_is_never_off_whatever_the_delay() -> None:
    links = "bag.tc_out, to: cam.tc_in, carries: LTC\ncam.sdi, to: conv.in, carries: SDI timecode\n"
    found = delays(f"{links}conv.out, to: rec.tc, carries: SDI timecode\n")
    assert found.label_error is not None
    assert found.label_error.seconds == 0
    # even where nobody says how long it takes
    links = links.replace("conv.in", "plain.in")
    found = delays(f"{links}plain.out, to: rec.tc, carries: SDI timecode\n")
    assert found.pictures[0].seconds is None
    assert found.label_error is not None
    assert found.label_error.seconds == 0


def test_timecode_put_in_half_way_leaves_what_was_before() -> None:
    # 5 ms before the one that puts it in, two frames in it and after it for both
    inserter = "  ins: {able: {class: through-thing, passes: {in: [out], ltc: [out]}, delay: 1 frame}}\n"
    links = """bag.tc_out, to: [cam.tc_in, ins.ltc], carries: LTC
cam.sdi, to: conv_2.in, carries: picture
conv_2.out, to: ins.in, carries: picture
ins.out, to: conv.in, carries: SDI timecode
conv.out, to: rec.tc, carries: SDI timecode
"""
    found = delays(links, inserter)
    assert found.label_error is not None
    assert found.label_error.seconds == F(5, 1000)


def test_a_late_timecode_is_behind() -> None:
    links = "bag.tc_out, to: conv_2.in, carries: LTC\nconv_2.out, to: cam.tc_in, carries: LTC\n"
    found = delays(links, key="cam")
    assert found.label_error is not None
    assert found.label_error.seconds == -F(5, 1000)
    assert found.behind == -F(5, 1000)


def test_a_delay_that_nobody_states_is_unknown_for_pictures_and_none_for_ltc_and_sound() -> None:
    found = delays(f"{LTC}cam.sdi, to: plain.in, carries: picture\nplain.out, to: rec.sdi, carries: picture\n")
    assert found.label_error is not None
    assert found.label_error.seconds is None
    assert [step.key for step in found.label_error.lacks] == ["plain"]
    found = delays("bag.tc_out, to: plain.in, carries: LTC\nplain.out, to: cam.tc_in, carries: LTC\n", key="cam")
    assert found.label_error is not None
    assert found.label_error.seconds == 0
    assert found.timecodes[0].steps[0].delay.assumed
    found = delays(f"{LTC}cam.sdi, to: tee.in, carries: picture\ntee.out, to: rec.sdi, carries: picture\n")
    assert found.label_error is not None
    assert found.label_error.seconds == 0


def test_ways_side_by_side_are_told_apart() -> None:
    links = f"""{LTC}cam.sdi, to: tee.in, carries: picture
tee.out, to: conv.in, carries: picture
tee.out_2, to: router.in_2, carries: picture
conv.out, to: router.in_1, carries: picture
router.out, to: rec.sdi, carries: picture
"""
    router = "  router: {able: {class: through-thing, passes: {in_1: [out], in_2: [out]}, delay: 0 frames}}\n"
    found = delays(links, router)
    assert sorted(way.seconds or 0 for way in found.pictures) == [0, 2 * FRAME]
    assert {each.seconds for each in found.labels} == {0, 2 * FRAME}


def test_frames_are_those_of_the_picture_on_the_lead() -> None:
    # 1 frame of 1080/59.94p is 1001/60000 s; of 59.94i, named by its fields, 1001/30000 s; of 625/50 it is 40 ms
    for text, frame in (("1080/59.94p", F(1001, 60_000)), ("1080/59.94i", F(1001, 30_000)), ("625/50", F(1, 25))):
        links = (
            f"{LTC}cam.sdi, to: conv.in, carries: picture, format: {text}\nconv.out, to: rec.sdi, carries: picture\n"
        )
        found = delays(links)
        assert found.pictures[0].seconds == 2 * frame, text


def test_a_camera_that_gives_its_picture_out_late() -> None:
    cam = "  late: {like: cam, delay: 1 frame}\n"
    found = delays(f"{LTC}late.sdi, to: rec.sdi, carries: picture\n", cam)
    assert found.label_error is not None
    assert found.label_error.seconds == FRAME
    # its own files, and the timecode embedded by it, are right
    assert delays(f"{LTC}bag.tc_out, to: late.tc_in, carries: LTC\n", cam, "late").label_error is not None
    found = delays("late.sdi, to: rec.tc, carries: SDI timecode\n", cam)
    assert found.label_error is not None
    assert found.label_error.seconds == 0


def test_sound_that_lies_behind_the_picture_takes_timecode_on_a_track_with_it() -> None:
    small = (
        "  small: {able: {class: small camera, records: {sound: {lag: 1 frame}}}, timecode_on: [left], "
        "records: {picture: {shot_at: 23.976}, sound: {tracks: {left: LTC, right: scratch}}}}\n"
    ).replace(", timecode_on: [left]", "")
    found = delays("bag.tc_out, to: small.mic, carries: LTC\n", small, "small")
    assert found.label_error is not None
    assert found.label_error.seconds == -FRAME
    assert found.sounds[0].seconds == FRAME


def test_sound_put_into_the_picture_and_taken_out_again() -> None:
    # the mix goes into the converter of two frames; what it shares with the picture delays neither
    links = f"{ROUND}bag.mix, to: conv.audio_in, carries: sound\n"
    (sound,) = delays(links).sounds
    assert (sound.source, sound.seconds) == ("bag", 2 * FRAME)
    (apart,) = delays(links).of_sound(sound)
    assert apart.seconds == 0
    # wired straight it is two frames early
    links = f"{ROUND}bag.mix, to: rec.line, carries: sound\n"
    found = delays(links)
    assert [each.seconds for each in found.of_sound(found.sounds[0])] == [2 * FRAME]


def test_a_radio_group_may_take_time() -> None:
    rec = "  small: {able: {class: small camera}, records: {picture: {shot_at: 25}, sound: {sample_rate: 48 kHz}}}\n"
    setup = setup_of(
        f"synclint: setup/1\nproject: {{rate: 25}}\ndevices:{DEVICES.rstrip()}\n{rec}"
        "radio_groups:\n  cue: {sends: bag.mix, receives: [small.radio], carries: sound, delay: 20 ms}\n"
    )
    assert delays_of(setup)["small"].sounds[0].seconds == F(20, 1000)


def test_a_rig_that_goes_round_ends() -> None:
    links = """cam.sdi, to: one.in_1, carries: picture
one.out, to: two.in_1, carries: picture
two.out, to: [one.in_2, rec.sdi], carries: picture
"""
    knot = "".join(
        f"  {key}: {{able: {{class: through-thing, passes: {{in_1: [out], in_2: [out]}}, delay: 1 frame}}}}\n"
        for key in ("one", "two")
    )
    found = delays(f"{LTC}{links}", knot)
    assert [way.seconds for way in found.pictures] == [2 * FRAME]
    assert len(delays(f"{LTC}rec.sdi, to: rec.sdi, carries: picture\n").pictures) == 1


# --- what is done about an offset ------------------------------------------------------------------------------

CAMERA = "  cam_c: {like: cam, offset: {%s}}\n"


@pytest.mark.parametrize(
    ("said", "post", "left"),
    [
        ("amount: -2 frames", "", -2),
        ("amount: -2 frames, corrected_in: nowhere", "", -2),
        ("amount: -2 frames, corrected_in: post", "", 0),
        ("amount: -2 frames, corrected_in: camera menu", "", 0),
        ("amount: -2 frames, corrected_in: camera menu, entered: +2 frames", "", 0),
        # post subtracts -2 of what the menu has put right: 0 + 2
        ("amount: -2 frames, corrected_in: camera menu", "cam_c: -2 frames", 2),
        ("amount: -2 frames, corrected_in: post", "cam_c: -2 frames", 0),
        # told of others only
        ("amount: -2 frames, corrected_in: post", "bag: +1 frame", -2),
        # subtracting +2 of -2 leaves -4
        ("amount: -2 frames, corrected_in: post", "cam_c: +2 frames", -4),
        ("amount: +2 frames, corrected_in: camera menu, entered: +2 frames", "", 4),
        ("amount: +2 frames, corrected_in: camera menu, entered: -1 frame", "", 1),
        # what only post was told is taken for measured
        ("tested: 2026-06-11", "cam_c: -2 frames", 0),
        ("entered: +2 frames", "cam_c: -2 frames", 2),
        # in milliseconds: 10 - 4 = 6 ms
        ("amount: 10 ms, corrected_in: camera menu, entered: -4 ms", "", F(6, 1000) / FRAME),
    ],
)
def test_what_is_left_of_an_offset(said: str, post: str, left: F) -> None:
    found = offset(LTC, CAMERA % said, "cam_c", f", post: {{corrects: {{{post}}}}}" if post else "")
    assert found.left == left * FRAME
    assert found.uncorrected == (0 if found.corrected else found.left)


def test_what_is_to_be_entered_and_where() -> None:
    entry = offset(ROUND).entry
    assert entry is not None
    assert (entry.where, entry.seconds, entry.written) == ("post", 2 * FRAME, "+2 frames")
    entry = offset(LTC, CAMERA % "amount: +2 frames, corrected_in: camera menu", "cam_c").entry
    assert entry is not None
    assert (entry.where, entry.written) == ("camera menu", "-2 frames")
    assert offset(LTC, key="cam").entry is None


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (2 * FRAME, "+2 frames"),
        (-FRAME, "-1 frame"),
        (FRAME / 2, "+1/2 frame"),
        (-3 * FRAME / 2, "-3/2 frames"),
        (F(20, 1000), "+20 ms"),
        (-F(1, 600), "-1.667 ms"),
    ],
)
def test_an_offset_is_written_as_a_setup_takes_it(seconds: F, text: str) -> None:
    assert offset(LTC, key="cam").written(seconds) == text


def test_post_may_be_told_of_a_range_and_of_no_stranger() -> None:
    more = "  cam_1..cam_3: {like: cam}\n"
    found = offsets_of(made(LTC, more, post=", post: {corrects: {cam_1..cam_3: +1 frame}}"))
    assert [found[f"cam_{n}"].subtracted for n in (1, 2, 3)] == [FRAME] * 3


def test_each_port_has_its_ways_and_more_than_can_be_followed_are_told() -> None:
    devices = "  src_1..src_70: {able: {class: cinema camera}}\n"
    each = "".join(f"src_{n}.sdi, to: rec.in_{n}, carries: picture\n" for n in range(1, 71))
    apart = delays(each, devices)
    assert (len(apart.pictures), apart.cut) == (70, False)
    one = "".join(f"src_{n}.sdi, to: rec.in, carries: picture\n" for n in range(1, 71))
    together = delays(one, devices)
    assert (len(together.pictures), together.cut) == (64, True)

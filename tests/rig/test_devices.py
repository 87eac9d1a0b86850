"""Devices from their layers: kit types, numbered pieces, devices that they are like, settings of their own."""

from fractions import Fraction as F

import pytest

from synclint.documents.records import CIRCULAR_INHERITANCE, CLASHING_NAMES, WRONG_VALUE
from synclint.findings import Standing
from synclint.rig.assumed import BY_CLASS
from synclint.rig.model import Device, Setup
from tests.rig.building import built, only, sound, told_at_mark


def rig(devices: str, *kits: str) -> Setup:
    return sound(f"devices:\n{devices}", *kits).setup


def device(devices: str, *kits: str, key: str = "cam_a") -> Device:
    return rig(devices, *kits).devices[key]


KIT = """\
types:
  camera:
    class: cinema camera
    ports: {tc_in: {in: [LTC]}, sdi_out: {out: [SDI timecode]}}
    timecode: {rates: [24, 25], modes: [jam, continuous]}
    clock: {accuracy: 2 ppm, varying: 1 ppm}
    records: {sound: {bit_depth: 24, container: RF64}}
  small_camera: {based_on: camera, class: small camera, ports: {usb: {in: [data timecode]}}, timecode: {rates: [25]}}
  tiny_camera: {based_on: small_camera, clock: {accuracy: 30 ppm}}
items:
  - {serial: K1, type: camera, runs: {rate: -0.31 ppm, within: 0.05 ppm}}
  - {serial: K2, type: camera}
"""

# --- ranges ----------------------------------------------------------------------------------------------------


def test_a_range_makes_equal_devices() -> None:
    setup = rig("  cam_1..cam_3: {timecode: {from: own clock}}\n")
    assert list(setup.devices) == ["cam_1", "cam_2", "cam_3"]
    assert {each.timecode.source.place for each in setup.devices.values()} == {
        setup.devices["cam_1"].timecode.source.place
    }
    assert str(setup.devices["cam_2"].place) == "devices/cam_1..cam_3"


def test_a_name_is_not_given_to_all_of_a_range() -> None:
    setup = rig("  cam_1..cam_2: {name: Camera}\n  bag: {name: Sound bag}\n")
    assert [setup.called(key) for key in setup.devices] == ["cam_1", "cam_2", "Sound bag"]
    assert setup.called("nobody") == "nobody"


@pytest.mark.parametrize("second", ["cam_3..cam_9", "cam_1", "cam_2..cam_2"])
def test_overlapping_ranges_are_told_once(second: str) -> None:
    finding = told_at_mark(f"devices:\n  cam_1..cam_3: {{}}\n  «{second}»: {{}}\n")
    assert finding.record is CLASHING_NAMES
    assert "declared twice, here and by cam_1..cam_3" in finding.sentence


def test_ranges_side_by_side_are_no_clash() -> None:
    assert len(rig("  cam_1..cam_3: {}\n  cam_4..cam_6: {}\n  cam_01..cam_03: {}\n").devices) == 9


@pytest.mark.parametrize("name", ["cam_3..cam_1", "cam_1..cam_99999", "cam_1..box_3", "cam_a..cam_c"])
def test_a_range_that_cannot_be_written_out_is_told_once(name: str) -> None:
    finding = told_at_mark(f"devices:\n  «{name}»: {{}}\n")
    assert finding.record is CLASHING_NAMES


def test_ranges_that_come_to_more_than_any_shoot_are_refused() -> None:
    ranges = "".join(f"  {letter}_1..{letter}_20000: {{}}\n" for letter in "abcdefgh")
    made = built(f"devices:\n{ranges}")
    assert [problem.record for problem in made.problems] == [WRONG_VALUE]
    assert "more devices and leads than any shoot has" in made.problems[0].sentence
    assert not made.names_resolve
    assert len(made.setup.devices) == 40_000  # two ranges, within 50,000; the third would pass it


def test_a_through_thing_in_a_range_with_a_range_of_outputs_is_bounded() -> None:
    made = built("devices:\n  dist_1..dist_9000: {passes: {in: [out_1..out_9000]}}\n")
    assert len(made.problems) == 1
    assert not made.names_resolve


def test_two_devices_with_one_name() -> None:
    made = built("devices:\n  cam_a: {name: Camera}\n  cam_b: {name: Camera}\n")
    assert [problem.record for problem in made.problems] == [CLASHING_NAMES]
    assert str(made.problems[0].at) == "devices/cam_b"
    assert [str(mention.place) for mention in made.problems[0].also] == ["devices/cam_a"]


def test_a_name_that_is_the_key_of_another() -> None:
    assert only("devices:\n  cam_a: {}\n  cam_b: {name: cam_a}\n").record is CLASHING_NAMES


# --- like ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 2, 0)])
def test_a_chain_of_like_in_any_order(order: tuple[int, ...]) -> None:
    lines = [
        "  cam_a: {timecode: {from: own clock, mode: free run, rate: 25}}\n",
        "  cam_b: {like: cam_a, timecode: {mode: record run}}\n",
        "  cam_c: {like: cam_b, timecode: {rate: 24}}\n",
    ]
    last = rig("".join(lines[index] for index in order)).devices["cam_c"].timecode
    assert (last.source.value, last.mode.value, last.rate.text) == ("own clock", "record run", "24")
    assert str(last.source.place) == "devices/cam_a/timecode/from"  # where it is written
    assert str(last.mode.place) == "devices/cam_b/timecode/mode"
    assert str(last.place) == "devices/cam_c/timecode"


def test_what_names_a_device_is_not_taken_over() -> None:
    setup = rig("  cam_a: {type: camera, name: A, item: K1}\n  cam_b: {like: cam_a}\n", KIT)
    assert setup.devices["cam_b"].called == "cam_b"
    # without the measured piece it is any camera of the type: 2 ppm
    assert setup.devices["cam_a"].clock.accuracy.value == F("0.36")
    assert setup.devices["cam_b"].clock.accuracy.value == 2


def test_a_type_that_only_the_numbered_piece_says_is_taken_over() -> None:
    setup = rig("  cam_a: {item: K1}\n  cam_b: {like: cam_a}\n", KIT)
    assert setup.devices["cam_b"].kind.value == "camera"
    assert list(setup.devices["cam_b"].ports) == ["tc_in", "sdi_out"]


def test_abilities_are_taken_over_too() -> None:
    assert device("  bag: {able: {class: phone}}\n  cam_a: {like: bag}\n").cls.value == "phone"


def test_a_range_may_be_like_a_device() -> None:
    setup = rig("  cam_a: {timecode: {rate: 25}}\n  cam_1..cam_2: {like: cam_a}\n")
    assert setup.devices["cam_2"].timecode.rate.text == "25"


def test_a_device_like_one_of_a_range() -> None:
    assert device("  cam_1..cam_3: {timecode: {rate: 25}}\n  cam_a: {like: cam_2}\n").timecode.rate.text == "25"


def test_a_circle_of_like_is_told_once() -> None:
    finding = told_at_mark("devices:\n  cam_a: {like: cam_b}\n  cam_b: {like: cam_c}\n  cam_c: {like: «cam_a»}\n")
    assert finding.record is CIRCULAR_INHERITANCE
    assert finding.sentence == "cam_a takes over from itself: cam_a to cam_b to cam_c to cam_a"


def test_a_device_like_itself() -> None:
    assert told_at_mark("devices:\n  cam_a: {like: «cam_a»}\n").record is CIRCULAR_INHERITANCE


def test_a_way_into_a_circle_is_not_told_again() -> None:
    body = (
        "devices:\n  cam_d: {like: cam_a}\n  cam_a: {like: cam_b}\n  cam_b: {like: «cam_a»}\n  cam_e: {like: cam_b}\n"
    )
    assert told_at_mark(body).record is CIRCULAR_INHERITANCE


def test_two_circles_are_two_findings() -> None:
    body = "devices:\n  a: {like: b}\n  b: {like: a}\n  c: {like: d}\n  d: {like: c}\n"
    assert [problem.record for problem in built(body).problems] == [CIRCULAR_INHERITANCE] * 2


def test_a_long_chain_of_like_is_no_matter_of_depth() -> None:
    body = "  cam_a: {like: c0}\n" + "".join(f"  c{n}: {{like: c{n + 1}}}\n" for n in range(3000))
    assert device(body + "  c3000: {timecode: {rate: 25}}\n").timecode.rate.text == "25"


def test_a_long_circle_of_like_is_one_finding_of_readable_length() -> None:
    finding = only("devices:\n" + "".join(f"  c{n}: {{like: c{(n + 1) % 3000}}}\n" for n in range(3000)))
    assert len(finding.sentence) < 300


# --- kit types -------------------------------------------------------------------------------------------------


def test_a_type_gives_abilities() -> None:
    cam = device("  cam_a: {type: camera}\n", KIT)
    assert cam.cls.value == "cinema camera"
    assert cam.timecode.able_modes.value == ("jam", "continuous")
    assert cam.sound is not None
    assert (cam.sound.bit_depth.value, cam.sound.container.value) == (24, "RF64")
    assert cam.clock.accuracy.place.span.file == "0.kit.yaml"


def test_mappings_merge_and_lists_replace() -> None:
    small = device("  cam_a: {type: small_camera}\n", KIT)
    assert list(small.ports) == ["tc_in", "sdi_out", "usb"]
    assert [rate.name for rate in small.timecode.able_rates.value or ()] == ["25"]
    assert small.timecode.able_modes.value == ("jam", "continuous")
    assert small.cls.value == "small camera"


def test_a_chain_of_based_on() -> None:
    tiny = device("  cam_a: {type: tiny_camera}\n", KIT)
    assert (tiny.clock.accuracy.value, tiny.clock.varying.value) == (F(30), F(1))
    assert "usb" in tiny.ports


def test_able_overrides_the_type() -> None:
    cam = device("  cam_a: {type: camera, able: {clock: {accuracy: 0.5 ppm}, timecode: {modes: []}}}\n", KIT)
    assert cam.clock.accuracy.value == F("0.5")
    assert cam.clock.varying.value == 1
    assert cam.timecode.able_modes.value == ()
    assert cam.timecode.able_modes.stated  # an empty list says something


def test_settings_override_abilities() -> None:
    cam = device("  cam_a: {type: camera, records: {sound: {bit_depth: 32}}}\n", KIT)
    assert cam.sound is not None
    assert (cam.sound.bit_depth.value, cam.sound.container.value) == (32, "RF64")


def test_sound_none_takes_the_sound_of_the_type_away() -> None:
    assert device("  cam_a: {type: camera, records: {sound: none}}\n", KIT).sound is None


def test_a_circle_of_based_on_is_told_once() -> None:
    kit = "types:\n  a: {based_on: b}\n  b: {based_on: «a»}\n  c: {based_on: b}\n"
    assert told_at_mark("devices:\n  cam_a: {type: a}\n", kit).record is CIRCULAR_INHERITANCE


def test_a_long_chain_of_based_on_is_no_matter_of_depth() -> None:
    kit = "types:\n" + "".join(f"  t{n}: {{based_on: t{n + 1}}}\n" for n in range(2000)) + "  t2000: {class: phone}\n"
    assert device("  cam_a: {type: t0}\n", kit).cls.value == "phone"


def test_one_type_in_two_kits_is_told_once_and_the_first_is_taken() -> None:
    first, second = "types:\n  camera: {class: phone}\n", "types:\n  camera: {class: computer}\n"
    made = built("devices:\n  cam_a: {type: camera}\n", first, second)
    assert [problem.record for problem in made.problems] == [CLASHING_NAMES]
    assert made.problems[0].at.span.file == "1.kit.yaml"
    assert made.problems[0].also[0].place.span.file == "0.kit.yaml"
    assert made.setup.devices["cam_a"].cls.value == "phone"


def test_one_serial_twice_is_told_once() -> None:
    kit = "types:\n  box: {class: phone}\nitems:\n  - {serial: K1, type: box}\n  - «{serial: K1, type: box}»\n"
    finding = told_at_mark("devices:\n  cam_a: {item: K1}\n", kit)
    assert finding.record is CLASHING_NAMES
    assert "K1" in finding.sentence


# --- numbered pieces -------------------------------------------------------------------------------------------


def test_a_piece_brings_its_type_and_its_measured_clock() -> None:
    cam = device("  cam_a: {item: K1}\n", KIT)
    assert cam.kind.value == "camera"
    # measured at -0.31 ppm, known within 0.05: at worst 0.36 out
    assert cam.clock.accuracy.value == F("0.36")
    assert cam.clock.accuracy.stated
    assert str(cam.clock.accuracy.place) == "items/0/runs/rate"


def test_a_piece_that_was_not_measured_is_as_good_as_its_type() -> None:
    assert device("  cam_a: {item: K2}\n", KIT).clock.accuracy.value == 2


def test_what_the_setup_states_goes_before_what_was_measured() -> None:
    cam = device("  cam_a: {item: K1, able: {clock: {accuracy: 5 ppm}}}\n", KIT)
    assert cam.clock.accuracy.value == 5


def test_a_rate_measured_without_how_well() -> None:
    kit = "types:\n  box: {class: phone}\nitems:\n  - {serial: K1, type: box, runs: {rate: +0.31 ppm}}\n"
    assert device("  cam_a: {item: K1}\n", kit).clock.accuracy.value == F("0.31")


def test_a_serial_number_is_text() -> None:
    kit = "types:\n  box: {class: phone}\nitems:\n  - {serial: 012, type: box}\n"
    assert device("  cam_a: {item: 012}\n", kit).kind.value == "box"


# --- known, assumed, unknown -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cls", "ppm"),
    [("tuned generator", "0.2"), ("bag recorder", "1"), ("cinema camera", "5"), ("phone", "30"), ("computer", "50")],
)
def test_the_accuracy_that_is_assumed_of_a_class(cls: str, ppm: str) -> None:
    accuracy = device(f"  cam_a: {{able: {{class: {cls}}}}}\n").clock.accuracy
    assert (accuracy.value, accuracy.standing) == (F(ppm), Standing.ASSUMED)
    assert accuracy.why.startswith(f"class {cls}: ")
    assert not accuracy.written


@pytest.mark.parametrize("cls", [name for name, row in BY_CLASS.items() if row.accuracy is None])
def test_classes_of_which_nothing_is_assumed(cls: str) -> None:
    assert device(f"  cam_a: {{able: {{class: {cls}}}}}\n").clock.accuracy.standing is Standing.UNKNOWN


def test_no_class_no_assumption() -> None:
    assert device("  cam_a: {}\n").clock.accuracy.standing is Standing.UNKNOWN
    assert device("  cam_a: {able: {class: something new}}\n").clock.accuracy.standing is Standing.UNKNOWN


def test_what_is_stated_is_not_assumed() -> None:
    accuracy = device("  cam_a: {able: {class: phone, clock: {accuracy: 2 ppm}}}\n").clock.accuracy
    assert (accuracy.value, accuracy.standing) == (F(2), Standing.STATED)


def test_what_cannot_be_read_is_told_and_not_assumed_over() -> None:
    made = built("devices:\n  cam_a: {able: {class: phone, clock: {accuracy: 2}}}\n")
    accuracy = made.setup.devices["cam_a"].clock.accuracy
    assert (accuracy.value, accuracy.standing, accuracy.text) == (None, Standing.UNKNOWN, "2")
    assert len(made.problems) == 1


def test_a_value_that_a_whole_range_shares_is_told_once() -> None:
    told_at_mark("devices:\n  cam_1..cam_9: {able: {clock: {accuracy: «2»}}}\n")


def test_a_value_that_is_taken_over_is_told_once() -> None:
    told_at_mark("devices:\n  cam_a: {longest_take: «45»}\n  cam_b: {like: cam_a}\n  cam_c: {like: cam_b}\n")


def test_a_device_paces_itself_unless_told_otherwise() -> None:
    assumed = device("  cam_a: {}\n").clock.source
    assert (assumed.value, assumed.standing) == ("own clock", Standing.ASSUMED)
    assert device("  cam_a: {clock: {from: own clock}}\n").clock.source.standing is Standing.STATED


def test_a_through_thing_has_no_clock_to_assume() -> None:
    through = device("  cam_a: {passes: {in: [out]}}\n")
    assert through.through
    assert through.clock.source.standing is Standing.UNKNOWN


def test_files_play_at_the_rate_of_the_project() -> None:
    picture = device("  cam_a: {records: {picture: {shot_at: 50}}}\n").picture
    assert picture is not None
    assert picture.played_at.value is not None
    assert (picture.played_at.value.name, picture.played_at.standing) == ("25", Standing.ASSUMED)


def test_the_tolerance_is_one_frame_unless_stated() -> None:
    tolerance = sound("devices: {}\n").setup.project.tolerance
    assert tolerance.assumed
    assert tolerance.value is not None
    assert tolerance.value.frames == 1


def test_an_absent_fact_stands_where_its_parent_does() -> None:
    cam = device("  cam_a: {timecode: {from: own clock}}\n")
    assert str(cam.timecode.rate.place) == "devices/cam_a/timecode"
    assert str(device("  cam_a: {}\n").timecode.rate.place) == "devices/cam_a"

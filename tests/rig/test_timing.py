"""What sockets, screens and trackers do to timing, as read from a setup."""

from fractions import Fraction as Fr

from synclint.rig.model import Port
from tests.rig.building import built, sound


def test_what_a_port_does_to_timing() -> None:
    port = only_port(
        "able: {ports: {ref_in: {loop_through: active, ten_field_mark: switchable, timed_within: 1 us, "
        "frame_synchroniser: true, paces_pictures: false, sample_rate_converter: never}}}, "
        "ports: {ref_in: {ten_field_mark: switched on}}"
    )
    timing = port.timing
    assert timing.loop_through.value == "active"
    assert timing.ten_field_mark.value == "switched on"
    assert timing.able_ten_field_mark.value == "switchable"
    assert timing.sample_rate_converter.value == "switched off"
    assert timing.timed_within.value == Fr(1, 10**6)
    assert timing.frame_synchroniser.value is True
    assert timing.paces_pictures.value is False


def test_what_can_be_set_and_is_not_is_unknown() -> None:
    timing = only_port("able: {ports: {ref_in: {ten_field_mark: switchable}}}").timing
    assert not timing.ten_field_mark.written


def only_port(device: str) -> Port:
    return sound(f"devices: {{cam_a: {{{device}}}}}\n").setup.devices["cam_a"].ports["ref_in"]


def test_where_a_setting_of_a_port_would_be_written() -> None:
    text = """devices:
  cam_a: {able: {ports: {ref_in: {in: [tri-level]}}}, ports: {ref_in: {termination: switched on}}}
  cam_b: {like: cam_a}
  cam_c: {like: cam_a, ports: {ref_in: {note: mine}}}
  cam_d: {able: {ports: {ref_in: {in: [tri-level]}, out: {}}}, ports: {out: {note: other}}}
"""
    devices = sound(text).setup.devices
    where = {key: device.ports["ref_in"].electrics.set_at for key, device in devices.items()}
    assert {key: (str(place), below) for key, (place, below) in where.items()} == {
        "cam_a": ("devices/cam_a/ports/ref_in", ()),
        # what is taken over stands at the other device, and is not to be changed there
        "cam_b": ("devices/cam_b", ("ports", "ref_in")),
        "cam_c": ("devices/cam_c/ports/ref_in", ()),
        "cam_d": ("devices/cam_d/ports", ("ref_in",)),
    }


def test_a_screen_and_a_tracker() -> None:
    text = """devices:
  cam_1..cam_2: {}
  wall: {screen: {filmed_by: [cam_1..cam_2], changes_at: 5 ms}}
  eye: {tracking: {of: cam_1, rate: 100, delay: 2 frames, corrected_in: post}}
"""
    devices = sound(text).setup.devices
    assert devices["wall"].screen.filmed_by.value == ("cam_1", "cam_2")
    assert devices["wall"].screen.changes_at.value == Fr(1, 200)
    assert devices["wall"].tracking is None
    tracking = devices["eye"].tracking
    assert tracking is not None
    assert tracking.of.value == ("cam_1",)
    assert tracking.corrected_in.value == "post"


def test_a_camera_that_does_not_exist_is_told() -> None:
    text = """devices:
  cam_a: {}
  wall: {screen: {filmed_by: [cam_b]}}
  eye: {tracking: {of: [cam_1..cam_2]}}
"""
    told = [finding.sentence for finding in built(text).problems]
    assert told == [
        "cam_b is not a device (did you mean cam_a?)",
        "cam_1 is not a device (did you mean cam_a?)",
    ]


def test_a_range_that_cannot_be_read_is_told() -> None:
    text = "devices: {cam_a: {}, wall: {screen: {filmed_by: [cam_3..cam_1]}}}\n"
    assert len(built(text).problems) == 1

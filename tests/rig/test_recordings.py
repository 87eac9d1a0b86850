"""What post has to know of a device's recordings, as it is read from settings and abilities."""

from fractions import Fraction as F

from synclint.rig.model import Setup
from synclint.rig.recordings import Handover
from tests.rig.building import sound


def rig(devices: str, *kits: str, above: str = "") -> Setup:
    return sound(f"{above}devices:\n{devices}", *kits).setup


def handover(devices: str, *kits: str, key: str = "cam") -> Handover:
    return rig(devices, *kits).devices[key].handover


KIT = """\
types:
  phone:
    records: {sound: none, picture: {shot_at: variable, rates: [25, 50]}, timecode_on: [file]}
    timecode: {labels_to: second}
    ports: {air: {in: [data timecode], sleeps_after: 5 min}}
"""


def test_what_is_recorded_and_what_post_does_with_it() -> None:
    side = handover(
        "  cam:\n    sync_by: [timecode, slate]\n    records:\n"
        "      reel: A\n      used_for: [finish]\n      timecode_on: [file]\n"
        "      proxy: {reel: P, used_for: [edit], timecode_on: none}\n"
        "      pre_record: {length: 10 s, labelled_at: button}\n"
        "      sound: {sample_rate: 48 kHz, mic_distance: 40 m}\n"
    )
    assert (side.own.reel.value, side.own.used_for.value, side.own.timecode_on.value) == ("A", ("finish",), ("file",))
    assert side.proxy is not None
    assert (side.proxy.reel.value, side.proxy.timecode_on.value) == ("P", ("none",))
    assert side.sync_by.value == ("timecode", "slate")
    assert (side.pre_record.value, side.pre_record_labelled_at.value) == (F(10), "button")
    assert (side.mic_distance.value, side.silent.value) == (F(40), False)
    assert str(side.pre_record_place) == "devices/cam/records/pre_record"


def test_what_nobody_says_is_unknown_and_stands_at_the_device() -> None:
    side = handover("  cam: {class: phone}\n")
    assert side.proxy is None
    facts = (side.sync_by, side.own.reel, side.own.used_for, side.silent, side.pre_record, side.labels_to)
    assert [fact.value for fact in facts] == [None] * len(facts)
    assert {str(fact.place) for fact in facts} == {"devices/cam"}
    assert side.never_constant.value is False


def test_a_type_says_what_it_is_able_to() -> None:
    side = handover("  cam: {type: phone}\n", KIT)
    assert side.silent.value is True
    assert side.never_constant.value is True
    assert side.able_timecode_on.value == ("file",)
    assert side.labels_to.value == "second"
    assert [rate.name for rate in side.able_rates.value or ()] == ["25", "50"]
    loud = handover("  cam: {type: phone, records: {sound: {sample_rate: 48 kHz}}}\n", KIT)
    assert loud.silent.value is False  # what is set goes before what it is able to


def test_a_data_link_sleeps_as_it_is_set_or_as_its_type_does() -> None:
    def port(settings: str) -> F | None:
        return rig(f"  cam: {{type: phone{settings}}}\n", KIT).devices["cam"].ports["air"].sleeps_after.value

    assert port("") == 300
    assert port(", ports: {air: {sleeps_after: never}}") == 0
    assert port(", ports: {air: {sleeps_after: 90 s}}") == 90


def test_a_device_that_is_like_another_takes_its_recordings_over() -> None:
    devices = "  cam: {records: {reel: A}, sync_by: [slate]}\n  cam_b: {like: cam}\n"
    side = handover(devices, key="cam_b")
    assert (side.own.reel.value, side.sync_by.value) == ("A", ("slate",))
    assert str(side.own.reel.place) == "devices/cam/records/reel"
    assert str(side.place) == "devices/cam_b"


def test_what_the_project_and_the_day_say() -> None:
    above = "days: [{date: 2026-06-14, clips: 60}]\n"
    assert rig("  cam: {}\n", above=above).days[0].clips.value == 60
    assert rig("  cam: {}\n", above="days: [{date: 2026-06-14}]\n").days[0].clips.value is None

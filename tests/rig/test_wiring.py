"""Links, radio groups and networks, written out hop by hop."""

import pytest

from synclint.documents.records import WRONG_VALUE
from synclint.findings import Standing
from synclint.rig.model import Link
from synclint.rig.wiring import port_names
from tests.rig.building import built, sound, told_at_mark

DEVICES = """\
devices:
  bag: {}
  dist: {passes: {in: [out_1..out_4]}}
  box_1..box_3: {}
  cam_1..cam_3: {}
  cam_4: {}
"""


def links(body: str) -> tuple[Link, ...]:
    return sound(DEVICES + body).setup.links


def hops(body: str) -> list[str]:
    return [f"{link.source} {link.target}" for link in links(body)]


@pytest.mark.parametrize(
    ("ends", "written_out"),
    [
        ("{from: bag.out, to: cam_1.in}", ["bag.out cam_1.in"]),
        ("{from: bag.out, to: [cam_1.in, cam_4.in]}", ["bag.out cam_1.in", "bag.out cam_4.in"]),
        ("{from: bag.out, to: cam_1..cam_3.in}", ["bag.out cam_1.in", "bag.out cam_2.in", "bag.out cam_3.in"]),
        (
            "{from: bag.out, to: [cam_1..cam_2.in, cam_4.in]}",
            ["bag.out cam_1.in", "bag.out cam_2.in", "bag.out cam_4.in"],
        ),
        (
            "{from: box_1..box_3.out, to: cam_1..cam_3.in}",
            ["box_1.out cam_1.in", "box_2.out cam_2.in", "box_3.out cam_3.in"],
        ),
        ("{from: dist.out_1..out_2, to: [cam_3.in, cam_1.in]}", ["dist.out_1 cam_3.in", "dist.out_2 cam_1.in"]),
        (
            "{from: dist.out_1..out_3, to: cam_2..cam_4.in}",
            ["dist.out_1 cam_2.in", "dist.out_2 cam_3.in", "dist.out_3 cam_4.in"],
        ),
        ("{from: [box_1.out, box_2.out], to: cam_1..cam_2.in}", ["box_1.out cam_1.in", "box_2.out cam_2.in"]),
        ("{from: box_1..box_1.out, to: cam_1..cam_2.in}", ["box_1.out cam_1.in", "box_1.out cam_2.in"]),
    ],
)
def test_ranges_go_pairwise_and_one_output_goes_to_all(ends: str, written_out: list[str]) -> None:
    assert hops(f"links:\n  - {ends}\n") == written_out


@pytest.mark.parametrize(
    "ends",
    [
        "{from: box_1..box_3.out, to: cam_1..cam_2.in}",
        "{from: box_1..box_2.out, to: cam_1..cam_3.in}",
        "{from: box_1..box_3.out, to: cam_1.in}",
        "{from: [box_1.out, box_2.out], to: [cam_1.in, cam_2.in, cam_3.in]}",
    ],
)
def test_unequal_lengths_are_told_once_and_hold_the_rules_back(ends: str) -> None:
    finding = told_at_mark(f"{DEVICES}links:\n  - «{ends}»\n")
    assert finding.record is WRONG_VALUE
    assert "cannot be paired" in finding.sentence
    assert not built(f"{DEVICES}links:\n  - {ends}\n").names_resolve


@pytest.mark.parametrize("end", ["bag", "bag.", "cam_3..cam_1.in", "cam_1..cam_2.out_1..out_2", "Bag.out"])
def test_an_end_that_cannot_be_read_is_told_once(end: str) -> None:
    assert told_at_mark(f"{DEVICES}links:\n  - {{from: «{end}», to: cam_1.in}}\n").record is WRONG_VALUE


def test_what_a_link_says_of_itself() -> None:
    (link,) = links("links:\n  - {from: bag.out, to: cam_1.in, carries: LTC, connected: to jam, format: 625/50}\n")
    assert (link.carries.value, link.connected.value, link.format.value, link.by) == ("LTC", "to jam", "625/50", "lead")
    assert link.carries_label
    assert str(link.place) == "links/0"


def test_half_a_link_is_no_link() -> None:
    assert hops("links:\n  - {from: bag.out}\n  - {to: cam_1.in}\n  - {}\n") == []


def test_a_radio_group_reaches_every_receiver_all_day() -> None:
    made = links(
        "radio_groups:\n  main: {sends: bag.radio, receives: [box_1.radio, cam_1..cam_2.radio], carries: timecode}\n"
    )
    assert [str(link.target) for link in made] == ["box_1.radio", "cam_1.radio", "cam_2.radio"]
    assert {(link.by, link.carries.value, link.connected.value) for link in made} == {("radio", "timecode", "all day")}
    assert {link.format.standing for link in made} == {Standing.UNKNOWN}
    assert str(made[0].place) == "radio_groups/main"


def test_a_radio_that_sets_the_clock_brings_a_pace_too() -> None:
    made = links(
        "radio_groups:\n  main: {sends: bag.radio, receives: [box_1.radio], carries: timecode, resync: {sets: clock}}\n"
    )
    assert [link.carries.value for link in made] == ["timecode", "clock"]


def test_a_network_reaches_members_and_other_leaders() -> None:
    made = hops("networks:\n  media: {carries: PTP, leaders: [bag.net, cam_4.net], members: [box_1..box_2.net]}\n")
    assert made == [
        "bag.net box_1.net",
        "bag.net box_2.net",
        "cam_4.net box_1.net",
        "cam_4.net box_2.net",
        "bag.net cam_4.net",
        "cam_4.net bag.net",
    ]


def test_a_leader_among_the_members_makes_no_second_link() -> None:
    made = hops("networks:\n  media: {carries: PTP, leaders: [bag.net], members: [bag.net, box_1.net]}\n")
    assert made == ["bag.net box_1.net"]


def test_links_that_come_to_more_than_any_shoot_are_refused() -> None:
    body = "devices:\n  a_1..a_2000: {}\nnetworks:\n  media: {leaders: [a_1..a_2000.net], members: [a_1..a_2000.net]}\n"
    made = built(body)
    assert [problem.record for problem in made.problems] == [WRONG_VALUE]
    assert not made.names_resolve


def test_all_sockets_of_a_device() -> None:
    able = "able: {ports: {ref_in: {loop: ref_loop}, tc_in: {}}}"
    device = sound(f"devices:\n  a: {{{able}, passes: {{in: [out_1..out_2], ref_in: [x]}}}}\n").setup.devices["a"]
    assert list(port_names(device)) == ["ref_in", "tc_in", "ref_loop", "in", "out_1", "out_2", "x"]


def test_events_write_all_and_ranges_out_each_device_once() -> None:
    events = "{do: jam, of: all}, {do: roll, of: [cam_1..cam_3, cam_2, bag]}, {do: break}"
    days = f"days: [{{events: [{events}]}}]\n"
    first, second, third = sound(days + DEVICES).setup.days[0].events
    assert first.of_all
    assert first.of == ("bag", "dist", "box_1", "box_2", "box_3", "cam_1", "cam_2", "cam_3", "cam_4")
    assert second.of == ("cam_1", "cam_2", "cam_3", "bag")
    assert not second.of_all
    assert third.of == ()


def test_many_events_of_all_share_one_list() -> None:
    days = "days:\n  - events:\n" + "      - {do: jam, of: all}\n" * 500
    events = sound(days + "devices:\n  a_1..a_9000: {}\n").setup.days[0].events
    assert len({id(event.of) for event in events}) == 1


def test_a_range_of_an_event_that_cannot_be_read_is_told_once() -> None:
    body = f"days:\n  - events: [{{do: jam, of: [«cam_3..cam_1»]}}]\n{DEVICES}"
    assert told_at_mark(body).record is WRONG_VALUE


def test_a_day_that_wraps_before_its_call() -> None:
    finding = told_at_mark("days: [{call: 18:00, wrap: «02:00»}]\ndevices: {}\n")
    assert finding.sentence.endswith("past midnight, write 02:00 +1")


@pytest.mark.parametrize(("wiring", "text"), [("switchable", "switchable"), ("[pin 1]", "[]")])
def test_contacts_that_cannot_be_read_are_written_all_the_same(wiring: str, text: str) -> None:
    made = built(f"{DEVICES}links:\n  - {{from: bag.out, to: cam_1.in, carries: LTC, wiring: {wiring}}}\n")
    lead = made.setup.links[0].lead
    assert lead is not None
    assert (lead.wiring.value, lead.wiring.text, lead.wiring.written) == (None, text, True)
    assert lead.wiring.place.path == ("links", 0, "wiring")

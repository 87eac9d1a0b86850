"""Lost links; hold-over is tolerance over the sum of both clocks' errors (exact arithmetic)."""

from __future__ import annotations

import pytest

from synclint.findings import Level
from synclint.rules.drift import jam_holds_too_short
from synclint.rules.holdover import no_link_for_too_long
from tests.rules.days import BAG, camera, roll, told
from tests.rules.running import Came, came_of

MASTER = BAG.replace("tc_out: {out: [LTC]}", "tc_out: {out: [LTC]}, radio: {out: [timecode]}")
AIR = "radio_groups:\n  main: {sends: bag.radio, receives: [RECEIVES], carries: timecode}\n"


def wireless(key: str, ppm: str = "2") -> str:
    return (
        camera(key, ppm, mode="continuous")
        .replace("usb: {in: [data timecode]}", "radio: {in: [timecode]}")
        .replace("from: tc_in", "from: radio")
    )


def text(
    *events: str, devices: list[str] | None = None, receives: str = "cam_a.radio", more: str = "", **said: str
) -> str:
    setup = told(devices or [MASTER, wireless("cam_a")], "", *events, **said).replace("links:\n\n", "")
    return setup + AIR.replace("RECEIVES", receives) + more


def lost(*events: str, **said: object) -> Came:
    return came_of(no_link_for_too_long, text(*events, **said))  # type: ignore[arg-type]


def gone(until: str, key: str = "cam_a", at: str = "08:00") -> str:
    return f"at: {at}, do: link lost, of: [{key}]{f', until: {until}' if until else ''}"


def test_a_camera_is_out_of_range_for_longer_than_it_holds() -> None:
    came = lost(gone("16:00"), roll("15:00", "15:10", "bag", "cam_a"))
    assert came.one.level is Level.ERROR
    # 2.2 ppm use up 40 ms in 18,181.8 s: 5 h 3 min; at 15:10, after 25,800 s, it is 56.76 ms.
    assert came.one.sentence == (
        "the link to cam_a is lost at 08:00 for 8 h, and it keeps the time by its own clock for 5 h 3 min only"
    )
    assert came.amounts["apart at worst"] == pytest.approx(56.76)
    assert came.amounts["keeps the time for"] == pytest.approx(18181.82 / 3600, abs=1e-4)
    # By a lead it is off by 0.1 ms of the jam, and 39.9 ms last 18,136 s, 5 h 2 min 16 s: to 15:10 from 10:07:44 on.
    assert came.one.fix_sentence == (
        "Bring cam_a back into range before the roll at 15:00, or jam it from bag by a lead between 10:07:44 and that "
        "roll"
    )
    assert str(came.one.at) == "days/0/events/0"
    assert came_of(jam_holds_too_short, text(gone("16:00"), roll("15:00", "15:10", "bag", "cam_a"))).silent


@pytest.mark.parametrize(("at", "silent"), [("10:07:44", True), ("14:55", True), ("10:07:43", False), ("09:00", False)])
def test_a_jam_in_the_window_that_is_told_holds(at: str, silent: bool) -> None:
    told = text(gone("16:00"), f"at: {at}, do: jam, of: [cam_a], from: bag", roll("15:00", "15:10", "bag", "cam_a"))
    assert came_of(no_link_for_too_long, told).silent
    assert came_of(jam_holds_too_short, told).silent is silent


def test_one_jam_need_not_hold_for_two_takes() -> None:
    came = lost(gone(""), roll("13:30", "13:40", "bag", "cam_a"), roll("18:50", "19:00", "bag", "cam_a"))
    # To 13:40 it holds from 08:37:44 on; for 19:00 it would have to be done at 13:57:44, after the first take.
    assert came.one.fix_sentence == (
        "Bring cam_a back into range before the roll at 13:30, or jam it from bag by a lead between 08:37:44 and that "
        "roll, and again before each later roll while the link is gone"
    )
    both = lost(gone(""), roll("13:30", "13:40", "bag", "cam_a"), roll("18:10", "18:20", "bag", "cam_a"))
    # 18:20 less 5 h 2 min 16 s.
    assert "between 13:17:44 and that roll" in both.one.fix_sentence
    assert "again" not in both.one.fix_sentence


def test_where_no_take_is_told_it_is_jammed_again_and_again() -> None:
    # 40 ms last 18,181.8 s by the link, to 13:03:01; to the wrap at 19:00 are another 5 h 57 min.
    assert lost(gone("")).one.fix_sentence == (
        "Bring cam_a back into range by 13:03:01, or jam it from bag by a lead by then, and again at least every "
        "5 h 2 min while the link is gone"
    )


def test_without_a_socket_for_it_there_is_no_lead() -> None:
    deaf = [MASTER, wireless("cam_a").replace("tc_in: {in: [LTC]}, ", "")]
    came = lost(gone("16:00"), roll("15:00", "15:10", "bag", "cam_a"), devices=deaf)
    assert came.one.fix_sentence == "Bring cam_a back into range before the roll at 15:00"


def test_a_link_that_is_lost_in_a_take_is_to_be_kept() -> None:
    came = lost(gone("16:00"), roll("07:50", "15:10", "bag", "cam_a"))
    assert came.one.fix_sentence == "Keep cam_a in range through the roll at 07:50"


@pytest.mark.parametrize(
    ("ppm", "hours"),
    # Half a frame at 24, 1/48 s, by the one clock alone: 11.57, 5.79, 2.31 and 0.579 h (the table of the trade).
    [("0.5", 11.574), ("1", 5.787), ("2.5", 2.315), ("10", 0.5787)],
)
def test_the_hold_over_of_the_trade(ppm: str, hours: float) -> None:
    devices = [MASTER.replace("0.2 ppm", "0 ppm"), wireless("cam_a", ppm)]
    came = lost(gone("", at="06:40"), devices=devices, rate="24", tolerance="1/2 frame")
    assert came.amounts["keeps the time for"] == pytest.approx(hours, abs=1e-3)


def test_what_follows_it_goes_with_it() -> None:
    box = (
        "  box_a: {able: {ports: {radio: {in: [timecode]}, jack: {out: [LTC]}}, clock: {accuracy: 2 ppm}}, "
        "timecode: {from: radio, mode: continuous, rate: 25}}"
    )
    devices = [MASTER, box, camera("cam_a", mode="continuous")]
    links = "links:\n  - {from: box_a.jack, to: cam_a.tc_in, carries: LTC, connected: all day}\n"
    came = lost(
        gone("", "box_a"), roll("15:00", "15:10", "bag", "cam_a"), devices=devices, receives="box_a.radio", more=links
    )
    assert came.one.who == ("box_a",)
    assert "only, and cam_a with it" in came.one.sentence
    assert came.one.cost_sentence.startswith("by the end of the roll at 15:10 cam_a may be 56.8 ms")


def test_a_receiver_without_a_generator_stops_at_once() -> None:
    receiver = "  rx: {passes: {radio: [out]}, able: {ports: {radio: {in: [timecode]}, out: {out: [LTC]}}}}"
    mic = (
        "  cam_a: {able: {ports: {mic: {in: [sound, LTC]}}, clock: {accuracy: 5 ppm}}, records: {picture: "
        "{shot_at: 25, played_at: 25}, sound: {sample_rate: 48 kHz, tracks: {left: LTC}}, timecode_on: [left]}}"
    )
    links = "links:\n  - {from: rx.out, to: cam_a.mic, carries: LTC, connected: all day}\n"
    take = roll("08:05", "08:25", "bag", "cam_a")
    came = lost(gone("08:20", "rx"), take, devices=[MASTER, receiver, mic], receives="rx.radio", more=links)
    assert came.one.level is Level.ERROR
    assert came.one.sentence == (
        "the link to cam_a is lost at 08:00, and it has no clock to go on with: the timecode stops"
    )
    assert came.amounts == {"without timecode": 15}  # from 08:05 to 08:20


@pytest.mark.parametrize(
    "events",
    [
        (gone("12:00"), roll("11:00", "11:10", "bag", "cam_a")),  # 2.2 ppm × 11,400 s: 25.1 ms
        (gone("14:00"), roll("15:00", "15:10", "bag", "cam_a")),  # it is back by then
        (gone("16:00"), roll("15:00", "15:10", "cam_a")),  # nobody beside it
        (
            gone("16:00"),
            f"{roll('15:00', '15:10', 'bag', 'cam_a')}, sync_sound: false",
            roll("09:00", "09:10", "bag", "cam_a"),
        ),
    ],
)
def test_a_link_that_is_lost_for_a_while(events: tuple[str, ...]) -> None:
    assert lost(*events).silent


def test_an_assumed_clock_makes_it_a_warning() -> None:
    by_class = wireless("cam_a").replace(", clock: {accuracy: 2 ppm, varying: 0 ppm}", ", class: cinema camera")
    devices = [MASTER, by_class]
    assert lost(gone(""), roll("15:00", "15:10", "bag", "cam_a"), devices=devices).one.level is Level.WARNING

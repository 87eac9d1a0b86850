"""Names that are declared nowhere: each told once, where it stands, with the nearest that is."""

import subprocess
import sys

import pytest

from synclint.documents.records import UNKNOWN_NAME
from synclint.findings import RenameKey, SetValue
from tests.rig.building import HEAD, built, document, sound, told_at_mark

KIT = """\
types:
  camera: {class: cinema camera, ports: {tc_in: {in: [LTC]}, sdi_out: {out: [SDI timecode]}}}
  recorder: {class: field recorder, ports: {tc_out: {out: [LTC]}, tc_in: {in: [LTC]}}}
items:
  - {serial: K07-014, type: camera}
"""

DEVICES = """\
devices:
  bag: {type: recorder}
  camera_a: {type: camera}
  camera_b: {type: camera}
"""


@pytest.mark.parametrize(
    ("body", "near"),
    [
        pytest.param("devices:\n  cam: {type: «camra»}\n", "camera", id="type"),
        pytest.param("devices:\n  cam_1..cam_9: {type: «camra»}\n", "camera", id="type of a range"),
        pytest.param("devices:\n  cam_a: {type: «camra»}\n  cam_b: {like: cam_a}\n", "camera", id="type taken over"),
        pytest.param("devices:\n  cam: {item: «K07-041»}\n", "K07-014", id="numbered piece"),
        pytest.param("devices:\n  cam_1..cam_3: {item: «K07-041»}\n", "K07-014", id="numbered piece of a range"),
        pytest.param("devices:\n  cam_a: {}\n  cam_b: {like: «cam_aa»}\n", "cam_a", id="like"),
        pytest.param("devices:\n  cam_a: {}\n  cam_1..cam_3: {like: «cam_aa»}\n", "cam_a", id="like of a range"),
        pytest.param("devices:\n  cam: {type: camera, timecode: {from: «tc_inn»}}\n", "tc_in", id="own port"),
        pytest.param("devices:\n  cam: {type: camera, timecode: {from: «own clok»}}\n", "own clock", id="own clock"),
        pytest.param("devices:\n  cam: {type: camera, clock: {from: «sdi_uot»}}\n", "sdi_out", id="pace of a port"),
        pytest.param(
            "devices:\n  cam_1..cam_3: {type: camera, timecode: {from: «tc_inn»}}\n", "tc_in", id="own port of a range"
        ),
        pytest.param(
            "devices:\n  cam_a: {type: camera, timecode: {from: «tc_inn»}}\n  cam_b: {like: cam_a}\n",
            "tc_in",
            id="own port taken over",
        ),
        pytest.param(
            "devices:\n  cam_a: {type: camera, ports: {«tc_inn»: {termination: on}}}\n  cam_b: {like: cam_a}\n",
            "tc_in",
            id="settings of a port",
        ),
        pytest.param(
            "devices:\n  cam_b: {like: cam_a, ports: {tc_in: {gain: fixed}}}\n"
            "  cam_a: {type: camera, ports: {«tc_inn»: {gain: fixed}}}\n",
            "tc_in",
            id="settings of a port taken over by one above",
        ),
        pytest.param(DEVICES + "links:\n  - {from: «bga.tc_out», to: camera_a.tc_in}\n", "bag", id="device of a link"),
        pytest.param(
            DEVICES + "links:\n  - {from: bag.tc_out, to: «camera_c.tc_in»}\n", "camera_a", id="its other end"
        ),
        pytest.param(
            DEVICES + "links:\n  - {from: bag.tc_out, to: [camera_a.tc_in, «camera_c.tc_in»]}\n",
            "camera_a",
            id="in a list",
        ),
        pytest.param(DEVICES + "links:\n  - {from: «bag.tc_uot», to: camera_a.tc_in}\n", "tc_out", id="port of a link"),
        pytest.param(
            "devices:\n  bag: {type: recorder}\n  cam_1..cam_8: {type: camera}\n"
            "links:\n  - {from: bag.tc_out, to: «cam_1..cam_8.tc_inn»}\n",
            "tc_in",
            id="port of a range",
        ),
        pytest.param(
            "devices:\n  bag: {type: recorder}\n  cam_1..cam_8: {type: camera}\n"
            "links:\n  - {from: bag.tc_out, to: «cam_1..cam_12.tc_in»}\n",
            "cam_1",
            id="range that is too long",
        ),
        pytest.param(
            DEVICES + "links:\n  - {from: [bag.tc_out, bag.tc_out], to: [camera_a.tc_in, «camera_c.tc_in»]}\n",
            "camera_a",
            id="one of a pair",
        ),
        pytest.param(
            DEVICES + "radio_groups:\n  main: {sends: «bga.tc_out», receives: [camera_a.tc_in]}\n", "bag", id="sender"
        ),
        pytest.param(
            DEVICES
            + "radio_groups:\n  main: {sends: bag.tc_out, receives: [«camera_c.tc_in»], resync: {sets: clock}}\n",
            "camera_a",
            id="receiver of a group that sets clocks",
        ),
        pytest.param(
            DEVICES + "networks:\n  media: {leaders: [«bga.tc_out»], members: [camera_a.tc_in]}\n", "bag", id="leader"
        ),
        pytest.param(
            DEVICES + "networks:\n  media: {leaders: [bag.tc_out], members: [«camera_c.tc_in»]}\n",
            "camera_a",
            id="member",
        ),
        pytest.param("project_: 0\ndevices:\n  bag: {unit: «secnd»}\nunits:\n  second: {}\n", "second", id="unit"),
        pytest.param("devices:\n  bag: {unit: «mian»}\nunits:\n  second: {}\n", "main", id="main unit"),
        pytest.param(
            "devices:\n  bag_1..bag_3: {unit: «secnd»}\nunits:\n  second: {}\n", "second", id="unit of a range"
        ),
        pytest.param("devices:\n  bag: {}\nunits:\n  second: {master: «bga»}\n", "bag", id="master of a unit"),
        pytest.param(
            "devices:\n  bag: {}\nunits:\n  second: {cut_with: [main, «thrid»]}\n  third: {}\n", "third", id="cut with"
        ),
        pytest.param("devices:\n  bag: {}\nunits:\n  second: {cut_with: «mian»}\n", "main", id="cut with one"),
        pytest.param(
            "days: [{events: [{do: jam, of: [«bga»]}]}]\ndevices:\n  bag: {}\n", "bag", id="device of an event"
        ),
        pytest.param(
            "days: [{events: [{do: jam, of: «bga»}]}]\ndevices:\n  bag: {}\n", "bag", id="one device of an event"
        ),
        pytest.param(
            "days: [{events: [{do: compare, of: [bag], against: «bga»}]}]\ndevices:\n  bag: {}\n", "bag", id="against"
        ),
        pytest.param(
            "days: [{events: [{do: set clock, of: [bag], from: «wall clok»}]}]\ndevices:\n  bag: {}\n",
            "wall clock",
            id="source of an event",
        ),
        pytest.param(
            "devices:\n  bag: {}\naccepted: [{rule: x, device: «bga», why: y}]\n", "bag", id="accepted device"
        ),
        pytest.param(
            "devices:\n  cam_1..cam_3: {}\naccepted: [{rule: x, device: «cam_1..cam_5», why: y}]\n",
            "cam_1",
            id="accepted range",
        ),
    ],
)
def test_a_name_that_is_declared_nowhere(body: str, near: str) -> None:
    finding = told_at_mark(body, KIT)
    assert finding.record is UNKNOWN_NAME
    assert f"(did you mean {near}?)" in finding.sentence
    assert not built(body.replace("«", "").replace("»", ""), KIT).names_resolve


@pytest.mark.parametrize("key", ["timecode", "clock"])
def test_a_declared_master_that_is_no_device(key: str) -> None:
    text = HEAD.replace("{rate: 25}", f"{{master: {{{key}: bga}}}}") + "devices:\n  bag: {}\n"
    from synclint.rig.build import build

    (problem,) = build(document(text), ()).problems
    assert problem.record is UNKNOWN_NAME
    assert "did you mean bag?" in problem.sentence
    assert str(problem.at) == f"project/master/{key}"


def test_no_master_may_be_meant() -> None:
    text = HEAD.replace("{rate: 25}", "{master: {timecode: none, clock: none}}") + "devices:\n  bag: {}\n"
    from synclint.rig.build import build

    assert build(document(text), ()).problems == ()


@pytest.mark.parametrize(
    ("kit", "near"),
    [
        ("types:\n  box: {class: phone}\nitems:\n  - {serial: K1, type: «bxo»}\n", "box"),
        ("types:\n  box: {class: phone}\n  big_box: {based_on: «bxo»}\n", "box"),
    ],
)
def test_an_unknown_type_within_a_kit(kit: str, near: str) -> None:
    finding = told_at_mark("devices:\n  cam_a: {type: box}\n  cam_b: {type: box}\n", kit)
    assert finding.record is UNKNOWN_NAME
    assert f"did you mean {near}?" in finding.sentence


def test_what_is_far_from_any_name_gets_no_guess() -> None:
    finding = told_at_mark("devices:\n  bag: {type: «xylophone»}\n", KIT)
    assert "did you mean" not in finding.sentence
    assert finding.fix is None


def test_a_type_without_any_kit() -> None:
    finding = told_at_mark("devices:\n  bag: {type: «recorder»}\n")
    assert "no kit is named" in finding.sentence


def test_a_port_is_told_with_those_that_the_device_has() -> None:
    finding = told_at_mark(DEVICES + "links:\n  - {from: «bag.xxxxxx», to: camera_a.tc_in}\n", KIT)
    assert all(word in finding.sentence for word in ("bag", "xxxxxx", "tc_in and tc_out"))


def test_a_name_of_any_length_is_told_shortly() -> None:
    finding = told_at_mark(f"devices:\n  cam: {{type: «{'x' * 5000}»}}\n", KIT)
    assert len(finding.sentence) < 150


def test_the_same_wrong_name_at_two_places_is_told_at_both() -> None:
    made = built("devices:\n  cam_a: {type: camra}\n  cam_b: {type: camra}\n", KIT)
    assert [str(problem.at) for problem in made.problems] == ["devices/cam_a/type", "devices/cam_b/type"]


# --- what puts it right ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("body", "value"),
    [
        (DEVICES + "links:\n  - {from: «bga.tc_out», to: camera_a.tc_in}\n", "bag.tc_out"),
        (DEVICES + "links:\n  - {from: «bag.tc_uot», to: camera_a.tc_in}\n", "bag.tc_out"),
        ("devices:\n  cam: {type: «camra»}\n", "camera"),
    ],
)
def test_the_edit_writes_the_whole_value(body: str, value: str) -> None:
    finding = told_at_mark(body, KIT)
    assert finding.fix is not None
    assert finding.fix.edits == (SetValue(finding.at, value),)


def test_a_key_is_renamed() -> None:
    finding = told_at_mark("devices:\n  cam: {type: camera, ports: {«tc_inn»: {gain: fixed}}}\n", KIT)
    assert finding.fix is not None
    assert finding.fix.edits == (RenameKey(finding.at, "tc_in"),)
    assert str(finding.at) == "devices/cam/ports/tc_inn"


@pytest.mark.parametrize(
    "body",
    [
        "devices:\n  bag: {}\n  cam_1..cam_3: {}\nlinks:\n  - {from: bag.out, to: «cam_1..cam_5.tc_in»}\n",
        (
            "devices:\n  bag: {type: recorder}\n  cam_1..cam_3: {type: camera}\n"
            "links:\n  - {from: bag.tc_out, to: «cam_1..cam_3.tc_inn»}\n"
        ),
        "devices:\n  cam_1..cam_3: {}\ndays: [{events: [{do: jam, of: [«cam_1..cam_5»]}]}]\n",
    ],
)
def test_a_range_is_not_replaced_by_one_name(body: str) -> None:
    finding = told_at_mark(body, KIT)
    assert finding.fix is not None
    assert finding.fix.edits == ()


# --- bounds and order ------------------------------------------------------------------------------------------


def test_thousands_of_wrong_names_are_all_told() -> None:
    names = "".join(f"  c{n}: {{}}\n" for n in range(1500))
    links = "".join(f"  - {{from: d{n}.out, to: c{n}.in}}\n" for n in range(1500))
    made = built(f"devices:\n{names}links:\n{links}")
    assert len(made.problems) == 1500
    assert "did you mean" in made.problems[0].sentence
    assert "did you mean" not in made.problems[-1].sentence  # nobody reads so many guesses


def test_of_equally_near_names_the_same_is_meant_in_every_run() -> None:
    program = (
        "from tests.rig.building import only\n"
        "print(only('devices:\\n  bag: {able: {ports: {out_x: {}, out_y: {}, out_z: {}, out_v: {}}}}\\n"
        "  cam: {}\\nlinks:\\n  - {from: bag.out_w, to: cam.in}\\n').sentence)"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", program],
            env={"PYTHONHASHSEED": str(seed), "PYTHONPATH": ":".join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in range(4)
    }
    assert len(said) == 1
    assert "did you mean out_v?" in said.pop()  # of equals the first by the alphabet


def test_where_a_kit_is_missing_its_names_are_not_told() -> None:
    from synclint.rig.build import build

    made = build(document(HEAD + "devices:\n  cam: {type: camera, item: K1}\n"), (), kits_complete=False)
    assert made.problems == ()


def test_a_device_whose_ports_nobody_lists_has_any_port() -> None:
    setup = sound("devices:\n  a: {timecode: {from: tc}}\n  b: {}\nlinks:\n  - {from: b.out, to: a.tc, carries: LTC}\n")
    assert len(setup.setup.links) == 1

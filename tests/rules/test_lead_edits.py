"""What is written on the leads: how long one is plugged, and where one goes."""

import pytest

from synclint.documents.reading import load_text
from synclint.findings import AddItem, AddKey, Edit, SetValue
from synclint.rig.build import build
from synclint.rules.framework import Case
from synclint.rules.lead_edits import jam_lead, plugged

RIG = """\
synclint: setup/1
title: rig
devices:
  bag: {able: {ports: {tc_out: {out: [LTC]}}}, timecode: {from: own clock, mode: free run, rate: 25}}
  box: {able: {ports: {tc: {in: [LTC], out: [LTC]}}}, timecode: {from: tc, mode: jam, rate: 25}}
  cam: {able: {ports: {tc_in: {in: [LTC]}}}, timecode: {from: tc_in, mode: continuous, rate: 25}}
"""


def case(links: str) -> Case:
    document = load_text(f"{RIG}{links}", "rig.setup.yaml").document
    assert document is not None
    return Case(build(document, ()).setup)


def plugged_at_cam(links: str) -> list[tuple[str, str]]:
    of = case(links)
    return [told(edit) for edit in plugged(of, of.timecode.listened["cam"], "to jam")]


def told(edit: Edit) -> tuple[str, str]:
    assert isinstance(edit, SetValue | AddKey | AddItem)
    return str(edit.place), edit.value


def test_a_lead_is_plugged_for_another_time() -> None:
    links = "links:\n  - {from: bag.tc_out, to: cam.tc_in, carries: LTC, connected: all day}\n"
    assert plugged_at_cam(links) == [("links/0/connected", "to jam")]
    assert plugged_at_cam(links.replace(", connected: all day", "")) == [("links/0", "to jam")]


@pytest.mark.parametrize(
    "links",
    [
        "links:\n  - {from: bag.tc_out, to: [cam.tc_in, box.tc], carries: LTC, connected: all day}\n",
        "radio_groups: {main: {sends: bag.tc_out, receives: [cam.tc_in], carries: timecode}}\n",
    ],
)
def test_what_is_no_lead_of_this_device_alone_is_left_as_it_is(links: str) -> None:
    assert plugged_at_cam(links) == []


def test_a_lead_to_jam_goes_to_one_more() -> None:
    links = "links:\n  - {from: bag.tc_out, to: box.tc, carries: LTC, connected: to jam}\n"
    (edit,) = jam_lead(case(links), "bag", "cam.tc_in")
    assert edit == AddItem(edit.place, "cam.tc_in", "to")
    assert str(edit.place) == "links/0"


def test_a_lead_to_jam_is_written_where_there_is_none() -> None:
    links = "links:\n  - {from: bag.tc_out, to: box.tc, carries: LTC, connected: all day}\n"
    (edit,) = jam_lead(case(links), "bag", "cam.tc_in")
    assert edit == AddItem(edit.place, "{from: bag.tc_out, to: cam.tc_in, carries: LTC, connected: to jam}", "links")
    assert str(edit.place) == ""
    assert jam_lead(case(links), "cam", "box.tc") == ()  # the camera gives nothing

"""The picture of a rig as a file: told without eyes, safe in every reader of XML, the same for the same rig."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from synclint.findings import Level
from synclint.rig.graphs import ClockGraph, TimecodeGraph
from synclint.sheet.rig_picture import rig_picture
from synclint.sheet.rig_scene import Stroke
from synclint.sheet.rig_strokes import drawn_stroke
from synclint.sheet.rig_wires import Role, Way
from tests.sheet import chance, rigs

SVG = "{http://www.w3.org/2000/svg}"
CHECKOUT = Path(__file__).parents[2]


def drawn(rig: rigs.Rig, width: int = 960) -> ET.Element:
    return ET.fromstring(rig.picture(width))  # noqa: S314 - our own text


def texts(root: ET.Element) -> list[str]:
    return [element.text or "" for element in root.iter(f"{SVG}text")]


def told(root: ET.Element) -> str:
    desc = root.find(f"{SVG}desc")
    assert desc is not None
    return desc.text or ""


GOES_ROUND = rigs.SAMPLES / "broken" / "tideline_timecode_goes_round.setup.yaml"


def test_a_screen_reader_is_told_all_that_is_drawn() -> None:
    rig = rigs.from_file(GOES_ROUND)
    assert rig is not None
    root = drawn(rig)
    assert root.get("role") == "img"
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None and desc is not None  # noqa: PT018 - both, for the type checker
    assert (title.get("id"), desc.get("id")) == (root.get("aria-labelledby"), root.get("aria-describedby"))
    assert title.text == "Rig of Tideline, day 4, harbour interviews: who labels whom, and who paces whom"
    for says in (
        "Sound bag (MASTER, continuous, rate 23.976 NDF and 1 ERROR).",
        "Sound bag: timecode, cable that stays on, from box_a, LTC, jack to tc_in LOOP: it comes back here.",
        "Camera B (timecode on left).",
        "Recorder on C: timecode and pace in one, cable that stays on, from Camera C, HDMI timecode, hdmi_out to",
        "1 ERROR: timecode runs in a circle: Sound bag to box_a to Sound bag.",
    ):
        assert says in told(root), told(root)


def test_what_is_folded_or_hangs_on_nothing_is_told_by_name() -> None:
    root = drawn(rigs.from_text(rigs.of_41()))
    assert "3 devices alike, box_1, box_2 and box_3 (compensated generator and continuous)." in told(root)
    assert "Hangs on nothing: phone (own clock, free run and 2 ERROR)." in told(root)
    assert (
        "Not drawn: links that neither label nor pace (1 for sound), and 1 device that only passes these on."
        in told(root)
    )


def test_the_findings_are_numbered_in_the_order_given_and_written_out() -> None:
    rig = rigs.from_text(rigs.of_8(), check=False)
    places = [rig.setup.devices[key].place for key in ("bag", "slate_1")]
    levels = (Level.NOTE, Level.ERROR)
    given = tuple(chance.finding(at, level, f"the {level.value}") for at, level in zip(places, levels, strict=True))
    says = texts(drawn(rigs.Rig(rig.setup, given)))
    assert says.count("1 NOTE") == 2  # in the box and in the list
    assert says.count("2 ERROR") == 2
    assert says[-1] == "2 ERROR"
    assert {"the note.", "the error."} <= set(says)


def test_the_legend_has_the_lines_that_occur_and_no_others() -> None:
    def legend(text: str) -> set[str]:
        return {
            each for each in texts(drawn(rigs.from_text(text, check=False))) if re.search(r": (cable|through)", each)
        }

    assert legend(rigs.of_2()) == {"timecode: cable that stays on"}
    assert legend(rigs.of_8()) == {
        "timecode: cable that stays on", "timecode: through the air", "timecode and pace in one: cable that stays on",
    }  # fmt: skip
    assert legend(rigs.of_41()) == {
        "timecode: cable that stays on", "timecode: cable to jam, then pulled", "timecode: through the air",
        "timecode and pace in one: cable that stays on", "reference (sets the pace): cable that stays on",
    }  # fmt: skip


def test_lines_differ_in_form_and_not_only_in_colour() -> None:
    """Without their colours all kinds of line are different."""
    ways = (Way.ALL_DAY, Way.JAM, Way.COMPARE, Way.AIR)
    lines = [drawn_stroke(Stroke(role, way, ((0, 5, 40, 5),))) for role in Role for way in ways]
    forms = {re.sub('="#(?!ffffff)[0-9a-f]{6}"', '="ink"', line) for line in lines}
    assert len(forms) == len(lines) == 16


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("name", chance.NAMES)
def test_hostile_names_stay_text(name: str, width: int) -> None:
    text = rigs.of_8().replace("  bag: {", f"  bag: {{name: {chance._quoted(name)}, ")
    text = text.replace("title: A rig of 8", f"title: {chance._quoted(name)}")
    rig = rigs.from_text(text, check=False)
    assert rig.setup.devices["bag"].called == name
    root = drawn(rigs.Rig(rig.setup, (chance.finding(rig.setup.devices["bag"].place, says=name),)), width)
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= {
        "svg", "title", "desc", "rect", "g", "path", "circle", "text",
    }  # fmt: skip
    assert not re.search("[\u200e\u200f\u202a-\u202e\u2066-\u2069]", ET.tostring(root, encoding="unicode"))


def test_it_asks_for_nothing_from_elsewhere() -> None:
    text = rigs.from_text(rigs.of_60()).picture()
    assert "href" not in text
    assert "url(" not in text
    assert text.count("http") == 1
    assert 'font-family="sans-serif"' in text


def test_a_page_may_hold_it_twice() -> None:
    rig = rigs.from_text(rigs.of_2(), check=False)
    graphs = (TimecodeGraph(rig.setup), ClockGraph(rig.setup))
    both = [re.findall(r'id="([^"]*)"', rig_picture(rig.setup, *graphs, name=name)) for name in ("wide", "narrow")]
    assert both == [["wide-title", "wide-desc"], ["narrow-title", "narrow-desc"]]


def test_the_same_rig_gives_the_same_bytes_in_every_process() -> None:
    drawing = "chance.thrown(5).picture(), rigs.from_text(rigs.of_41()).picture(390)"
    program = f"from tests.sheet import chance, rigs; print({drawing})"
    got = {
        subprocess.run(
            [sys.executable, "-c", program],
            cwd=CHECKOUT,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(CHECKOUT)},
            check=True,
            capture_output=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(got) == 1


def test_a_rig_without_devices_is_a_picture_too() -> None:
    head = rigs.HEAD.format(title="Empty", master="none", clock="none")
    rig = rigs.from_text(head.replace("devices:\n", "devices: {}\n"), check=False)
    assert "No device is written in this setup, so there is nothing to draw." in texts(drawn(rig))


def test_ten_thousand_devices_are_drawn_without_a_hang() -> None:
    rig = rigs.Rigging("A chain and a crowd", master="bag")
    rig.add("bag", rigs.SECOND_BAG.replace("unit: second, ", ""))
    rig.add("box_1..box_4000", rigs.BOX.replace("from: radio", "from: jack"))
    rig.add("cam_1..cam_6000", rigs.CAMERA)
    rig.link("bag.tc_out", "cam_1..cam_6000.tc_in")
    rig.link("bag.tc_out", "box_1.jack")
    rig.link("box_1..box_3999.jack", "box_2..box_4000.jack")
    made = rigs.from_text(rig.text, check=False)
    for width in (390, 1280):
        before = time.perf_counter()
        root = drawn(made, width)
        assert time.perf_counter() - before < 10
        assert "6000 × cam_1 … cam_6000" in texts(root)
        # Of 4002 boxes (a chain of 4000 that are all fed from elsewhere, the bag, the crowd) 150 are drawn.
        assert "3852 more devices" in told(root)

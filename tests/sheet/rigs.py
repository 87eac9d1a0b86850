"""Rigs to draw: setups loaded from files or made up, from the smallest to a day with two units and a studio corner."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from synclint.checker import Choice, check_file, check_text
from synclint.documents.nodes import Document, Scalar, SequenceNode
from synclint.documents.reading import load_document, load_text
from synclint.findings import Finding
from synclint.rig.build import build
from synclint.rig.graphs import ClockGraph, TimecodeGraph
from synclint.rig.model import Setup
from synclint.sheet.rig_picture import WIDTH, rig_picture

SAMPLES = Path(__file__).parents[2] / "sample_setups"


@dataclass(frozen=True)
class Rig:
    """A rig with what a check finds in it."""

    setup: Setup
    findings: tuple[Finding, ...] = ()

    def picture(self, width: float = WIDTH) -> str:
        return rig_picture(self.setup, TimecodeGraph(self.setup), ClockGraph(self.setup), self.findings, width=width)


def from_text(text: str, *, check: bool = True) -> Rig:
    document = load_text(text, "made.setup.yaml").document
    assert document is not None
    findings = check_text(text, "made.setup.yaml", Choice()).findings if check else ()
    return Rig(build(document, ()).setup, findings)


def from_file(path: Path) -> Rig | None:
    """The rig of a setup; none of a file that is none."""
    document = load_document(path).document
    if document is None or not document.kind.startswith("setup/"):
        return None
    kits = [kit for kit in _kits(document, path) if kit is not None]
    return Rig(build(document, kits).setup, check_file(str(path)).findings)


def _kits(document: Document, path: Path) -> Iterator[Document | None]:
    named = document.root.get("kits")
    for node in named.items if isinstance(named, SequenceNode) else ():
        if isinstance(node, Scalar):
            yield load_document(path.parent / node.text).document


# --- rigs made up ---

HEAD = """\
synclint: setup/1
title: {title}
project:
  rate: 25
  sample_rate: 48 kHz
  timecode: {{as: time of day}}
  tolerance: 1 frame
  master: {{timecode: {master}, clock: {clock}}}
days:
  - {{date: 2026-06-20, call: 08:00, wrap: 18:00, longest_take: 10 min}}
devices:
"""

PICTURE = "records: {picture: {shot_at: 25, played_at: 25}, timecode_on: [file]}"
SOUND = "records: {sound: {sample_rate: 48 kHz, bit_depth: 24}, timecode_on: [file]}"


def device(cls: str, ports: str, source: str, mode: str, clock: str = "own clock", more: str = "") -> str:
    """The settings of a device, in braces."""
    runs = f"timecode: {{from: {source}, mode: {mode}, rate: 25}}, clock: {{from: {clock}}}"
    return f"{{able: {{class: {cls}, ports: {{{ports}}}}}, {runs}{', ' if more else ''}{more}}}"


JACK = "jack: {in: [LTC], out: [LTC]}"
CAMERA_PORTS = "tc_in: {in: [LTC]}, hdmi_out: {out: [HDMI timecode]}, ref_in: {in: [tri-level], loop: ref_loop}"
GENERATOR_PORTS = "tc_in: {in: [LTC]}, ref_1: {out: [tri-level]}, ref_2: {out: [tri-level]}, wc_1: {out: [word clock]}"

MASTER = device("wireless master", "radio: {out: [timecode]}", "own clock", "free run")
BAG = device("bag recorder", "radio: {in: [timecode]}, tc_out: {out: [LTC]}", "radio", "continuous", more=SOUND)
SECOND_BAG = device("bag recorder", "tc_out: {out: [LTC]}", "own clock", "free run", more=f"unit: second, {SOUND}")
BOX = device("compensated generator", f"radio: {{in: [timecode]}}, {JACK}", "radio", "continuous")
JAMMED = device("compensated generator", JACK, "jack", "jam", more="unit: second")
CAMERA = device("cinema camera", CAMERA_PORTS, "tc_in", "continuous", more=PICTURE)
SECOND_CAMERA = device("cinema camera", CAMERA_PORTS, "tc_in", "continuous", more=f"unit: second, {PICTURE}")
STUDIO_CAMERA = device("cinema camera", CAMERA_PORTS, "tc_in", "continuous", "ref_in", PICTURE)
RECORDER = device("video recorder", "hdmi_in: {in: [HDMI timecode]}", "hdmi_in", "continuous", "hdmi_in", PICTURE)
SLATE = device("timecode slate", "radio: {in: [timecode]}", "radio", "continuous")
GENERATOR = device("sync generator", GENERATOR_PORTS, "tc_in", "continuous")
DESK = device("field recorder", "tc_in: {in: [LTC]}, wc_in: {in: [word clock]}", "tc_in", "continuous", "wc_in", SOUND)
PHONE = device("phone", "mic_in: {in: [sound]}", "own clock", "free run", more=PICTURE)
SPLITTER = "{able: {class: through-thing}, passes: {in: [out_1..out_16]}}"
MIC = "{able: {class: through-thing}, passes: {mic: [line_out]}}"


class Rigging:
    """A setup in the making."""

    def __init__(self, title: str, master: str = "air_master") -> None:
        self.head = HEAD.format(title=title, master=master, clock="none")
        self.devices: list[str] = []
        self.links: list[str] = []
        self.receives: list[str] = []
        self.units = ""

    def add(self, key: str, settings: str) -> None:
        """A device, or a range of them."""
        self.devices.append(f"  {key}: {settings}\n")

    def link(self, source: str, target: str, carries: str = "LTC", how: str = "all day") -> None:
        """A lead, or a range of them."""
        self.links.append(f"  - {{from: {source}, to: {target}, carries: {carries}, connected: {how}}}\n")

    @property
    def text(self) -> str:
        group = f"  main: {{sends: air_master.radio, receives: [{', '.join(self.receives)}], carries: timecode}}\n"
        links = "links:\n" + "".join(self.links) if self.links else ""
        air = f"radio_groups:\n{group}" if self.receives else ""
        return self.head + "".join(self.devices) + links + air + self.units


def several(stem: str, count: int) -> str:
    """The keys of so many devices, as a range."""
    return f"{stem}_1" if count == 1 else f"{stem}_1..{stem}_{count}"


def on_air(rig: Rigging, boxes: int, slates: int, recorders: int) -> None:
    """A wireless master with a bag, boxes with a camera each, some with a recorder, and slates."""
    rig.add("air_master", MASTER)
    rig.add("bag", BAG)
    rig.add(several("box", boxes), BOX)
    rig.add(several("cam", boxes), CAMERA)
    rig.link(f"{several('box', boxes)}.jack", f"{several('cam', boxes)}.tc_in")
    rig.add(several("rec", recorders), RECORDER)
    rig.link(f"{several('cam', recorders)}.hdmi_out", f"{several('rec', recorders)}.hdmi_in", "HDMI timecode")
    rig.add(several("slate", slates), SLATE)
    rig.receives = [f"{keys}.radio" for keys in ("bag", several("box", boxes), several("slate", slates))]


def studio(rig: Rigging, cameras: int, chained: int) -> None:
    """A splitter with cameras, a sync generator with some of these chained to it, and a recorder on word clock."""
    rig.add("splitter", SPLITTER)
    rig.add("gen", GENERATOR)
    rig.add("desk", DESK)
    rig.add(several("studio", cameras), STUDIO_CAMERA)
    rig.link("bag.tc_out", "splitter.in")
    rig.link("splitter.out_1", "gen.tc_in")
    rig.link("splitter.out_2", "desk.tc_in")
    rig.link(f"splitter.out_3..out_{cameras + 2}", f"{several('studio', cameras)}.tc_in")
    rig.link("gen.wc_1", "desk.wc_in", "word clock")
    rig.link("gen.ref_1", "studio_1.ref_in", "tri-level")
    for number in range(1, chained):
        rig.link(f"studio_{number}.ref_loop", f"studio_{number + 1}.ref_in", "tri-level")
    for number in range(chained + 1, cameras + 1):
        rig.link("gen.ref_2", f"studio_{number}.ref_in", "tri-level")


def second_unit(rig: Rigging, boxes: int) -> None:
    """A second bag as the master of a unit of its own, with boxes jammed from it and a camera on each."""
    rig.add("bag_2", SECOND_BAG)
    rig.add(several("unit_box", boxes), JAMMED)
    rig.add(several("unit_cam", boxes), SECOND_CAMERA)
    rig.link("bag_2.tc_out", f"{several('unit_box', boxes)}.jack", how="to jam")
    rig.link(f"{several('unit_box', boxes)}.jack", f"{several('unit_cam', boxes)}.tc_in")
    rig.units = "units:\n  second: {master: bag_2, cut_with: main, shares_timecode: false}\n"


def of_2() -> str:
    return (SAMPLES / "two_devices.setup.yaml").read_text(encoding="utf-8")


def of_8() -> str:
    rig = Rigging("A rig of 8")
    on_air(rig, boxes=2, slates=1, recorders=1)
    return rig.text


def of_23() -> str:
    """16 on air, a studio corner of 6, and a phone."""
    rig = Rigging("A rig of 23")
    on_air(rig, boxes=6, slates=1, recorders=1)
    studio(rig, cameras=3, chained=3)
    rig.add("phone", PHONE)
    return rig.text


def of_41() -> str:
    """23 on air, 9 in the studio, 7 of a second unit, a radio microphone and a phone."""
    rig = Rigging("A rig of 41")
    on_air(rig, boxes=8, slates=2, recorders=3)
    studio(rig, cameras=6, chained=4)
    second_unit(rig, boxes=3)
    rig.add("phone", PHONE)
    rig.add("mic", MIC)
    rig.link("mic.line_out", "phone.mic_in", "sound")
    return rig.text


def of_60() -> str:
    """34 on air, 11 in the studio, 9 of a second unit, 5 phones and a radio microphone."""
    rig = Rigging("A rig of 60")
    on_air(rig, boxes=12, slates=4, recorders=4)
    studio(rig, cameras=8, chained=5)
    second_unit(rig, boxes=4)
    rig.add(several("phone", 5), PHONE)
    rig.add("mic", MIC)
    rig.link("mic.line_out", "phone_1.mic_in", "sound")
    return rig.text


BY_SIZE = {2: of_2, 8: of_8, 23: of_23, 41: of_41, 60: of_60}

"""Reports made by hand, for the reporters to write."""

import io
import os
from dataclasses import replace

import pytest

from synclint.findings import (
    WHO,
    AddKey,
    Amount,
    CheckLine,
    Confirmed,
    Cost,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Path,
    Place,
    Record,
    Remove,
    RenameKey,
    SetValue,
    Source,
    Span,
    Standing,
    Unjudged,
    either,
)
from synclint.overview import Assumed, Branch, Checked, Overview, RateRow
from synclint.result import Crash, Report, Waived

FILE = "tideline.setup.yaml"
HOSTILE = "in\x1b[31m[in] [/out]\u202e\u2066\x07\r\n\t\x9b\ud800\u200b{}%s" + "x" * 10_000


class Screen(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def at(*path: str | int, line: int = 1, column: int = 1, file: str = FILE) -> Place:
    return Place(path, Span(file, line, column, line, column + 4))


def record(name: str, level: Level, hurts: Hurts, mended: Mended, *sources: Source) -> Record:
    why = "Labels that run at two rates part by a whole frame within a minute, and no jam brings them together."
    return Record(name, f"Summary of {name}", level, hurts, mended, why, sources or (ARITHMETIC,))


ARITHMETIC = Source("24 against 24000/1001", Confirmed.ARITHMETIC)
PARTED = record("labels-part", Level.ERROR, Hurts.DAY, Mended.RENTAL)
LONG = record("long-take-drift", Level.ERROR, Hurts.POST, Mended.TEST_DAY, Source("Common sum", Confirmed.PRACTICE))
SWAP = record("no-jam-after-swap", Level.WARNING, Hurts.TIME, Mended.SET)
SPARE = record("no-spare-lead", Level.NOTE, Hurts.HABIT, Mended.RENTAL, Source("Common habit", Confirmed.PRACTICE))

TWO_RATES = PARTED.finding(
    at=at("devices", "cam_c", "timecode", "rate", line=41, column=17),
    says=f"{WHO} {either('labels', 'label')} at 24, the project at 23.976 NDF.",
    costs=Cost("3.6 s an hour: 45.0 s by wrap at 19:00.", (Amount("label gap by wrap", 44.955, "s"),), 44.955),
    fix=Fix(
        f"Set 23.976 NDF in the menu of {WHO}, then jam again.",
        (SetValue(at("devices", "cam_c", "timecode", "rate", line=41, column=17), "23.976 NDF"),),
    ),
    who=["cam_c"],
)
DRIFT = LONG.finding(
    at=at("devices", "cam_b", line=30, column=3),
    says=f"{WHO} may drift past the tolerance of 1 frame within the longest take of 45 min.",
    costs=Cost("up to 84 ms, 2 frames, at the end of a take.", (Amount("drift", 83.7, "ms"),), 83.7),
    fix=Fix("Keep the box plugged, or clap at the tail of long takes."),
    level=Level.WARNING,
    who=["cam_b", "cam_d"],
    also=[Mention(at("devices", "cam_d", line=36, column=3), "cam_d")],
    decided_by=[Fact(30, at("devices", "cam_b", "clock", "accuracy"), Standing.ASSUMED, why="class small camera")],
)
BATTERY = SWAP.finding(
    at=at("days", 0, "events", 5, line=22, column=9),
    says="cam_b is switched off at 12:10 and not jammed again.",
    fix=Fix("Jam cam_b after the battery and film the slate."),
    who=["cam_b"],
)
LEAD = SPARE.finding(at=at("links", 2, "lead", line=58, column=40), says="No spare for the one lead BNC to 3.5 mm TRS.")

OVERVIEW = Overview(
    "Tideline, day 4",
    rates=(
        RateRow(("bag", "slate", "box_1", "box_2", "box_3"), "23.976 NDF", "-", "48 kHz"),
        RateRow(("cam_a", "cam_b", "cam_d"), "23.976 NDF", "23.976", "48 kHz"),
        RateRow(("cam_c",), "24", "24", "-", ("timecode", "picture")),
    ),
    timecode_tree=(
        Branch(
            ("bag",),
            "own clock, free run",
            (
                Branch(("box_1", "box_2", "box_3"), "jam by lead, LTC", (Branch(("cam_a",), "continuous, LTC"),)),
                Branch(("slate",), "jam by lead, LTC"),
            ),
        ),
    ),
    clock_tree=(Branch(("bag",), "own clock"), Branch(("cam_a", "cam_b"), "own clock")),
    timecode_loose=("cam_d",),
    assumed=(Assumed("clock accuracy", ("cam_b", "cam_d"), "30 ppm", "class small camera"),),
    checked=Checked(9, 7, 42),
)

SMALL = Report(
    FILE,
    "setup",
    findings=(LEAD, BATTERY, DRIFT, TWO_RATES),
    accepted=(Waived(LEAD, "a spare lies in the van", "sound", "2026-06-30"),),
    unjudged=(
        Unjudged(LONG, at("devices", "cam_a", "offset"), "the fixed offset", ("cam_a",)),
        Unjudged(LONG, at("devices", "cam_b", "offset"), "the fixed offset", ("cam_b",)),
    ),
    checklist=(
        CheckLine(SWAP, Mended.MORNING, f"Look at the display of {WHO} beside the slate", ("cam_a",)),
        CheckLine(SWAP, Mended.RENTAL, "Set date and time on every device"),
    ),
    unread_keys=(("devices/power/runtime", 3), ("devices/note", 1)),
    overview=OVERVIEW,
)
SOUND = Report("quiet.setup.yaml", "setup", overview=replace(OVERVIEW, title="Quiet"))
UNREADABLE = Report(
    "gone.setup.yaml",
    "",
    findings=(
        record("unreadable-file", Level.ERROR, Hurts.DAY, Mended.RENTAL).finding(
            at=at(line=0, column=0, file="gone.setup.yaml"), says="There is no such file."
        ),
    ),
    could_not_check=True,
)


def hostile() -> Report:
    """A report in which every text that can come from a file is meant to do harm."""
    place = at("devices", HOSTILE, "ports", HOSTILE, 3, file=HOSTILE, line=2)
    fact: Fact[object] = Fact(HOSTILE, place, Standing.ASSUMED, why=HOSTILE)
    edits = (SetValue(place, HOSTILE), AddKey(place, HOSTILE, HOSTILE), RenameKey(place, HOSTILE), Remove(place))
    finding = Finding(
        record=PARTED,
        level=Level.WARNING,
        at=place,
        says=f"{WHO} is {HOSTILE}",
        costs=Cost(HOSTILE, (Amount(HOSTILE, float("inf"), HOSTILE),)),
        fix=Fix(HOSTILE, edits),
        who=(HOSTILE,) * 9,
        also=(Mention(place, HOSTILE),) * 9,
        decided_by=(fact,),
        numbers_from=(replace(fact, why="more"),),
    )
    branch = Branch((HOSTILE,), HOSTILE, (Branch((HOSTILE, HOSTILE), HOSTILE),))
    return Report(
        HOSTILE,
        "setup",
        findings=(finding,),
        accepted=(Waived(finding, HOSTILE, HOSTILE, HOSTILE),),
        unjudged=(Unjudged(LONG, place, HOSTILE, (HOSTILE,)),),
        checklist=(CheckLine(SWAP, Mended.SET, HOSTILE, (HOSTILE,), place),),
        crashes=(Crash("labels-part", HOSTILE, "/home/somebody/secret.py"),),
        unread_keys=((HOSTILE, 2),),
        overview=Overview(
            HOSTILE,
            rates=(RateRow((HOSTILE,) * 3, HOSTILE, HOSTILE, HOSTILE, ("sound",)),),
            timecode_tree=(branch,),
            clock_tree=(branch,),
            timecode_loose=(HOSTILE,),
            clock_loose=(HOSTILE,),
            assumed=(Assumed(HOSTILE, (HOSTILE,), HOSTILE, HOSTILE),),
            checked=Checked(1, 1, 1),
        ),
    )


def large(devices: int) -> Report:
    """A rig of many devices, each with a finding, in a chain."""
    chain = Branch((f"cam_{devices}",), "jam")
    for number in range(devices - 1, 0, -1):
        chain = Branch((f"cam_{number}",), "jam", (chain,))
    names = tuple(f"cam_{number}" for number in range(1, devices + 1))
    findings = tuple(replace(TWO_RATES, at=at("devices", name), who=(name,)) for name in names)
    rates = tuple(RateRow((name,), "24", "24", "-", ("timecode",) if name == names[-1] else ()) for name in names)
    overview = Overview("Many", rates, (chain,), (Branch(names, "own clock"),), names[::2], names)
    return Report(FILE, "setup", findings=findings, overview=overview)


def paths() -> dict[Path, tuple[str, ...]]:
    """Paths with their words."""
    return {
        (): (),
        ("devices", "cam_b", "timecode", "rate"): ("cam_b", "timecode", "rate"),
        ("devices", "links", "ports", "jack"): ("links", "port jack"),
        ("links", 0, "to", 1): ("link 1", "to", "entry 2"),
        ("days", 0, "events", 2, "at"): ("day 1", "event 3", "at"),
        ("project", "rate"): ("project", "rate"),
        ("radio_groups", "main"): ("radio group main",),
        ("types", "timecode_box", "ports"): ("type timecode_box", "ports"),
    }


def columns(monkeypatch: pytest.MonkeyPatch, width: int) -> None:
    """Let terminals be so wide."""
    monkeypatch.setattr("shutil.get_terminal_size", lambda: os.terminal_size((width, 24)))

"""Drift made by hand, for the reporters and the picture."""

from dataclasses import replace
from fractions import Fraction

from synclint.drift.values import (
    Blank,
    Bound,
    Cell,
    Curve,
    Drift,
    FramePhase,
    Hour,
    JamPlan,
    JamRound,
    Leaves,
    LongTake,
    Mark,
    MeasuredRate,
    Moment,
    Needed,
    PairRow,
    Panel,
    Peak,
    Point,
    Row,
    TakeRow,
    Unbounded,
    Vertex,
)
from synclint.overview import Assumed

HOUR = Fraction(3600)
FRAME = Fraction(1, 25)


def ms(value: str) -> Fraction:
    return Fraction(value) / 1000


def cells(*values: str) -> tuple[Cell, ...]:
    """`5` holds before and after; `5/0.1` is a step; `-` has no bound."""
    found = []
    for value in values:
        before, _, after = value.partition("/")
        found.append(Cell(bound(before), bound(after or before)))
    return tuple(found)


def bound(value: str) -> Bound:
    return Bound(None, "no bound: set by hand") if value == "-" else Bound(ms(value))


MOMENTS = tuple(
    Moment(hour * HOUR, f"{hour:02}:00", what, "2026-06-14")
    for hour, what in ((7, "jam"), (9, "scene 3"), (10, "cut"), (12, "jam"), (19, "wrap"))
)
TAKE = LongTake(18 * HOUR, "18:00", HOUR, Bound(ms("45")))
ROW = Row(
    ("box_a", "cam_a"), "bag", cells("-/0.1", "10", "15", "25/0.1", "35"), Peak(ms("35"), "19:00", 19 * HOUR), TAKE
)
PAIR = PairRow(
    "camera to sound", "bag", "cam_a", cells("-/0.1", "10", "15", "25/0.1", "35"), Peak(ms("15"), "10:00", HOUR), TAKE
)
LONG = TakeRow("09:00", "10:00", "3", HOUR, "cam_a", "bag", ms("10"), ms("36"), ms("46"), Fraction("3000.9"))
PLAN = JamPlan(
    holds=False,
    jams=("07:00", "12:00"),
    granted=False,
    leaves=Leaves(HOUR, "15:14:08", "cam_a", "bag", "14:02:16"),
    logged=False,
    morning="07:00",
    morning_leaves=Leaves(HOUR, "15:14:08", "cam_a", "bag", "15:14:08"),
    rounds=(JamRound(HOUR, "12:30", "15:00", "12:30 to 13:15"), JamRound(HOUR, "17:00", None, None)),
    added=(JamRound(HOUR, "12:30", "15:00", "12:30 to 13:15"),),
    possible=True,
    needed=(Needed("box_a", Fraction("0.34356"), Fraction("0.5")), Needed("bag", None, Fraction("0.2"))),
)
PANEL = Panel(
    title="2026-06-14",
    zone="Europe/Lisbon",
    start=6 * HOUR,
    end=19 * HOUR,
    hours=tuple(Hour(hour * HOUR, hour) for hour in range(6, 20)),
    curves=(
        Curve(
            ("box_a", "cam_a"),
            (
                Vertex(6 * HOUR, None),
                Vertex(7 * HOUR, None),
                Vertex(7 * HOUR, Fraction(0)),
                Vertex(12 * HOUR, ms("26")),
                Vertex(12 * HOUR, Fraction(0)),
                Vertex(19 * HOUR, ms("39")),
            ),
            (Blank(6 * HOUR, 7 * HOUR, "no bound: set by hand", unknown=True),),
        ),
        Curve(
            ("slate",),
            (Vertex(7 * HOUR, ms("1")), Vertex(14 * HOUR, ms("20")), Vertex(14 * HOUR, None), Vertex(19 * HOUR, None)),
            (Blank(14 * HOUR, 19 * HOUR, "no bound: restarted without a jam", unknown=True),),
        ),
    ),
    jams=(Mark(7 * HOUR, 7 * HOUR, "jam 07:00, 2 devices"), Mark(12 * HOUR, 12 * HOUR, "jam 12:00, box_a")),
    breaks=(Mark(12 * HOUR, 13 * HOUR, "break"),),
    takes=(Mark(9 * HOUR, 10 * HOUR, "scene 3"),),
    points=(Point(11 * HOUR, ("box_a",), ms("-13"), ms("2"), "box_a -13 ms ± 2 ms at 11:00"),),
)
LEAVES = Drift(
    title="A day",
    masters=("bag",),
    tolerance=FRAME,
    tolerance_said="1 frame",
    frame=FRAME,
    long_take=HOUR,
    moments=MOMENTS,
    rows=(ROW,),
    pairs=(PAIR,),
    takes=(LONG,),
    unbounded=(Unbounded("cam_b", "bag", "09:00", "no bound: restarted without a jam"),),
    measured=(
        MeasuredRate(
            "box_a",
            "bag",
            Fraction("0.15"),
            Fraction("0.1"),
            Fraction("0.2"),
            (Fraction(-1), Fraction(1)),
            outside=False,
            readings=3,
            off=("12:38 is off the line by 40 ms: misread",),
        ),
    ),
    plan=PLAN,
    phases=(FramePhase(("cam_a",), Fraction(7, 10)),),
    wants_reference=True,
    assumed=(Assumed("clock accuracy", ("cam_a",), "5 ppm", "class cinema camera"),),
    panels=(PANEL,),
)
HOLDS = replace(
    LEAVES,
    takes=(replace(LONG, slip=ms("1"), total=ms("11"), holds_for=None),),
    unbounded=(),
    plan=replace(PLAN, holds=True, leaves=None, morning_leaves=None, rounds=(), needed=()),
    wants_reference=False,
)
EMPTY = Drift("A day", (), None, "1 frame", None, None)

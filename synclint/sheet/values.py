"""The sync sheet as plain values: what the crew and post hold in their hands, before it becomes HTML or Markdown."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Number:
    """One of the five numbers that stand large at the head."""

    label: str
    """What it is: `rate and count`, `labels`, `sample rate`, `master`, `tolerance`."""
    value: str
    detail: str = ""
    """What is said of it in small: the exact rate, the zone."""


@dataclass(frozen=True, slots=True)
class DeviceLine:
    """What the crew must know of a device, or of several that are alike, in one line."""

    devices: tuple[str, ...]
    keys: tuple[str, ...]
    """Their keys in the setup; a log speaks of them so."""
    runs: str
    """How its timecode runs: `free run`, `jam`, `continuous`."""
    gets: str
    """How timecode arrives and where: `LTC by lead from Sound bag into jack`."""
    stays: str
    """`all day`, `only to jam`, or empty where nothing is plugged."""
    reference: str
    """What paces it, where that is not its own clock."""
    offset: str
    """A fixed offset with its sign and where it is corrected."""
    kept_on: str
    """Where its recordings keep the label: `file`, `left`."""
    level: str
    """What is set where timecode is recorded as sound: gain, pad, side."""
    loses: str
    """What makes it lose its time."""
    jams: tuple[str, ...]
    """The clock times at which it is jammed."""


@dataclass(frozen=True, slots=True)
class Cable:
    """Leads of one kind to pull."""

    kind: str
    count: int
    spares: int
    between: tuple[str, ...]
    """Each with its ends, such as `Sound bag tc_out to box_a jack`."""


@dataclass(frozen=True, slots=True)
class RoundLine:
    """One device to jam or to compare in one round, with room for what was measured."""

    device: str
    key: str
    against: str
    """What it is jammed from, or read against."""
    against_key: str
    stays: bool = False
    """Whether the lead that it is jammed by stays plugged afterwards."""


@dataclass(frozen=True, slots=True)
class Round:
    """Devices that are jammed, or read against another, one after the other."""

    does: str
    """`jam` or `compare`, as a log says it."""
    day: str
    """The date of its day, or which day it is; empty where there is one day only."""
    on: int
    """Which of the days it is on, counted from 0."""
    clock: str
    lines: tuple[RoundLine, ...]
    says: str
    """What matters in doing it."""
    read_by: str
    """How an offset is read, as a log says it: `display`, `recorded clip`, `scope`, `comparing device`."""


@dataclass(frozen=True, slots=True)
class Time:
    """A time of the day that the crew must know."""

    day: str
    clock: str
    says: str
    latest: bool = False
    """Whether it is a time by which something must be done."""
    jam: bool = False
    """Whether it is of a jam, which stands in its round, too."""


@dataclass(frozen=True, slots=True)
class Rule:
    """An if-then line made from this rig."""

    when: str
    then: str


@dataclass(frozen=True, slots=True)
class PostLine:
    """What post finds in the files of a device, or of several alike, and what it does with them."""

    devices: tuple[str, ...]
    files: str
    label: str
    """Where the label is, and at which rate it counts."""
    track: str
    """On which track timecode or scratch sound stands."""
    do: str
    """What to do, in an order that an assistant can follow."""
    offset: str
    """By how much labels are off, with the sign, and who corrects it."""


@dataclass(frozen=True, slots=True)
class Look:
    """Things to look at, under one heading of the day's order."""

    heading: str
    lines: tuple[str, ...]
    before: bool = False
    """Whether it is done before the days: whoever is on set with the sheet on paper needs it no more."""


@dataclass(frozen=True, slots=True)
class Open:
    """A finding that is open: its level, and what it says, costs and wants done."""

    level: str
    rule: str
    says: str
    costs: str
    fix: str


@dataclass(frozen=True, slots=True)
class Accepted:
    """A finding that somebody has decided to live with."""

    rule: str
    says: str
    why: str
    by: str
    until: str


@dataclass(frozen=True, slots=True)
class Change:
    """What an earlier version of the setup had otherwise."""

    where: str
    """The device, link or day, in words of the rig."""
    says: str


@dataclass(frozen=True, slots=True)
class Since:
    """What changed since an earlier version."""

    revision: str
    digest: str
    changes: tuple[Change, ...]
    new: tuple[Open, ...]
    solved: tuple[Open, ...]
    still: int
    """How many findings were open then and are open now."""


@dataclass(frozen=True, slots=True)
class LogDay:
    """What a log must know of a day to tell on which day and at what hour something was done."""

    date: str
    """Empty where nobody says."""
    zone: str
    call: int
    """Seconds after the day's midnight."""
    past_midnight: bool
    """Whether the day goes on past midnight."""


@dataclass(frozen=True, slots=True)
class Pictures:
    """The rig and the days' drift, each for a phone and for a desk as SVG, and as text; empty where there is none."""

    rig_narrow: str
    rig_wide: str
    rig_told: str
    drift_narrow: str
    drift_wide: str
    drift_told: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """All that stands on a sync sheet."""

    title: str
    revision: str
    digest: str
    """Of the setup and its kits: sixteen characters that change with any of them."""
    days: tuple[str, ...]
    """Each day with its date, zone, call and wrap."""
    errors: int
    draft: str
    """Why it is a draft, across its head; empty where it is none."""
    numbers: tuple[Number, ...]
    devices: tuple[DeviceLine, ...]
    cables: tuple[Cable, ...]
    rounds: tuple[Round, ...]
    """Jams and comparisons in their order."""
    unplanned: tuple[RoundLine, ...]
    """Who may have to be jammed or compared at other times, each with its source."""
    following: tuple[str, ...]
    """Those that take their time live, in words: nothing is jammed there, and the digits are looked at."""
    times: tuple[Time, ...]
    rules: tuple[Rule, ...]
    post: tuple[PostLine, ...]
    looks: tuple[Look, ...]
    accepted: tuple[Accepted, ...]
    open: tuple[Open, ...]
    assumed: tuple[str, ...]
    tolerance_ms: float | None
    """What a measured offset may come to."""
    frame_ms: float | None
    setup_file: str
    """The name of the setup's file, for the log that is taken out; empty where it was read from standard input."""
    log_days: tuple[LogDay, ...]
    pictures: Pictures
    since: Since | None = None

"""The plain values that tell of drift: a table by device, the worst pairs, the takes, the jams, the picture's lines.

Times are instants (exact seconds since 1970-01-01T00:00Z) beside the clock time that people read; offsets are seconds.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from synclint.overview import Assumed


@dataclass(frozen=True, slots=True)
class Bound:
    """The most that two times can be apart, in seconds; None with the reason where that has no bound."""

    seconds: Fraction | None
    why: str = ""
    """Such as `no bound: set by hand` or `off`."""


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment of the days at which something happens, or the wrap."""

    at: Fraction
    clock: str
    """By the clock of its day, such as `12:42`."""
    what: str
    """In few words: `jam`, `roll`, `cut`, `wrap`."""
    day: str
    """Its date, or which day it is."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A worst case up to a moment, and from it on."""

    before: Bound
    after: Bound

    @property
    def widest(self) -> Fraction | None:
        """The larger of both, where one of them has a bound."""
        return max((each.seconds for each in (self.before, self.after) if each.seconds is not None), default=None)


@dataclass(frozen=True, slots=True)
class Peak:
    """The largest worst case of the working hours, and when."""

    seconds: Fraction
    clock: str
    at: Fraction


@dataclass(frozen=True, slots=True)
class LongTake:
    """A take of the longest length that there is, begun so that it ends where the labels are farthest off."""

    start: Fraction
    clock: str
    length: Fraction
    total: Bound
    """Label error and slip at its end."""


@dataclass(frozen=True, slots=True)
class Row:
    """Devices that are alike through all days, against the master."""

    devices: tuple[str, ...]
    against: str
    cells: tuple[Cell, ...]
    """One for each moment."""
    peak: Peak | None
    long_take: LongTake | None
    """None for what records nothing, and where nobody says how long takes are."""


@dataclass(frozen=True, slots=True)
class PairRow:
    """The worst pair of a kind among those that must agree."""

    kind: str
    first: str
    second: str
    cells: tuple[Cell, ...]
    peak: Peak
    long_take: LongTake | None
    rolling: bool = True
    """Whether it is told of takes; where none is told it is of the days."""
    unbounded: tuple[str, ...] = ()
    """The clock times of the takes in which the two have no bound; where none is told, from when to when."""


@dataclass(frozen=True, slots=True)
class TakeRow:
    """The worst pair of a take, at its end."""

    start: str
    end: str
    scene: str
    length: Fraction
    """Of the recordings, in seconds: of the take, or shorter where a camera makes shorter clips."""
    first: str
    second: str
    label: Fraction
    slip: Fraction
    total: Fraction
    holds_for: Fraction | None
    """How long such a take may be within the tolerance, where this one leaves it; None where it holds."""


@dataclass(frozen=True, slots=True)
class Unbounded:
    """Two devices that must agree and of which nobody can say how far they are apart."""

    first: str
    second: str
    clock: str
    why: str
    rolling: bool = True
    """Whether the clock time is that of a take; where none is told they have no bound from then on."""


@dataclass(frozen=True, slots=True)
class Leaves:
    """The first moment at which a tolerance may be left by a pair that must agree just then, and by which."""

    at: Fraction
    clock: str
    first: str
    second: str
    held_until: str
    """The clock time until which the last jams of the two hold them within it; they need not roll just then."""
    why: str = ""
    """Why they have no bound from then on, where that is the reason: `bag was set anew at 13:50`."""


@dataclass(frozen=True, slots=True)
class JamRound:
    """A round of jams: all from their master."""

    at: Fraction
    clock: str
    by: str | None
    """By when at the latest, rounded down to the second; None where the days hold without it."""
    in_break: str | None
    """The break in which it is, such as `12:40 to 13:25`; None for working time."""
    by_at: Fraction | None = None
    """The instant of `by`."""
    by_lead: tuple[tuple[str, str], ...] = ()
    """The devices that are jammed by a lead because their link is lost then, each with its source."""
    others: bool = True
    """Whether any others are jammed in it, each from its master."""


@dataclass(frozen=True, slots=True)
class Needed:
    """The accuracy at which a device alone would make the first jam do, all others as they are."""

    device: str
    ppm: Fraction | None
    """None where no accuracy of it would do."""
    now: Fraction | None


@dataclass(frozen=True, slots=True)
class JamPlan:
    """When to jam again."""

    holds: bool
    """Whether no pair leaves the tolerance with the jams that are written."""
    jams: tuple[str, ...]
    """The clock times of the jams that are written."""
    granted: bool
    """Whether the days tell of no jam, and one at each call is taken for granted."""
    leaves: Leaves | None
    logged: bool
    """Whether a log tells of jams; what is planned then begins with the last of them."""
    morning: str
    """The clock time of the last jam before the first take, or else of the first; of the last that a log tells of."""
    morning_leaves: Leaves | None
    rounds: tuple[JamRound, ...]
    """The fewest after that one that hold the days, whatever else is written."""
    added: tuple[JamRound, ...]
    """The fewest on top of those that are written."""
    possible: bool
    needed: tuple[Needed, ...]
    """Empty where that jam does, and where the master is set anew."""


@dataclass(frozen=True, slots=True)
class FramePhase:
    """Cameras whose frames no reference holds: their labels are good to a frame whatever the clocks do."""

    devices: tuple[str, ...]
    odds: Fraction
    """Of a label one frame off, at the worst moment."""


@dataclass(frozen=True, slots=True)
class Vertex:
    """A point of a line that runs straight from one to the next; None where it has no bound."""

    at: Fraction
    seconds: Fraction | None


@dataclass(frozen=True, slots=True)
class Blank:
    """A stretch of a line in which it has no bound, or the device is not there."""

    start: Fraction
    end: Fraction
    why: str
    unknown: bool
    """Whether the device has a time, of which nobody can say how far it is off."""


@dataclass(frozen=True, slots=True)
class Curve:
    """Devices whose worst case against the master is the same all day."""

    devices: tuple[str, ...]
    vertices: tuple[Vertex, ...]
    blanks: tuple[Blank, ...]


@dataclass(frozen=True, slots=True)
class Hour:
    """A full hour of the clock on the wall, from 0 to 23, and the instant at which it shows it."""

    at: Fraction
    hour: int


@dataclass(frozen=True, slots=True)
class Mark:
    """Something on the time axis, from an instant to another."""

    start: Fraction
    end: Fraction
    says: str


@dataclass(frozen=True, slots=True)
class Point:
    """A comparison that was read on the day."""

    at: Fraction
    devices: tuple[str, ...]
    seconds: Fraction
    """By how much the device was ahead."""
    reading: Fraction
    """How far the reading may be off either way."""
    says: str


@dataclass(frozen=True, slots=True)
class MeasuredRate:
    """How fast a clock was measured to gain on another, in ppm, beside what is stated of the two."""

    device: str
    against: str
    rate: Fraction
    low: Fraction
    """From here to `high` it is with 95 % confidence."""
    high: Fraction
    stated: tuple[Fraction, Fraction] | None
    """From where to where it may be by what is stated; None where nobody states an accuracy."""
    outside: bool
    """Whether no part of the interval is within what is stated."""
    readings: int
    off: tuple[str, ...]
    """What lies off the line, in words."""
    inside: bool = True
    """Whether all of the interval is within what is stated."""


@dataclass(frozen=True, slots=True)
class Panel:
    """A day of the picture."""

    title: str
    zone: str
    start: Fraction
    end: Fraction
    hours: tuple[Hour, ...]
    """Every full hour of its clock."""
    curves: tuple[Curve, ...]
    jams: tuple[Mark, ...]
    breaks: tuple[Mark, ...]
    takes: tuple[Mark, ...]
    points: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class Drift:
    """All that is to be told of a setup's drift."""

    title: str
    masters: tuple[str, ...]
    tolerance: Fraction | None
    """In seconds; None where nobody says at which rate its frames are counted."""
    tolerance_said: str
    frame: Fraction | None
    """How long a frame of the project lasts."""
    long_take: Fraction | None
    moments: tuple[Moment, ...] = ()
    rows: tuple[Row, ...] = ()
    pairs: tuple[PairRow, ...] = ()
    takes: tuple[TakeRow, ...] = ()
    unbounded: tuple[Unbounded, ...] = ()
    measured: tuple[MeasuredRate, ...] = ()
    unused: tuple[str, ...] = ()
    """The comparisons of a log that say nothing of a rate, each with the reason."""
    plan: JamPlan | None = None
    phases: tuple[FramePhase, ...] = ()
    wants_reference: bool = False
    """Whether the tolerance is under half a frame, which labels of unlocked cameras cannot keep."""
    assumed: tuple[Assumed, ...] = ()
    panels: tuple[Panel, ...] = ()

    @property
    def long(self) -> tuple[TakeRow, ...]:
        """The takes at whose end the tolerance is left."""
        return tuple(each for each in self.takes if each.holds_for is not None)

    @property
    def holds(self) -> bool:
        """Whether nothing leaves the tolerance, and nothing that must agree is without a bound."""
        return self.plan is not None and self.plan.holds and not self.long and not self.unbounded

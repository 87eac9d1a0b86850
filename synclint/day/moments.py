"""What a device is at a moment: its settings, its power, and the time it carries with its history."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from synclint.findings import Place
from synclint.rig.model import Device, Event


class Origin(Enum):
    """How a line of time began."""

    RUNNING = "running on its own clock since before the day"
    OUTSIDE = "time from outside the rig"
    SET = "set by hand"
    CALENDAR = "started from its own calendar clock"
    ZERO = "started from zero"
    LAST = "went on from its last value"
    RESTARTED = "started anew"
    LEFT = "whatever it was left at"
    TAKES = "a count of its own takes"


@dataclass(frozen=True, slots=True)
class Timeline:
    """A line of time: all that descends from it agrees but for drift; two lines differ by nobody knows how much."""

    root: str
    """The device whose counter began it, or `outside` for a time that comes from outside the rig."""
    origin: Origin
    since: Fraction
    """The instant at which it began."""
    cause: Place = field(compare=False)
    """The event or setting that made it."""


@dataclass(frozen=True, slots=True)
class Handed:
    """One step of a time from device to device: a jam, or the instant at which a follower was let go."""

    target: str
    source: str
    at: Fraction
    cause: Place = field(compare=False)
    let_go: bool = False
    through: tuple[str, ...] = field(default=(), compare=False)
    """The devices that the source followed live at that moment, the nearest first."""

    def __hash__(self) -> int:
        """Without its whole instant: a hash of fractions takes long."""
        return hash((self.target, self.source, self.at.numerator))


@dataclass(frozen=True, slots=True)
class Carried:
    """The time that a device carries: which line it is, and the hands it went through on the way."""

    line: Timeline
    hands: tuple[Handed, ...] = ()
    """From the root on; each but the last is the history of its source at that moment."""
    through: tuple[str, ...] = ()
    """The devices that it follows live, the nearest first; empty where it runs by itself."""

    @property
    def set_at(self) -> Fraction:
        """The instant since which the counter behind this time runs by itself."""
        return self.hands[-1].at if self.hands else self.line.since

    @property
    def jammed_at(self) -> Fraction | None:
        """The instant of the jam that it comes from; None where it comes from none."""
        return next((hand.at for hand in reversed(self.hands) if not hand.let_go), None)

    @property
    def generation(self) -> tuple[Timeline, Fraction | None]:
        """Which jam it comes from: devices of one generation have parted by nothing but their own clocks."""
        return (self.line, self.jammed_at)

    def age(self, at: Fraction) -> Fraction:
        """Seconds at an instant since the jam that it comes from, or else since its line of time began."""
        jam = self.jammed_at
        return at - (self.line.since if jam is None else jam)


@dataclass(frozen=True, slots=True)
class State:
    """A device from one change to the next."""

    since: Fraction
    cause: Place
    """The event or setting that brought this state about."""
    device: Device
    """The device with its settings as they are now."""
    present: bool
    powered: bool
    time: Carried | None
    """None where nobody has given it a time, or it is switched off."""

    @property
    def working(self) -> bool:
        """Whether it is there and switched on."""
        return self.present and self.powered

    @property
    def source(self) -> str | None:
        """The device that it follows live, or was last jammed from; itself where it is the root."""
        if self.time is None:
            return None
        if self.time.through:
            return self.time.through[0]
        return self.time.hands[-1].source if self.time.hands else self.time.line.root


@dataclass(frozen=True, slots=True)
class Roll:
    """A take: who records together, from when to when."""

    event: Event
    start: Fraction
    end: Fraction
    devices: tuple[str, ...]
    day: int

    @property
    def length(self) -> Fraction:
        """Seconds from start to end."""
        return self.end - self.start


class Clash(Enum):
    """In what way something in the days cannot have happened as written."""

    EARLY = "before the call"
    LATE = "after the wrap"
    BACKWARDS = "ends before it begins"
    NOT_THERE = "of a device that is not there"
    OFF = "of a device that is switched off"
    SOURCE_GONE = "from a device that is off or not there"
    NO_SOURCE = "from nothing"
    TWICE = "said twice, differently"
    OVERLAP = "two takes of one device at once"
    CUT_SHORT = "a take goes on after its device is off"
    SKIPPED = "at a time that the clocks skip"
    REPEATED = "at a time that the clocks show twice"


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Something in the days that cannot have happened as written."""

    kind: Clash
    at: Place
    says: str
    """A sentence that may hold WHO and `either`."""
    instant: Fraction
    event: Event | None = None
    key: str | None = None
    """The device that it is about, if it is about one."""
    seconds: Fraction | None = None
    """How long it is about: by how much too early, how much of two takes lies over each other."""
    other: Place | None = None
    """What it contradicts."""

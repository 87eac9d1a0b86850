"""Makes the values that tell of a setup's drift."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import combinations

from synclint.day.clocktime import DayClock, clock_of, day_clocks, said_by
from synclint.day.forecast import Forecast, TakeOffset
from synclint.day.jams import Planner
from synclint.day.measured import Measurements
from synclint.day.run import OUTSIDE
from synclint.day.schedule import Step
from synclint.drift.assumed import assumed, tolerance_words
from synclint.drift.bounds import Bounds
from synclint.drift.comparisons import points, rates, unused
from synclint.drift.pairs import Gap, Pairs
from synclint.drift.panels import panels
from synclint.drift.plan import Planned
from synclint.drift.values import (
    Bound,
    Cell,
    Drift,
    FramePhase,
    JamPlan,
    LongTake,
    Moment,
    PairRow,
    Peak,
    Row,
    TakeRow,
    Unbounded,
)
from synclint.rig.graphs import ClockGraph, Ending, TimecodeGraph
from synclint.rig.log import Log

_CALLED = {"power back": "power on", "arrive": "arrives", "leave": "leaves"}
_QUIET = frozenset({"set clock", "compare", "move"})
"""What changes no time that the master has given."""
_NOTHING = Measurements()


def drift_of(
    forecast: Forecast,
    timecode: TimecodeGraph,
    clock: ClockGraph,
    log: Log | None = None,
    measured: Measurements = _NOTHING,
) -> Drift:
    """All that is to be told of a setup's drift, with what a log of its days tells where there is one."""
    return _Maker(forecast, timecode, clock, log, measured).drift()


@dataclass(frozen=True)
class _Maker:
    forecast: Forecast
    timecode: TimecodeGraph
    clock: ClockGraph
    log: Log | None
    measured: Measurements

    def drift(self) -> Drift:
        """Everything together."""
        setup, project = self.forecast.setup, self.forecast.setup.project
        return Drift(
            title=setup.title.value or setup.file,
            masters=tuple(dict.fromkeys(self.bounds.called(self.bounds.master_of(key)) for key in self.bounds.keys)),
            tolerance=self.tolerance,
            tolerance_said=tolerance_words(project.tolerance),
            frame=self.frame,
            long_take=self.long_take,
            moments=self.moments,
            rows=tuple(self._rows()),
            pairs=tuple(self._pair_rows()),
            takes=tuple(self._take_rows()),
            unbounded=tuple(self._unbounded()),
            measured=rates(self.bounds, self.measured),
            unused=unused(self.bounds, self.measured),
            plan=self._plan,
            phases=tuple(self._phases()),
            wants_reference=self._wants_reference,
            assumed=tuple(assumed(self.forecast)),
            panels=tuple(panels(self.bounds, points(self.bounds, self.measured))),
        )

    # --- what it rests on ---

    @cached_property
    def bounds(self) -> Bounds:
        """The devices against their masters."""
        return Bounds(self.forecast)

    @cached_property
    def pairs(self) -> Pairs:
        """The pairs that must agree."""
        return Pairs(self.forecast)

    @cached_property
    def frame(self) -> Fraction | None:
        """How long a frame of the project lasts, in seconds."""
        rate = self.forecast.setup.project.rate.value
        return rate.rate.frame if rate else None

    @cached_property
    def tolerance(self) -> Fraction | None:
        """The tolerance in seconds."""
        return self.forecast.setup.project.tolerance_seconds

    @cached_property
    def _plan(self) -> JamPlan | None:
        if self.tolerance is None:
            return None
        given = (self.forecast.setup, self.timecode, self.clock, self.tolerance, self.log, self.measured.oscillators)
        return Planned(Planner(*given), Planner(*given, keep_written=True), self.forecast).told()

    @cached_property
    def long_take(self) -> Fraction | None:
        """The longest take that the days state, or else the longest that they tell of."""
        stated = self.forecast.setup.longest_take
        if stated is not None and stated.value is not None:
            return stated.value
        return max((roll.length for roll in self.forecast.takes), default=None)

    def clock_at(self, at: Fraction) -> str:
        """An instant as people read it."""
        return clock_of(self.forecast.setup, at)

    @cached_property
    def _wraps(self) -> tuple[Fraction, ...]:
        """The wrap of each day that has one."""
        clocks = day_clocks(self.forecast.setup)
        return tuple(clock.instant(clock.day.wrap.value) for clock in clocks if clock.day.wrap.value is not None)

    # --- moments ---

    @cached_property
    def moments(self) -> tuple[Moment, ...]:
        """Every moment at which something happens, and each wrap."""
        happens: dict[Fraction, tuple[int, list[str]]] = {}
        jams = {jam.at for jam in self.forecast.run.jams}
        for step in self.forecast.run.steps:
            if step.what not in _QUIET and (step.what != "jam" or step.at in jams):
                happens.setdefault(step.at, (step.day, []))[1].append(_called(step))
        for roll in self.forecast.run.rolls:
            happens.setdefault(roll.end, (roll.day, []))[1].append("cut")
        clocks = day_clocks(self.forecast.setup)
        for index, clock in enumerate(clocks):
            if clock.day.wrap.value is not None:
                happens.setdefault(clock.instant(clock.day.wrap.value), (index, []))[1].append("wrap")
        return tuple(
            Moment(at, said_by(clocks[day : day + 1], at), ", ".join(dict.fromkeys(what)), _day_called(clocks, day))
            for at, (day, what) in sorted(happens.items())
        )

    def _cells(self, first: str, second: str) -> tuple[Cell, ...]:
        return self.bounds.cells(first, second, [each.at for each in self.moments])

    # --- devices ---

    def _rows(self) -> Iterator[Row]:
        """The devices against their masters, those that are alike together."""
        found: dict[tuple[object, ...], tuple[list[str], Row]] = {}
        for key in self.bounds.keys:
            master = self.bounds.master_of(key)
            if key == master:
                continue
            cells, called = self._cells(key, master), self.bounds.called(key)
            take = self._long_take(key, master) if self._records(key) and self._records(master) else None
            row = Row((), self.bounds.called(master), cells, self._peak(key, master), take)
            found.setdefault((row,), ([], row))[0].append(called)
        for who, row in found.values():
            yield Row(tuple(who), row.against, row.cells, row.peak, row.long_take)

    def _records(self, key: str) -> bool:
        return key != OUTSIDE and self.forecast.setup.devices[key].records

    def _peak(self, key: str, master: str) -> Peak | None:
        """The largest worst case from the first jam on."""
        best: Peak | None = None
        for vertex in self.bounds.line(key, master):
            if vertex.seconds is not None and (best is None or vertex.seconds > best.seconds):
                best = Peak(vertex.seconds, self.clock_at(vertex.at), vertex.at)
        return best

    def _long_take(self, first: str, second: str) -> LongTake | None:
        """The longest take of two devices, begun so that it ends where they are farthest apart."""
        lengths = [each for each in (self.long_take, self.pairs.longest_of((first, second))) if each]
        if not lengths or self.long_take is None:
            return None
        length, best = min(lengths), None
        gap = next(self.pairs.gaps(first, second), None)
        if gap is not None:  # such a take may be one of those in which nobody can say it
            return LongTake(gap.since, self.clock_at(gap.since), length, Bound(None, self._why(first, second, gap)))
        run, turns_of = self.forecast.run, self.forecast.turns_of
        # Between two changes of theirs it is largest at the one or the other.
        ends = {*self._wraps, run.end} | turns_of(first) | turns_of(second)
        for start in sorted(end - length for end in ends if run.start <= end - length and end <= run.end):
            take = self.forecast.take(first, second, start, length)
            if take.total is not None and (best is None or take.total > (best.total.seconds or 0)):
                best = LongTake(start, self.clock_at(start), length, Bound(take.total))
        if best is not None:
            return best
        start = max(run.start, run.end - length)
        return LongTake(start, self.clock_at(start), length, Bound(None, "no bound"))

    # --- pairs ---

    def _pair_rows(self) -> Iterator[PairRow]:
        """The worst pair of each kind."""
        setup = self.forecast.setup
        for pair, case in self.pairs.worst_of_kinds():
            both = self._records(pair.first) and self._records(pair.second)
            yield PairRow(
                kind=pair.kind.value,
                first=setup.called(pair.first),
                second=setup.called(pair.second),
                cells=self._cells(pair.first, pair.second),
                peak=Peak(case.offset.worst, self.clock_at(case.at), case.at),
                long_take=self._long_take(pair.first, pair.second) if both else None,
                rolling=bool(self.forecast.takes),
                unbounded=tuple(map(self._when, self.pairs.gaps(pair.first, pair.second))),
            )

    def _unbounded(self) -> Iterator[Unbounded]:
        """The pairs that must agree and have no bound at some time in their takes."""
        setup = self.forecast.setup
        for pair in self.pairs.different:
            gap = next(self.pairs.gaps(pair.first, pair.second), None)
            if gap is not None:
                both, at = (setup.called(pair.first), setup.called(pair.second)), self.clock_at(gap.since)
                yield Unbounded(*both, at, self._why(pair.first, pair.second, gap), bool(self.forecast.takes))

    def _when(self, gap: Gap) -> str:
        """When two have no bound: when the take begins, or where none is told from when to when."""
        since = self.clock_at(gap.since)
        return since if self.forecast.takes else f"{since} to {self.clock_at(gap.until)}"

    def _why(self, first: str, second: str, gap: Gap) -> str:
        """Why two have no bound; of the two the one that has left the master's time is to be told of."""
        told = [(first, gap.one), (second, gap.two)]
        told.sort(key=lambda each: each[1].time is None or each[1].time.line.root == self.bounds.master)
        return self.bounds.why(*told[0], *told[1], gap.at)

    # --- takes ---

    def _take_rows(self) -> Iterator[TakeRow]:
        """The worst pair of each take; where no take is told, of the longest that there may be."""
        if self.tolerance is None:
            return
        for roll in sorted(self.forecast.takes, key=lambda roll: roll.start):
            take = self._worst_take(self.pairs.recording(roll.devices), [(roll.start, roll.end)])
            if take is not None:
                yield self._take_row(take, "".join(roll.event.words("scene")))
        if not self.forecast.takes and self.long_take is not None:
            # Such a take may end at any moment; it is worst where the labels are.
            spans = [(at - self.long_take, at) for at in self.forecast.edges[1:]]
            spans = [span for span in spans if span[0] >= self.forecast.run.start]
            take = self._worst_take(self.pairs.recording(self.forecast.labelled), spans)
            if take is not None:
                yield self._take_row(take, "")

    def _worst_take(self, keys: list[str], spans: Iterable[tuple[Fraction, Fraction]]) -> TakeOffset | None:
        """The two recordings that are farthest apart at the end of one of some takes."""
        best: TakeOffset | None = None
        for start, end in spans:
            for first, second in combinations(self.pairs.unlike(keys, start, end), 2):
                take = self.pairs.in_take(first, second, start, end)
                if take.total is not None and (best is None or take.total > _total(best)):
                    best = take
        return best

    def _take_row(self, take: TakeOffset, scene: str) -> TakeRow:
        setup, tolerance = self.forecast.setup, self.tolerance or Fraction(0)
        total = _total(take)
        return TakeRow(
            start=self.clock_at(take.start),
            end=self.clock_at(take.end),
            scene=scene,
            length=take.end - take.start,
            first=setup.called(take.first),
            second=setup.called(take.second),
            label=take.label.worst if take.label else Fraction(0),
            slip=take.slip.worst if take.slip else Fraction(0),
            total=total,
            holds_for=self.pairs.fits(take, tolerance) if total > tolerance else None,
        )

    # --- frame phase ---

    @cached_property
    def _unlocked(self) -> list[str]:
        """The cameras whose frames no reference holds."""
        devices = self.forecast.setup.devices
        cameras = (key for key in self.forecast.labelled if devices[key].picture is not None)
        roots = {key: self.clock.root_of(key) for key in cameras}
        return [key for key, root in roots.items() if root.device == key and root.ending is Ending.OWN_CLOCK]

    def _phases(self) -> Iterator[FramePhase]:
        """The odds of a label one frame off, by camera; those that are alike together."""
        if self.frame is None:
            return
        found: dict[Fraction, list[str]] = {}
        for key in self._unlocked:
            peak = self._peak(key, self.bounds.master_of(key))
            if peak is not None:
                found.setdefault(min(peak.seconds / self.frame, Fraction(1)), []).append(self.bounds.called(key))
        for odds, who in found.items():
            yield FramePhase(tuple(who), odds)

    @property
    def _wants_reference(self) -> bool:
        if self.tolerance is None or self.frame is None or not self._unlocked:
            return False
        return self.tolerance < self.frame / 2


def _called(step: Step) -> str:
    """What happens at a moment, in a word or two."""
    scene = "".join(step.event.words("scene")) if step.event is not None and step.what == "roll" else ""
    return f"scene {scene}" if scene else _CALLED.get(step.what, step.what)


def _day_called(clocks: Sequence[DayClock], day: int) -> str:
    """A day by its date, or by its number."""
    dated = clocks[day].day.date.value if day < len(clocks) else None
    return str(dated) if dated is not None else f"day {day + 1}"


def _total(take: TakeOffset) -> Fraction:
    return take.total or Fraction(0)

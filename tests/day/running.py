"""Runs the days of a setup given as text, and asks what each device's time is at a clock time."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from synclint.day.clocktime import day_clocks
from synclint.day.moments import State
from synclint.day.phases import Phases
from synclint.day.run import Run
from synclint.documents.nodes import Document
from synclint.documents.reading import load_text
from synclint.documents.schema import validate
from synclint.findings import Fact
from synclint.rig.build import build
from synclint.rules.framework import Case
from synclint.trade.quantities import parse_clock_time


@dataclass(frozen=True)
class Days:
    """The days of a setup, run through."""

    document: Document
    case: Case

    @property
    def run(self) -> Run:
        return self.case.run

    @property
    def phases(self) -> Phases:
        return self.case.phases

    @cached_property
    def contradictions(self) -> list[str]:
        """What cannot have happened as written, by the names of its kinds."""
        return [each.kind.name for each in self.run.contradictions]

    def instant(self, clock: str, day: int = 0) -> Fraction:
        """A clock time of a day, such as `12:10` or `01:20 +1`, as an instant."""
        return day_clocks(self.case.setup)[day].instant(parse_clock_time(clock))

    def at(self, key: str, clock: str, day: int = 0) -> State:
        """A device at a clock time."""
        return self.run.at(key, self.instant(clock, day))

    def says(self, key: str, clock: str, day: int = 0) -> str:
        """What a device's time is, in few words: `jammed from bag`, `lives on box_a`, `own, set by hand`, `off`."""
        state = self.at(key, clock, day)
        if not state.present:
            return "away"
        if not state.powered:
            return "off"
        if state.time is None:
            return "none"
        if state.time.through:
            return f"lives on {state.time.through[0]}"
        if state.time.hands:
            last = state.time.hands[-1]
            return f"{'let go by' if last.let_go else 'jammed from'} {last.source}"
        return f"own, {state.time.line.origin.value}"

    def line(self, key: str, clock: str, day: int = 0) -> tuple[str, str]:
        """The line of time that a device is on: the device that began it, and how it began."""
        time = self.at(key, clock, day).time
        assert time is not None
        return time.line.root, time.line.origin.name

    def apart(self, first: str, second: str, clock: str, day: int = 0) -> Fraction | None:
        """How far two devices may be apart at a clock time, in seconds; None where it has no bound."""
        offset = self.phases.offset(first, second, self.instant(clock, day))
        return offset.worst if offset else None


def plain(run: Run) -> dict[str, list[object]]:
    """What a run says of each device from change to change, but for where in the file that stands."""
    return {key: [_plain(state) for state in states] for key, states in run.histories.items()}


def _plain(state: State) -> object:
    device = state.device
    said: list[Fact[Any]] = [device.timecode.source, device.timecode.mode, device.timecode.rate, device.timecode_on]
    said += [device.picture.shot_at, device.picture.played_at] if device.picture else []
    said += [device.sound.sample_rate, device.sound.tracks] if device.sound else []
    return (state.since, state.present, state.powered, state.time, [fact.value for fact in said])


def lived(text: str) -> Days:
    """The days of a setup that is right as a document."""
    loaded = load_text(text, "rig.setup.yaml")
    assert loaded.document is not None, [problem.sentence for problem in loaded.problems]
    built = build(loaded.document, ())
    told = [*loaded.problems, *validate(loaded.document), *built.problems]
    assert [problem.sentence for problem in told] == []
    return Days(loaded.document, Case(built.setup))


def shoot(devices: str, events: str, *, links: str = "", day: str = "call: 06:00, wrap: 22:00", more: str = "") -> Days:
    """A rig of these devices on one day of these events; devices, events and links are lines of YAML."""
    return lived(
        "synclint: setup/1\ntitle: A day of a test\nproject: {rate: 25}\n"
        f"days:\n  - {{date: 2026-06-14, {day}, events: [\n{_lines(events, ',', 6)}\n    ]}}\n"
        f"devices:\n{_lines(devices, '', 2)}\n" + (f"links:\n{_lines(links, '', 2, '- ')}\n" if links else "") + more
    )


def _lines(text: str, end: str, indent: int, begin: str = "") -> str:
    """Items of YAML, each on one line or on as many as its braces are open for."""
    items, item = [], ""
    for line in text.strip().splitlines():
        item = f"{item} {line.strip()}".strip()
        if item and item.count("{") == item.count("}"):
            items.append(item)
            item = ""
    assert not item, item
    return "\n".join(f"{' ' * indent}{begin}{each}{end}" for each in items)

"""Everything that a picture of a rig says, before anybody knows where it will stand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from synclint.findings import Finding, Level, listed
from synclint.rig.graphs import ClockGraph, TimecodeGraph
from synclint.rig.model import Setup
from synclint.sheet.rig_folding import Bundle, Folded, Group, folded
from synclint.sheet.rig_layers import MOST_GROUPS, Plan, plan_of
from synclint.sheet.rig_marks import marks_of
from synclint.sheet.rig_wires import wiring_of
from synclint.sheet.rig_words import Label, Speaker, Told, label_of, marks_said, names_of

Mark = tuple[Level, str]
"""How bad, and what stands in the mark: `1, 4 ERROR`."""

MOST_FINDINGS = 60
"""So many findings are written out below the picture; the report has the rest."""


@dataclass(frozen=True, slots=True)
class BoxWords:
    """What stands in the box of a group."""

    name: str
    told: Told
    marks: tuple[Mark, ...]
    through: bool
    count: int
    every: str
    """All of its names, bounded."""

    @property
    def headline(self) -> str:
        """The name, with how many there are."""
        return self.name if self.count == 1 else f"{self.count} × {self.name}"

    @property
    def lines(self) -> tuple[str, ...]:
        """What stands below the name."""
        kind = (self.told.kind,) if self.count > 1 and not self.through else ()
        return (*filter(None, kind), *self.told.lines)


@dataclass(frozen=True, slots=True)
class Content:
    """What a picture shows and says."""

    title: str
    plan: Plan
    boxes: tuple[BoxWords, ...]
    """By group."""
    labels: tuple[Label, ...]
    """By bundle."""
    marks: tuple[tuple[Mark, ...], ...]
    """By bundle."""
    notes: tuple[str, ...]
    findings: tuple[tuple[int, Level, str], ...]

    def bundle(self, index: int) -> Bundle:
        """A bundle by its number."""
        return self.plan.folded.bundles[index]

    def loops(self, index: int) -> bool:
        """Whether a bundle is where a circle comes back."""
        return self.bundle(index).circling and self.plan.goes_back(index)


def content_of(
    setup: Setup,
    timecode: TimecodeGraph,
    clock: ClockGraph,
    findings: Sequence[Finding],
    most: int = MOST_GROUPS,
) -> Content:
    """What the picture of a rig says."""
    marks = marks_of(setup, findings)
    wiring = wiring_of(setup, timecode, clock, marks.links)
    speaker = Speaker(setup, timecode, clock)
    told = {key: speaker.tell(device) for key, device in setup.devices.items()}
    look = {
        key: (device.through, told[key], marks.devices.get(key), key in wiring.only_others)
        for key, device in setup.devices.items()
    }
    masters = [key for _, key in speaker.masters]
    circling = [key for wire in wiring.wires if wire.circling for key in (wire.source, wire.target)]
    whole = folded(setup, wiring.wires, look, (*masters, *circling))
    group_of = {key: index for index, group in enumerate(whole.groups) for key in group.keys}
    important = [group_of[key] for key in marks.devices]
    hidden = {group_of[key] for key in wiring.only_others}
    plan = plan_of(whole, [group_of[key] for key in masters], important, hidden, most)
    levels = [finding.level for finding in findings]
    return Content(
        title=setup.title.value or setup.file,
        plan=plan,
        boxes=tuple(_box(setup, group, told, marks.devices, levels) for group in whole.groups),
        labels=tuple(label_of(bundle, whole.groups, setup) for bundle in whole.bundles),
        marks=tuple(tuple(marks_said(bundle.numbers, levels)) for bundle in whole.bundles),
        notes=tuple(_notes(whole, plan, wiring.left_out, len(wiring.only_others))),
        findings=tuple((number, each.level, each.sentence) for number, each in enumerate(findings, 1)),
    )


def _box(
    setup: Setup,
    group: Group,
    told: Mapping[str, Told],
    marked: Mapping[str, Sequence[int]],
    levels: Sequence[Level],
) -> BoxWords:
    first = group.keys[0]
    names = [setup.called(key) for key in group.keys]
    return BoxWords(
        name=names_of(names),
        told=told[first],
        marks=tuple(marks_said(marked.get(first, ()), levels)),
        through=setup.devices[first].through,
        count=len(group.keys),
        every=listed(names, 60),
    )


def _notes(whole: Folded, plan: Plan, left_out: Mapping[str, int], only_others: int) -> Iterator[str]:
    """What is not drawn, in words."""
    if left_out:
        links = [f"{count} for {carries}" for carries, count in left_out.items()]
        passing = "device that only passes" if only_others == 1 else "devices that only pass"
        things = f", and {only_others} {passing} these on" if only_others else ""
        yield f"Not drawn: links that neither label nor pace ({listed(links)}){things}."
    if plan.cut:
        count = sum(len(whole.groups[group].keys) for group in plan.cut)
        yield f"Not drawn: {count} more devices, for which there is no room; the report has them all."

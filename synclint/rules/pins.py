"""Connectors with several contacts, whose makers do not agree on what each of them does."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from synclint.findings import (
    WHO,
    Amount,
    CheckLine,
    Cost,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    Standing,
    listed,
)
from synclint.rig.model import Device, Link, Port
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.timecode_leads import flow, on_lead
from synclint.rules.wording import PRACTICE

_VOLTAGE = re.compile(r"([0-9]+(?:\.[0-9]+)?) ?V\b")
_MANY = re.compile(r"\b(?:[4-9]|1[0-9])-pin\b")
_CARRIES = {
    "LTC": "timecode",
    "black burst": "genlock",
    "tri-level": "genlock",
    "word clock": "word clock",
}
"""What the signal of a lead is called on a pin."""

_GENLOCK = frozenset({"genlock", "tri-level", "black burst", "reference"})
STRAIGHT_WHY = "a lead is wired straight, pin to pin, unless stated (common practice, no source)"


@dataclass(frozen=True, slots=True)
class _Meeting:
    """Two contacts that a lead joins, and what each does."""

    near: str
    far: str
    gives: str
    takes: str

    @property
    def volts(self) -> float | None:
        """The voltage that one of them puts on the other, which is not made for it; None where neither does."""
        ours, theirs = (_VOLTAGE.search(each) for each in (self.gives, self.takes))
        if ours is None and theirs is None:
            return None
        if ours is not None and theirs is not None:
            return None if _is_input(self.gives) != _is_input(self.takes) else float(ours[1])
        return float((ours or theirs or [0, 0])[1])

    @property
    def clashes(self) -> bool:
        """Whether two outputs meet."""
        return _is_output(self.gives) and _is_output(self.takes)


def _is_output(what: str) -> bool:
    return what.endswith(" out")


def _is_input(what: str) -> bool:
    return what.endswith(" in")


@rule(
    Record(
        name="pins-that-do-not-meet",
        summary="A lead between two connectors of one kind joins contacts that do different things",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.RENTAL,
        why="Connectors look alike and are wired as each maker likes: on a 5-pin one the last pins may be a reference "
        "output, a pulse or 5 V. The wrong lead loses timecode or genlock; a supply on an input may kill it.",
        sources=(PRACTICE,),
        answers=("same plug with another pin-out",),
    )
)
def pins_that_do_not_meet(case: Case) -> Iterator[Yielded]:
    """Follow each contact of a lead from what it does at one end to what it does at the other."""
    for link in case.setup.links:
        ends = _ends(case, link)
        if ends is None:
            continue
        source, out, target, into = ends
        wiring = link.lead.wiring if link.lead is not None else None
        if wiring is not None and wiring.written and wiring.value is None:
            continue  # what cannot be read is told where it stands
        if out.electrics.pins.value and into.electrics.pins.value:
            found = _judged(case, link, ends)
            if found is not None:
                yield found
        elif _alike(out, into) and link.lead is not None and not link.lead.wiring.written:
            yield CheckLine(
                pins_that_do_not_meet.record,
                Mended.RENTAL,
                f"Try the very lead from {source.called} with {WHO}: on {into.electrics.connector.value} the pins "
                "beside timecode differ from maker to maker, and some carry a supply; label it for the pair",
                (target.called,),
                link.place,
            )


def _ends(case: Case, link: Link) -> tuple[Device, Port, Device, Port] | None:
    """The devices and sockets at both ends of a lead, where both are described."""
    if link.by != "lead":
        return None
    source, target = case.setup.devices[link.source.device], case.setup.devices[link.target.device]
    out, into = source.ports.get(link.source.port), target.ports.get(link.target.port)
    return (source, out, target, into) if out is not None and into is not None else None


def _alike(out: Port, into: Port) -> bool:
    """Whether both ends are one kind of connector with many pins."""
    one, other = out.electrics.connector.value, into.electrics.connector.value
    return one is not None and one == other and _MANY.search(one) is not None


def _judged(case: Case, link: Link, ends: tuple[Device, Port, Device, Port]) -> Finding | None:
    """The finding on a lead whose contacts do not meet, or None where they do."""
    _, out, _, into = ends
    ours, theirs = out.electrics.pins.value or {}, into.electrics.pins.value or {}
    wiring = (link.lead.wiring.value if link.lead is not None else None) or {pin: pin for pin in ours if pin in theirs}
    meetings = [
        _Meeting(near, far, ours[near], theirs[far]) for near, far in wiring.items() if near in ours and far in theirs
    ]
    supplies = [each for each in meetings if each.volts is not None and each.gives != each.takes]
    clashes = [each for each in meetings if each.clashes and each not in supplies]
    missing = _missing(link, meetings)
    if not (supplies or clashes or missing):
        return None
    right = _right(ours, theirs)
    if missing and _missing(link, [_Meeting(near, far, ours[near], theirs[far]) for near, far in right.items()]):
        right = {}  # no lead brings what one of the ends has no contact for
    return _finding(case, link, ends, _Faults(tuple(supplies), tuple(clashes), missing, right))


@dataclass(frozen=True, slots=True)
class _Faults:
    """What is wrong with how a lead joins two connectors, and how it would be right."""

    supplies: tuple[_Meeting, ...]
    clashes: tuple[_Meeting, ...]
    missing: str
    right: Mapping[str, str]

    @property
    def says(self) -> str:
        """What meets what, in words."""
        told = [f"{each.gives} ({each.near}) on {each.takes} ({each.far})" for each in (*self.supplies, *self.clashes)]
        return listed([*told, *([f"{self.missing} on nothing that takes it"] if self.missing else [])])


def _missing(link: Link, meetings: list[_Meeting]) -> str:
    """What the lead is there to carry and does not bring to a contact that takes it; an empty text where it does."""
    word = _CARRIES.get(link.carries.value or "")
    if word is None:
        return ""
    names = _GENLOCK if word == "genlock" else frozenset({word})
    brought = any(
        each.gives.removesuffix(" out") in names and each.takes.removesuffix(" in") in names and _is_input(each.takes)
        for each in meetings
        if _is_output(each.gives)
    )
    return "" if brought else f"{word} out"


def _right(ours: Mapping[str, str], theirs: Mapping[str, str]) -> dict[str, str]:
    """The wiring that joins what gives to what takes, and ground to ground; supplies are left open."""
    found = {}
    for near, gives in ours.items():
        if _VOLTAGE.search(gives):
            continue
        wanted = _counterparts(gives)
        far = next((pin for pin, what in theirs.items() if what in wanted), None)
        if far is not None:
            found[near] = far
    return found


def _counterparts(what: str) -> frozenset[str]:
    """What a contact is to be joined to: an output to an input of the same, ground to ground."""
    if what == "ground":
        return frozenset({what})
    for own, other in ((" out", " in"), (" in", " out")):
        if what.endswith(own):
            name = what.removesuffix(own)
            return frozenset(f"{each}{other}" for each in (_GENLOCK if name in _GENLOCK else (name,)))
    return frozenset()


def _finding(case: Case, link: Link, ends: tuple[Device, Port, Device, Port], faults: _Faults) -> Finding:
    """The finding on a lead between two connectors."""
    source, out, target, into = ends
    wiring = link.lead.wiring if link.lead is not None else None
    stated = wiring is not None and wiring.written
    volts = max((each.volts or 0.0 for each in faults.supplies), default=0.0)
    lost = faults.missing.removesuffix(" out")
    costs = [f"{volts:g} V stand on a contact that is not made for it, which may kill it"] if faults.supplies else []
    costs += [f"no {lost} comes to {WHO}"] if lost else []
    costs += ["two outputs drive each other"] if faults.clashes else []
    assumed: tuple[Fact[str], ...] = ()
    if not stated:
        assumed = (Fact("straight", link.place, Standing.ASSUMED, why=STRAIGHT_WHY),)
    amounts = [Amount("contacts that do not meet", _count(faults), "contacts")]
    amounts += [Amount("supply on a contact", volts, "V")] if faults.supplies else []
    way = ", ".join(f"{near} to {far}" for near, far in faults.right.items())
    return pins_that_do_not_meet.record.finding(
        at=wiring.place if wiring is not None and stated else link.place,
        level=Level.ERROR if faults.supplies or lost else None,
        says=f"the lead from {out.key} of {source.called} to {into.key} of {WHO} puts {faults.says}",
        who=(target.called,),
        cause=(source.kind.value, target.kind.value, out.key, into.key, faults.says),
        also=(
            Mention(out.electrics.pins.place, f"the pins of {source.called}"),
            Mention(into.electrics.pins.place, f"the pins of {target.called}"),
        ),
        costs=Cost("; ".join(costs), tuple(amounts), volts),
        fix=Fix(
            f"Do not plug it; have a lead made for the pair, {way}, and label it"
            if way
            else f"Do not plug it: nothing on {source.called} meets {WHO}; feed {WHO} from another socket",
            on_lead(case, link, wiring, "wiring", flow(dict(faults.right))) if way else (),
        ),
        decided_by=assumed,
    )


def _count(faults: _Faults) -> int:
    return len(faults.supplies) + len(faults.clashes) + bool(faults.missing)


RULES: tuple[Rule, ...] = (pins_that_do_not_meet,)

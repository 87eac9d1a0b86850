"""Converters between a camera and a recorder that waits for the timecode in the picture."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from synclint.findings import (
    WHO,
    Amount,
    CheckLine,
    Confirmed,
    Cost,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    SetValue,
    Source,
    Unjudged,
    either,
    listed,
)
from synclint.rig.model import Device, Link
from synclint.rig.paths import EMBEDDED, Way, frame_rate
from synclint.rules.fixed_delays import is_labelled, offsets
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.wording import PRACTICE, a_day
from synclint.trade.quantities import say_duration
from synclint.trade.rates import Rate

_KINDS = Source(
    "ST 12-2:2014, Table 2: timecode in SDI comes as LTC or as VITC, as tabulated in secondary texts",
    Confirmed.TABULATED,
)

_COMES_AS: Mapping[str, frozenset[str]] = {
    "SDI timecode": frozenset({"SDI VITC", "SDI LTC"}),
    "HDMI timecode": frozenset({"HDMI timecode"}),
    "LTC": frozenset({"LTC"}),
}
"""As what kinds of timecode each carrier may bring it."""


@dataclass(frozen=True, slots=True)
class _Passing:
    """A through-thing on the way of a device's timecode, with the leads before and after it."""

    thing: Device
    device: Device
    way: Way
    into: Link
    out: Link


def _passings(case: Case) -> Iterator[_Passing]:
    """Everything that embedded timecode goes through on its way to a device that is labelled by it."""
    for key, offset in offsets(case).items():
        device = case.setup.devices[key]
        if not is_labelled(case, device):
            continue
        told = set()
        for way in offset.delays.timecodes:
            for into, out in pairwise(way.links):
                thing = case.setup.devices[out.source.device]
                embedded = not EMBEDDED.isdisjoint((into.carries.value, out.carries.value))
                if thing.through and embedded and (thing.key, into.place) not in told:
                    told.add((thing.key, into.place))
                    yield _Passing(thing, device, way, into, out)


@rule(
    Record(
        name="converter-drops-the-timecode",
        summary="A recorder waits for timecode in a picture that comes through something that does not pass it",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.TEST_DAY,
        why=(
            "Timecode travels beside the picture in the signal, and a converter hands on only what it was built to: "
            "many pass VITC and not LTC, and between SDI and HDMI many pass none. The picture is fine, so nobody looks."
        ),
        sources=(_KINDS, PRACTICE),
        answers=("converter or router drops or changes embedded timecode", "timecode by HDMI through a converter"),
    )
)
def converter_drops_the_timecode(case: Case) -> Iterator[Yielded]:
    """What goes into a converter is of no kind that it passes, and a device behind it is labelled by what comes out."""
    record = converter_drops_the_timecode.record
    for each in _passings(case):
        kinds = _COMES_AS.get(each.into.carries.value or "")
        passes = each.thing.passes_timecode
        who = (each.device.called,)
        if kinds is None or each.thing.passive.value:
            continue
        if passes.value is None:
            if each.into.carries.value != each.out.carries.value and each.into.carries.value in EMBEDDED:
                lacks = f"which timecode {each.thing.called} passes (able: passes_timecode)"
                yield Unjudged(record, each.thing.place, lacks, who)
        elif kinds.isdisjoint(passes.value):
            yield _dropped(case, each)
        elif not kinds <= set(passes.value):
            kept = listed(sorted(kinds.intersection(passes.value)))
            says = (
                f"{each.thing.called} passes {kept} only: see that {case.setup.called(each.way.source)} sends it and "
                f"{WHO} {either('reads', 'read')} it, by a recorded clip"
            )
            yield CheckLine(record, Mended.TEST_DAY, says, who, passes.place)


def _dropped(case: Case, each: _Passing) -> Yielded:
    """The finding on a device whose timecode does not arrive."""
    device, thing = each.device, each.thing
    behind = [
        key for key, offset in offsets(case).items() if _lives_on(case, key, device.key) and offset.device.records
    ]
    hang = f", and so do {listed(map(case.setup.called, behind))} behind it" if behind else ""
    passed = listed(thing.passes_timecode.value or ()) or "none"
    sent = "timecode" if each.into.carries.value == "LTC" else each.into.carries.value
    other = next((feed for feed in case.timecode.arriving.get(device.key, ()) if feed.port != each.way.port), None)
    instead = ""
    if other is not None:
        instead = f"Set {WHO} to {other.port}, where timecode comes from {case.setup.called(other.source)}, or"
    return converter_drops_the_timecode.record.finding(
        at=device.timecode.source.place,
        says=f"{WHO} {either('takes', 'take')} timecode from {each.way.port}, and {thing.called} on the way passes "
        f"{passed} of the {sent} that goes in",
        who=(device.called,),
        cause=("dropped", thing.key, each.into.place),
        costs=Cost(
            f"files of {WHO} bear zeros, or a time of {either('its', 'their')} own, for {a_day(case)}{hang}",
            (Amount("devices without timecode", 1 + len(behind), "devices"),),
        ),
        fix=Fix(
            f"{instead or f'Wire LTC to {WHO}, or'} take a converter that passes it; then look at a recorded clip",
            (SetValue(device.timecode.source.place, other.port),) if other and device.timecode.source.stated else (),
        ),
        decided_by=(thing.passes_timecode,),
        also=(
            Mention(thing.passes_timecode.place, f"what {thing.called} passes"),
            Mention(each.into.place, f"the lead into {thing.called}"),
        ),
    )


def _lives_on(case: Case, key: str, source: str) -> bool:
    """Whether a device follows another live."""
    feeds = case.timecode.listened.get(key, ())
    return key != source and case.timecode.follows_continuously(key) and any(feed.source == source for feed in feeds)


@rule(
    Record(
        name="converter-changes-the-rate",
        summary="A recorder takes embedded timecode from behind a converter that changes the frame rate",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.TEST_DAY,
        why=(
            "A label counts frames. Where a converter makes 30 frames of 24, labels are missing for six of them: it "
            "repeats numbers or counts anew, and chooses DF or NDF by itself. The label no longer leads back to the "
            "frame that the camera recorded."
        ),
        sources=(PRACTICE, Source("frames out less frames in, a second of labels", Confirmed.ARITHMETIC)),
        answers=("converter or router drops or changes embedded timecode",),
    )
)
def converter_changes_the_rate(case: Case) -> Iterator[Yielded]:
    """The pictures before and after something on the way of embedded timecode count at different rates."""
    for each in _passings(case):
        before, after = frame_rate(each.into), frame_rate(each.out)
        passes = each.thing.passes_timecode.value
        if before is None or after is None or before.counted == after.counted or passes == ():
            continue
        yield _counted_anew(case, each, before, after)


def _counted_anew(case: Case, each: _Passing, before: Rate, after: Rate) -> Yielded:
    """The finding on labels that a converter has to make up, or to leave out."""
    more = after.counted.nominal - before.counted.nominal
    parting = abs(after.counted.fps / before.counted.fps - 1) * 3600
    device, thing = each.device, each.thing
    name = "labels made up" if more > 0 else "labels left out"
    count = "; DF or NDF is its choice" if after.counted.fractional and after.counted.nominal == _DROPPING else ""
    what = (
        f"{abs(more)} of every {max(after.counted.nominal, before.counted.nominal)} labels are "
        f"{'made up' if more > 0 else 'left out'}"
        if more
        else f"whole seconds part by {say_duration(parting)} an hour"
    )
    amounts = (
        (Amount(name, abs(more), "labels a second"),) if more else (Amount("parting", float(parting), "s an hour"),)
    )
    return converter_changes_the_rate.record.finding(
        at=device.timecode.source.place,
        says=f"{WHO} {either('takes', 'take')} the timecode in the picture from {each.way.port}, and {thing.called} on "
        f"the way makes {after.name} of {before.name}",
        who=(device.called,),
        cause=("rate", thing.key, before, after),
        costs=Cost(
            f"{what} {'by' if more else 'behind'} {thing.called}{count}: labels of {WHO} do not lead back to frames of "
            f"{case.setup.called(each.way.source)}",
            amounts,
            float(abs(more)),
        ),
        fix=Fix(
            f"Record before {thing.called}, or wire LTC to {WHO} and set {either('it', 'them')} to "
            f"{after.counted.name}, DF or NDF as post asked"
            if after.counted.fractional and after.counted.nominal == _DROPPING
            else f"Record before {thing.called}, or wire LTC at {after.counted.name} to {WHO}"
        ),
        also=(Mention(each.into.place, f"{before.name} goes in"), Mention(each.out.place, f"{after.name} comes out")),
    )


_DROPPING = 30
"""The labels of a second at which DF and NDF are told apart."""


RULES: tuple[Rule, ...] = (converter_drops_the_timecode, converter_changes_the_rate)

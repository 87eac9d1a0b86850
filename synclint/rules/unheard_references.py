"""A reference that is plugged into a device and that it does not listen to."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from synclint.day.phases import Offset
from synclint.findings import (
    WHO,
    Amount,
    Confirmed,
    Cost,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    Source,
    either,
    listed,
)
from synclint.rig.graphs import Feed
from synclint.rig.model import OWN_CLOCK, Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.generations import deciding
from synclint.rules.loops import between_clocks, sliding
from synclint.rules.moments import in_frames
from synclint.rules.picture_timing import at_mixers
from synclint.rules.plugged_references import only_unheard, unheard, would_pace
from synclint.rules.references_used import reference_edit
from synclint.rules.wall_sync import loose_at_walls
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration


@rule(
    Record(
        name="reference-fed-but-on-own-clock",
        summary="A reference is plugged into a device that is set to its own clock",
        level=Level.WARNING,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="The lead on the body makes everybody believe that it is locked. It goes by its own clock, and so does all "
        "that it paces in turn; it looks right at the head of a take and parts from the rest by its tail.",
        sources=(
            PRACTICE,
            Source("ms = 3.6 × ppm × hours, both clocks added: exact arithmetic", Confirmed.ARITHMETIC),
        ),
        answers=("reference plugged and set to internal", "half-locked rig"),
    )
)
def reference_fed_but_on_own_clock(case: Case) -> Iterator[Yielded]:
    """A reference arrives at a device that paces itself; an error where that costs a take or a switched picture."""
    at_walls = {device.key for _, device, _ in loose_at_walls(case)}
    for key, feed in unheard(case).items():
        if key not in at_walls:  # a tear that wanders over a wall is told where walls are looked at
            yield _fed(case, case.setup.devices[key], feed)


def _fed(case: Case, device: Device, feed: Feed) -> Finding:
    """The finding on a device that does not listen."""
    source, carried = case.setup.called(feed.source), feed.last.carries.value or "a reference"
    behind = [key for key in case.clock.followers.get(device.key, ()) if key not in unheard(case)]
    hang = listed(map(case.setup.called, behind))
    parting = _parting(case, device)
    too_far = parting is not None and case.tolerance is not None and parting.worst > case.tolerance
    facts: tuple[Fact[Any], ...] = deciding(parting.facts) if parting is not None else ()
    grave = _spoils(case, device)
    # What holds whatever the clocks are is not decided by what is assumed of them.
    decides = facts if too_far and not grave else ()
    return reference_fed_but_on_own_clock.record.finding(
        at=device.clock.source.place,
        level=Level.ERROR if too_far or grave else None,
        says=f"{WHO} {either('is', 'are')} fed {carried} from {source} and set to {OWN_CLOCK}"
        + (f", and {hang} {'hangs' if len(behind) == 1 else 'hang'} on {either('it', 'them')}" if hang else ""),
        who=(device.called,),
        cause=("fed", feed.source, carried, feed.port, tuple(behind), too_far or grave),
        costs=_cost(case, device, parting),
        fix=Fix(
            f"Set {WHO} to the {carried} that arrives at {feed.port}, and see {either('it', 'them')} lock",
            (reference_edit(device, feed.port),),
        ),
        also=(Mention(feed.last.place, f"the {carried} from {source}"),),
        decided_by=(device.clock.source, *decides),
        numbers_from=facts,
    )


def _parting(case: Case, device: Device) -> Offset | None:
    """How far a device parts over the longest take, or the day where nobody says that, from those on the reference."""
    root = would_pace(case, device.key).device
    length = _stretch(case)
    if device.through or length is None or root not in case.setup.devices:
        return None
    return case.forecast.take(device.key, root, case.run.start, length).slip


def _stretch(case: Case) -> Fraction | None:
    return case.take_seconds or case.day_seconds


def _spoils(case: Case, device: Device) -> bool:
    """Whether pictures roll at a mixer, or a label is lost within a take, since a device does not listen."""
    rolls = any(not held for held, _ in at_mixers(case, device.key))
    return rolls or device.key in case.once(_lose_labels)


def _lose_labels(case: Case) -> frozenset[str]:
    """The clocks between which labels slide so far that one is lost within a take."""
    return frozenset(
        key
        for each in between_clocks(case)
        if only_unheard(case, each.writer.key, each.device.key) and sliding(case, each.pace, each.other)[1] is None
        for key in (each.pace.key, each.other.key)
    )


def _cost(case: Case, device: Device, parting: Offset | None) -> Cost:
    """How far it parts by the end of a take, beside what is tolerated."""
    root = would_pace(case, device.key).device
    rest, length = case.setup.called(root), _stretch(case)
    parts = f"{WHO} {either('parts', 'part')} from {rest} and all that is on it"
    if parting is None or length is None:
        return Cost(f"{parts}, by how much nobody can say")
    over = "over the longest take of" if case.take_seconds else "over the day of"
    says = f"{parts} by up to {in_frames(case, parting.worst)} {over} {say_duration(length)}"
    if case.tolerance is not None:
        past = parting.worst > case.tolerance
        tolerated = say_duration(case.tolerance)
        says += f", where {tolerated} is tolerated" if past else f", within the {tolerated} that is tolerated"
    amounts = [Amount("apart over a take", float(parting.worst * 1000), "ms")]
    for _, cost in at_mixers(case, device.key)[:1]:
        says += f"; in the mixer {cost.says}"
        amounts += cost.amounts
    return Cost(says, tuple(amounts), float(parting.worst))


RULES: tuple[Rule, ...] = (reference_fed_but_on_own_clock,)

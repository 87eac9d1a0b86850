"""Radio groups that share a group number and a channel, so that receivers hear the wrong sender."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from synclint.findings import (
    Amount,
    Cost,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    listed,
)
from synclint.rig.model import RadioGroup
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.wording import PRACTICE, a_day


@dataclass(frozen=True, slots=True)
class _OnAir:
    """A radio group with who sends and who receives in it."""

    group: RadioGroup
    senders: tuple[str, ...]
    receivers: tuple[str, ...]


@rule(
    Record(
        name="same-group-and-channel",
        summary="Two radio groups with a sender each are on one group number and channel",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="A receiver takes the time of whichever sender it hears best. Half the set follows the neighbour, now and "
        "then and sometimes in the middle of a take.",
        sources=(PRACTICE,),
        answers=("group or channel clash, or a second transmitter",),
    )
)
def same_group_and_channel(case: Case) -> Iterator[Yielded]:
    """Two groups have one group and channel, bands that overlap, and not one sender."""
    groups = [_on_air(case, group) for group in case.setup.radio_groups]
    for one, other in combinations(groups, 2):
        if one.senders and other.senders and one.senders != other.senders and _alike(one.group, other.group):
            yield _clash(case, one, other)


def _on_air(case: Case, group: RadioGroup) -> _OnAir:
    """Who is in a group."""
    hops = [link for link in case.setup.links if link.by == "radio" and link.place == group.place]
    return _OnAir(
        group,
        tuple(dict.fromkeys(link.source.device for link in hops)),
        tuple(dict.fromkeys(link.target.device for link in hops)),
    )


def _alike(one: RadioGroup, other: RadioGroup) -> bool:
    """Whether receivers of two groups cannot tell their senders apart, as far as is stated."""
    numbers = [(one.group.value, other.group.value), (one.channel.value, other.channel.value)]
    if any(a != b for a, b in numbers) or not any(a is not None for a, _ in numbers):
        return False
    ours, theirs = one.band.value, other.band.value
    return ours is None or theirs is None or (ours[0] <= theirs[1] and theirs[0] <= ours[1])


def _clash(case: Case, one: _OnAir, other: _OnAir) -> Finding:
    """The finding on two groups that are one on the air."""
    first, second = one.group, other.group
    numbers = [
        f"{name} {fact.value}" for name, fact in (("group", first.group), ("channel", first.channel)) if fact.value
    ]
    ours, theirs = (listed(map(case.setup.called, each.senders)) for each in (one, other))
    receivers = tuple(dict.fromkeys((*one.receivers, *other.receivers)))
    hear = tuple(key for key in receivers if key not in (*one.senders, *other.senders)) or receivers
    at = second.channel if second.channel.written else second.group
    return same_group_and_channel.record.finding(
        at=at.place,
        says=f"the radio groups {first.key} and {second.key} are both on {listed(numbers)}, and {ours} sends in one "
        f"and {theirs} in the other",
        who=tuple(map(case.setup.called, (*one.senders, *other.senders))),
        costs=Cost(
            f"{listed(map(case.setup.called, hear))} may take the time of either at any moment of {a_day(case)}, and "
            "with it labels that are off by seconds or hours",
            (Amount("receivers that may follow the wrong sender", len(hear), "devices"),),
            len(hear),
        ),
        fix=Fix(f"Give {second.key} a channel of its own, on {theirs} and all its receivers, and count the members"),
        also=(Mention((first.channel if first.channel.written else first.group).place, f"the same in {first.key}"),),
    )


RULES: tuple[Rule, ...] = (same_group_and_channel,)

"""Rules about units that have timecode of their own and are cut together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from synclint.findings import (
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
    SetValue,
    Source,
    Unjudged,
)
from synclint.rig.model import Device, Unit
from synclint.rules.cures import setup_edits
from synclint.rules.framework import MAIN_UNIT, Case, Yielded, rule
from synclint.rules.label_rates import HOUR, Relation, Standard, clear, meant, relation, said, standards
from synclint.rules.rate_costs import conversion
from synclint.rules.spans import say_speed
from synclint.trade.quantities import say_duration, say_frequency
from synclint.trade.rates import LabelRate

_ONE_BASE = Source("one frame base and one sample rate for all units; common practice, no source", Confirmed.PRACTICE)
_SUM = Source("exact arithmetic on 1000/1001", Confirmed.ARITHMETIC)

_PULLED = Fraction(2, 1000)
"""A pull changes a sample rate by 0.1 %."""


@rule(
    Record(
        name="units-at-different-rates",
        summary="Two units whose material is cut together count or sample at different rates",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.RENTAL,
        why=(
            "Units that share no timecode may have any labels they like, but what is cut into one scene has to have "
            "one rate. A second unit at another rate means a conversion for every shot of it."
        ),
        sources=(_ONE_BASE, _SUM),
        answers=("second unit at another rate, drop flag or sample rate",),
    )
)
def units_at_different_rates(case: Case) -> Iterator[Yielded]:
    """Compare the rates of units that are cut together and have timecode of their own."""
    record, by_unit = units_at_different_rates.record, standards(case)
    for unit, other in _cut_together(case):
        mine, theirs = by_unit.get(unit.key), by_unit.get(other)
        if mine is None or theirs is None or not _has_a_rate(case, unit.key):
            lacks = f"the rates that unit {unit.key} and unit {other} count at"
            yield Unjudged(record, unit.place, lacks)
        elif relation(mine.rate, theirs.rate) is not Relation.SAME:
            yield _other_rate(case, unit, other, mine, theirs)
        samples, others = _sample_rate(case, unit.key), _sample_rate(case, other)
        if samples and others and _unlike(samples.value, others.value):
            yield _other_sample_rate(case, unit, other, samples, others)


def is_to_count(case: Case, device: Device, rate: LabelRate) -> bool:
    """Whether a device counts already what its whole unit is told to count for being cut with another."""
    told = case.once(_told).get(case.domain_of(device.key))
    return told is not None and relation(rate, told) is Relation.SAME


def _told(case: Case) -> dict[str, LabelRate]:
    """The rate that each unit is told to take."""
    by_unit = standards(case)
    told: dict[str, LabelRate] = {}
    for unit, other in _cut_together(case):
        mine, theirs = by_unit.get(unit.key), by_unit.get(other)
        if mine and theirs and _has_a_rate(case, unit.key) and relation(mine.rate, theirs.rate) is not Relation.SAME:
            told.setdefault(unit.key, theirs.rate)
    return told


def _unlike(one: Fraction | None, other: Fraction | None) -> bool:
    """Whether two sample rates differ by more than a pull, which other rules judge."""
    return one is not None and other is not None and abs(one / other - 1) > _PULLED


def _cut_together(case: Case) -> Iterator[tuple[Unit, str]]:
    """Pairs of units that are cut together and do not share timecode, each pair once."""
    units, seen = case.setup.units, set()
    for unit in units.values():
        for name in unit.cut_with.value or ():
            first, other = _domain(case, unit.key), _domain(case, name)
            pair = frozenset((first, other))
            if first == other or pair in seen:
                continue
            seen.add(pair)
            # The one that has a timecode of its own is told of; of two, the one that names the other.
            yield (unit, other) if first != MAIN_UNIT else (units[other], first)


def _domain(case: Case, name: str) -> str:
    unit = case.setup.units.get(name)
    return name if unit is not None and unit.shares_timecode.value is False else MAIN_UNIT


def _has_a_rate(case: Case, domain: str) -> bool:
    """Whether anybody says what a unit counts; one that says nothing only seems to count as the project does."""
    members = (case.setup.devices[key] for key in case.domains.get(domain, ()))
    return any(clear(meant(device, device.timecode.rate)) for device in members)


def _other_rate(case: Case, unit: Unit, other: str, mine: Standard, theirs: Standard) -> Finding:
    """The finding on the label rates of two units that are cut together."""
    how = relation(mine.rate, theirs.rate)
    ours, others = (said(rate) if how is Relation.THOUSANDTH else rate.name for rate in (mine.rate, theirs.rate))
    cure = f"Set all of unit {unit.key} to {others} before its first day, from one sheet for both"
    return units_at_different_rates.record.finding(
        at=mine.fact.place,
        says=f"unit {unit.key} counts {ours} and unit {other} {others}, and the two are cut together",
        level=Level.WARNING if how is Relation.COUNT else None,  # the pictures are alike
        who=_master(case, unit),
        costs=_COUNTS if how is Relation.COUNT else _converted(mine.rate, theirs.rate),
        fix=Fix(cure, setup_edits(case, SetValue(mine.fact.place, theirs.rate.name))),
        decided_by=(mine.fact, theirs.fact, unit.shares_timecode),
        also=(Mention(theirs.fact.place, f"unit {other}: {theirs.rate.name}"), Mention(unit.place, f"unit {unit.key}")),
    )


_COUNTS = Cost(
    "no picture has to be converted; what is timed by labels comes out 108 labels (3.6 s) an hour apart, and a "
    "timeline counts in one way only",
    (Amount("an hour of labels differs by", 108.0, "labels"),),
    1.0,
)


def _converted(mine: LabelRate, theirs: LabelRate) -> Cost:
    """What becomes of the pictures; the labels of the two have nothing in common that could part."""
    change = abs(theirs.rate.counted.fps / mine.rate.counted.fps - 1)
    amount = Amount("change of speed", float(change * 100), "%")
    return Cost(conversion(mine, theirs), (amount,), float(change))


def _master(case: Case, unit: Unit) -> tuple[str, ...]:
    return (case.setup.called(unit.master.value),) if unit.master.value else ()


def _sample_rate(case: Case, domain: str) -> Fact[Fraction] | None:
    """The sample rate of a unit: what the project says of the main one, else what most of its sound is recorded at."""
    project = case.setup.project.sample_rate
    if domain == MAIN_UNIT and project.value is not None:
        return project
    devices = (case.setup.devices[key] for key in case.domains.get(domain, ()))
    every = (device.sound.sample_rate for device in devices if device.sound and not device.trigger.value)
    facts = [(fact, fact.value) for fact in every if fact.value is not None]
    counts = Counter(value for _, value in facts)
    return max(facts, key=lambda known: counts[known[1]], default=(None, None))[0]


def _other_sample_rate(case: Case, unit: Unit, other: str, mine: Fact[Fraction], theirs: Fact[Fraction]) -> Finding:
    """The finding on the sample rates of two units that are cut together; conversion is routine, so a warning."""
    ours, others = mine.value or Fraction(1), theirs.value or Fraction(1)
    name, wanted = say_frequency(ours), say_frequency(others)
    plays = HOUR * ours / others
    change = abs(others / ours - 1)
    return units_at_different_rates.record.finding(
        at=mine.place,
        level=Level.WARNING,
        says=f"unit {unit.key} records sound at {name} and unit {other} at {wanted}, and the two are cut together",
        who=_master(case, unit),
        costs=Cost(
            f"every file is converted; one that is read as {wanted} plays {say_speed(others / ours)}, an hour in "
            f"{say_duration(plays)}",
            (Amount("an hour plays in", float(plays), "s"),),
            float(change),
        ),
        fix=Fix(f"Record all of unit {unit.key} at {wanted}", setup_edits(case, SetValue(mine.place, wanted))),
        decided_by=(mine, theirs, unit.shares_timecode),
        also=(Mention(theirs.place, f"unit {other}: {wanted}"),),
    )


RULES = (units_at_different_rates,)

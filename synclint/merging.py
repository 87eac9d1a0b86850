"""What becomes of many findings: like ones become one, and all stand in the order of the work."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from synclint.findings import WHO, CheckLine, Cost, Finding, Hurts, Mended, Mention, told

LOOKED_AT = {
    Mended.RENTAL: "At the rental house",
    Mended.TEST_DAY: "On the test day",
    Mended.MORNING: "Before the first take",
    Mended.SET: "Through the day",
    Mended.POST: "In post",
}
"""When something is looked at, as a heading says it."""


def looked_at(lines: Iterable[CheckLine]) -> list[tuple[str, tuple[str, ...]]]:
    """The checklist under its headings, in the order of the day; what has no hour of its own comes first."""
    found = []
    every = sorted(lines, key=lambda line: (line.by is not None, line.by or 0))
    for when, heading in LOOKED_AT.items():
        told = tuple(dict.fromkeys(line.sentence for line in every if line.when is when))
        if told:
            found.append((heading, told))
    return found


_HURTS, _MENDED = list(Hurts), list(Mended)


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    """Findings in the order of the work: whom they hurt, where they are mended, how bad they are, where they stand."""
    return sorted(
        findings,
        key=lambda each: (
            _HURTS.index(each.record.hurts),
            _MENDED.index(each.mended),
            each.level.rank,
            each.at.order,
        ),
    )


def merged(findings: Iterable[Finding]) -> list[Finding]:
    """Findings with one cause as one finding that lists its devices and places; the heaviest cost is told."""
    groups: dict[object, list[Finding]] = {}
    for index, finding in enumerate(findings):
        key = index if finding.cause is None else (finding.rule, finding.level, finding.cause)
        groups.setdefault(key, []).append(finding)
    return [_as_one(group) for group in groups.values()]


def _as_one(group: list[Finding]) -> Finding:
    """One finding for several like ones, standing where the first of them stands."""
    if len(group) == 1:
        return group[0]
    first = min(group, key=lambda finding: finding.at.order)
    others = (Mention(each.at, told(f"{WHO}", each.who)) for each in group if each.at != first.at)
    edits = tuple(dict.fromkeys(edit for each in group if each.fix for edit in each.fix.edits))
    return replace(
        first,
        costs=_one_cost([each.costs for each in group if each.costs]),
        fix=replace(first.fix, edits=edits) if first.fix else None,
        who=tuple(dict.fromkeys(name for each in group for name in each.who)),
        also=tuple(dict.fromkeys((*others, *(mention for each in group for mention in each.also)))),
        decided_by=tuple(dict.fromkeys(fact for each in group for fact in each.decided_by)),
        numbers_from=tuple(dict.fromkeys(fact for each in group for fact in each.numbers_from)),
    )


def _one_cost(costs: list[Cost]) -> Cost | None:
    """The heaviest of several like costs, with the devices of all counted together."""
    if not costs:
        return None
    heaviest = max(costs, key=lambda cost: cost.weight)
    every = [amount for cost in costs for amount in cost.amounts]
    amounts = (
        replace(amount, value=sum(each.value for each in every if each.name == amount.name))
        if amount.unit == "devices"
        else amount
        for amount in heaviest.amounts
    )
    return replace(heaviest, amounts=tuple(amounts))

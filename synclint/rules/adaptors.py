"""Adaptors between balanced and unbalanced sockets, and what becomes of the cold leg in them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

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
    Record,
    Source,
    Unjudged,
    unknown,
)
from synclint.rig.lines import Lines
from synclint.rig.model import Lead, Link
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.input_levels import LevelAt, levels_at_inputs
from synclint.rules.plugs import brings_both_legs
from synclint.rules.timecode_leads import Arrival, arrivals, on_lead, say_db, say_vpp, socket
from synclint.rules.wording import PRACTICE, a_day
from synclint.trade.levels import decibels

_TRANSFORMER = "transformer"


@rule(
    Record(
        name="cold-leg-left-to-itself",
        summary="An adaptor between balanced and unbalanced leaves the cold leg open, or shorts it",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.RENTAL,
        why="Half the signal of a balanced output is on its cold leg. Left open or shorted it is lost, 6 dB; of an "
        "output that floats all of it is. With both devices on mains it hums besides, though it worked on the bench.",
        sources=(PRACTICE, Source("Half the voltage is 6.02 dB less", Confirmed.ARITHMETIC)),
        answers=("balanced to unbalanced adaptor with the cold leg open or shorted",),
    )
)
def cold_leg_left_to_itself(case: Case) -> Iterator[Yielded]:
    """Judge what each adaptor does with the cold leg, by whether the balanced socket is driven or floats."""
    for arrival in arrivals(case):
        output, lead = arrival.output, arrival.link.lead
        if output is None or lead is None or arrival.source.through or brings_both_legs(arrival):
            continue
        out, into = bool(output.electrics.balanced.value), bool(arrival.port.electrics.balanced.value)
        if out and not into and not lead.wiring.written:
            yield from _from_balanced(case, arrival, lead)
        elif into and not out and lead.cold_leg.value == "open":
            yield _into_balanced(case, arrival)


def _from_balanced(case: Case, arrival: Arrival, lead: Lead) -> Iterator[Yielded]:
    """Judge an adaptor at a balanced output."""
    record, called = cold_leg_left_to_itself.record, arrival.device.called
    how = lead.cold_leg.value
    floats = arrival.output.electrics.transformer.value if arrival.output is not None else None
    jack = socket(arrival.source, arrival.link.source.port)
    if how is None:
        lacks = f"what the lead from {arrival.source.called} to {called} does with the cold leg (links: cold_leg)"
        yield Unjudged(record, arrival.link.place, lacks, (called,))
    elif how == "to ground" and floats is None:
        place = arrival.output.place if arrival.output is not None else arrival.source.place
        yield Unjudged(record, place, f"whether {jack} floats on a transformer (transformer)", (called,))
    elif how == "open" or (how == "to ground" and not floats):
        yield _lost(case, arrival, lead.cold_leg, floats=bool(floats))


def _lost(case: Case, arrival: Arrival, how: Fact[str], *, floats: bool) -> Finding:
    """The finding on a cold leg that is open or shorted at a balanced output."""
    level = _level(case, arrival)
    whole = case.once(_with_transformers).get(id(arrival.link))
    lost = decibels(whole / level.volts) if level is not None and level.volts and whole else None
    silent = floats and how.value == "open"
    unread = level is not None and (level.below or not level.volts)
    shorts = "; the shorted leg works into nothing and may distort" if how.value == "to ground" else ""
    cost = f"no code comes to {WHO}: without the cold leg there is no way back"
    if not silent:
        down = f"{say_db(lost)} are lost" if lost is not None else "half the level is lost, 6 dB"
        left = f", and {say_vpp(level.volts)} come to {WHO}" if level is not None else ""
        reads = f", which reads from {say_vpp(level.low)}" if unread and level is not None else ""
        cost = f"{down}{left}{reads}{shorts}"
    amounts = () if silent or lost is None else (Amount("level lost", lost, "dB"),)
    if silent or unread:
        amounts = (*amounts, Amount("devices without timecode", 1, "devices"))
    return cold_leg_left_to_itself.record.finding(
        at=how.place,
        level=Level.ERROR if silent or unread else None,
        says=f"the lead from {arrival.source.called} to {arrival.port.key} of {WHO} leaves the cold leg of a balanced "
        f"output {'open' if how.value == 'open' else 'shorted to ground'}",
        who=(arrival.device.called,),
        cause=(arrival.source.key, arrival.link.source.port, how.value, bool(unread)),
        costs=Cost(f"{cost}{_hum(arrival)}", amounts, lost or 0.0),
        fix=Fix(
            f"Take a lead with a transformer to {WHO}, wired from pin 2 and pin 3, and label it",
            on_lead(case, arrival.link, how, "cold_leg", _TRANSFORMER),
        ),
        numbers_from=level.stands.rests_on if level is not None else (),
    )


def _into_balanced(case: Case, arrival: Arrival) -> Finding:
    """The finding on a balanced input whose cold contact is left open."""
    floats = bool(arrival.port.electrics.transformer.value)
    how = arrival.link.lead.cold_leg if arrival.link.lead is not None else unknown(arrival.link.place)
    cost = (
        f"no code comes to {WHO}: its transformer has no way back"
        if floats
        else f"the open contact picks up hum, and {WHO} may lose labels for {a_day(case)}"
    )
    return cold_leg_left_to_itself.record.finding(
        at=how.place,
        level=Level.ERROR if floats else None,
        says=f"the lead from {arrival.source.called} leaves the cold contact of {arrival.port.key} of {WHO} open",
        who=(arrival.device.called,),
        cause=(arrival.source.key, arrival.link.source.port, floats),
        costs=Cost(f"{cost}{_hum(arrival)}", (Amount("contacts left open", 1, "contacts"),)),
        fix=Fix(
            f"Take a lead to {WHO} that joins pin 3 to pin 1, and label it",
            on_lead(case, arrival.link, how, "cold_leg", "to ground"),
        ),
    )


def _hum(arrival: Arrival) -> str:
    """What comes on top where both ends stand on mains."""
    both = arrival.source.power.source.value == "mains" and arrival.device.power.source.value == "mains"
    return "; both devices are on mains, and it hums as soon as the lead joins their earths" if both else ""


def _level(case: Case, arrival: Arrival) -> LevelAt | None:
    """What stands at the input with the lead as it is."""
    return case.once(_by_arrival).get(id(arrival))


def _by_arrival(case: Case) -> dict[int, LevelAt]:
    """The levels at all inputs, by the identity of the lead's arrival."""
    return {id(each.arrival): each for each in case.once(levels_at_inputs) if isinstance(each, LevelAt)}


def _with_transformers(case: Case) -> dict[int, Fraction]:
    """What would stand at the end of each lead with an adaptor if that had a transformer, by the lead's identity."""
    swapped: dict[int, Link] = {}
    for link in case.setup.links:
        if link.lead is not None and link.lead.cold_leg.value not in (None, _TRANSFORMER):
            lead = replace(link.lead, cold_leg=replace(link.lead.cold_leg, value=_TRANSFORMER))
            swapped[id(link)] = replace(link, lead=lead)
    lines = Lines(replace(case.setup, links=tuple(swapped.get(id(link), link) for link in case.setup.links)))
    found = {}
    for key, link in swapped.items():
        line = lines.of(link)
        stands = lines.stands(line, link.target) if line is not None else None
        if stands is not None and stands.volts:
            found[key] = stands.volts
    return found


RULES: tuple[Rule, ...] = (cold_leg_left_to_itself,)

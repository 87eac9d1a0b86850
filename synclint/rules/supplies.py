"""Inputs that feed a microphone, and the timecode outputs that get that voltage instead."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
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
    Mention,
    Record,
    Source,
    Standing,
    Unjudged,
)
from synclint.rig.assumed import OUTPUT_OHMS, PHANTOM_POWER, PLUG_IN_POWER
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.timecode_leads import LTC, Arrival, arrivals, on_lead, set_on_socket, socket
from synclint.rules.wording import PRACTICE
from synclint.trade.circuit import GROUND, Element, Resistor, balanced, solve
from synclint.trade.circuit import Source as Feed
from synclint.trade.levels import pad
from synclint.trade.quantities import say_number

_ON = "switched on"


@dataclass(frozen=True, slots=True)
class _Supply:
    """A voltage that an input puts on its lead to feed a microphone."""

    called: str
    key: str
    fact: Fact[str]
    volts: Fraction
    ohms: Fraction
    why: str


@rule(
    Record(
        name="microphone-power-on-a-timecode-output",
        summary="An input feeds a microphone while a timecode output is plugged into it",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="Plug-in power stands on the generator's output as a bias: its code is bent or hums. An output that blocks "
        "it bears it; so does one behind a lead with a transformer or a capacitor.",
        sources=(PRACTICE, Source("Plug-in power, from memory", Confirmed.MEMORY)),
        answers=("plug-in power on the timecode input",),
    )
)
def microphone_power_on_a_timecode_output(case: Case) -> Iterator[Yielded]:
    """Compare the plug-in power of each input that LTC reaches with what the output bears."""
    for arrival in _open_to_supplies(case):
        power = arrival.port.electrics.plug_in_power
        yield from _judged(case, arrival, _Supply("plug-in power", "plug_in_power", power, *PLUG_IN_POWER))


@rule(
    Record(
        name="phantom-power-on-a-timecode-output",
        summary="An input has phantom power on while a timecode output is plugged into it",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.MORNING,
        why="48 V drive a current through a timecode output that does not block them, and may kill it: a box is gone, "
        "and its camera has no timecode for the day. One that blocks has all 48 V on its capacitor, which is there for "
        "the few volts of plug-in power. A lead with a transformer or a capacitor made for it keeps them away.",
        sources=(PRACTICE, Source("Phantom power as in IEC 61938, from memory", Confirmed.MEMORY)),
        answers=("phantom power on the timecode input",),
    )
)
def phantom_power_on_a_timecode_output(case: Case) -> Iterator[Yielded]:
    """Compare the phantom power of each input that LTC reaches with what the output bears."""
    for arrival in _open_to_supplies(case):
        power = arrival.port.electrics.phantom_power
        yield from _judged(case, arrival, _Supply("phantom power", "phantom_power", power, *PHANTOM_POWER))


def _open_to_supplies(case: Case) -> Iterator[Arrival]:
    """The inputs that LTC reaches by a lead that keeps no supply away."""
    for arrival in arrivals(case):
        lead = arrival.link.lead
        if lead is None or not (lead.cold_leg.value == "transformer" or lead.dc_blocked.value):
            yield arrival


def _judged(case: Case, arrival: Arrival, supply: _Supply) -> Iterator[Yielded]:
    """Judge one supply: phantom power does harm to any output, plug-in power to one that does not block it."""
    record = _record(supply)
    blocked = arrival.output.electrics.dc_blocked if arrival.output is not None else None
    bears = blocked.value if blocked is not None else None
    phantom = supply.key == "phantom_power"
    called = arrival.device.called
    if supply.fact.value == _ON:
        if bears is None and not phantom:
            place = arrival.output.place if arrival.output is not None else arrival.source.place
            lacks = f"whether {socket(arrival.source, arrival.link.source.port)} blocks a supply voltage (dc_blocked)"
            yield Unjudged(record, place, lacks, (called,))
        elif phantom or bears is False:
            yield _fed(case, arrival, supply, bears=bool(bears))
    elif supply.fact.value is None and supply.fact.written is False and bears is False and _can_feed(arrival, supply):
        lacks = f"whether {supply.called} at {socket(arrival.device, arrival.port.key)} is switched off"
        yield Unjudged(record, arrival.port.place, lacks, (called,))


def _can_feed(arrival: Arrival, supply: _Supply) -> bool:
    """Whether an input that says nothing of a supply is likely to have it: a microphone input has plug-in power."""
    phantom = arrival.port.electrics.phantom_power
    return arrival.as_sound and supply.key == "plug_in_power" and phantom.value is None and not phantom.written


def _fed(case: Case, arrival: Arrival, supply: _Supply, *, bears: bool) -> Finding:
    """The finding on an output that gets a supply voltage."""
    ohms = arrival.output.electrics.source_impedance if arrival.output is not None else None
    assumed = OUTPUT_OHMS[LTC]
    known = ohms.value if ohms is not None and ohms.value is not None else None
    source = known if known is not None else assumed.usual
    bias = float(supply.volts if bears else _bias(arrival, supply, source))
    jack = socket(arrival.source, arrival.link.source.port)
    facts: list[Fact[Fraction]] = [Fact(supply.volts, supply.fact.place, Standing.ASSUMED, why=supply.why)]
    if known is None and not bears:
        facts.append(Fact(assumed.usual, supply.fact.place, Standing.ASSUMED, why=assumed.why))
    settable = supply.fact.place.span.file == case.setup.file and "able" not in supply.fact.place.path[2:]
    off = f"Switch {supply.called} off at {arrival.port.key} of {WHO} before the lead is plugged, headphones down"
    return _record(supply).finding(
        at=supply.fact.place,
        level=Level.WARNING if bears else None,
        says=f"{supply.called} is on at {arrival.port.key} of {WHO}, where LTC comes in from {jack}",
        who=(arrival.device.called,),
        cause=(supply.key, arrival.source.key, arrival.link.source.port, settable),
        also=(Mention(arrival.link.place, f"the lead from {arrival.source.called}"),),
        costs=Cost(
            f"all {say_number(Fraction(bias), 2)} V stand on the capacitor that blocks {jack}, since nothing flows; "
            "nobody says that it bears more than plug-in power"
            if bears
            else _unblocked_cost(bias, jack, supply),
            (Amount("bias on the output", bias, "V"),),
            bias,
        ),
        fix=Fix(off, set_on_socket(case, arrival.port, supply.fact, supply.key, "switched off"))
        if settable
        else Fix(
            f"Take a lead to {WHO} with a transformer or a capacitor in it: the input cannot switch its supply off",
            on_lead(case, arrival.link, None, "dc_blocked", "true"),
        ),
        numbers_from=facts,
    )


def _record(supply: _Supply) -> Record:
    """Under which record a supply is told."""
    is_phantom = supply.key == "phantom_power"
    return (phantom_power_on_a_timecode_output if is_phantom else microphone_power_on_a_timecode_output).record


def _unblocked_cost(bias: float, jack: str, supply: _Supply) -> str:
    """What a supply does to an output that does not block it."""
    volts = f"some {say_number(Fraction(bias), 2)} V stand on {jack}"
    if supply.key != "phantom_power":
        return f"{volts}: its code hums or bends, at worst the output dies"
    return f"{volts}, more as the plug goes in: at worst the output dies, else its code hums or bends"


def _bias(arrival: Arrival, supply: _Supply, source: Fraction) -> Fraction:
    """What stands on an output that does not block a supply: the supply's own resistor, a pad, and the output in turn.

    Phantom power comes down both legs of a balanced lead alike, so that a leg has half the output's impedance.
    """
    pair = arrival.port.electrics.balanced.value and arrival.output and arrival.output.electrics.balanced.value
    hot, cold, near = "output", "cold leg" if pair else GROUND, "input"
    lead = arrival.link.lead
    pad_db = lead.pad.value if lead is not None and lead.pad.value is not None else 0
    elements: list[Element] = [Feed(near, supply.volts, supply.ohms), *pad(hot, near, pad_db, return_node=cold)]
    if pair:
        elements += [*balanced(hot, cold, 0, source)]
        elements += [Feed(cold, supply.volts, supply.ohms)] if supply.key == "phantom_power" else []
    else:
        elements.append(Resistor(hot, GROUND, source))
    return abs(solve(elements).at(hot) or Fraction(0))


RULES: tuple[Rule, ...] = (microphone_power_on_a_timecode_output, phantom_power_on_a_timecode_output)

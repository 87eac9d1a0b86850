"""Cameras at film rate on a television reference, which does not tell them where their frames begin."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

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
    Standing,
    either,
    listed,
)
from synclint.rig.model import Port
from synclint.rules.better_reference import FILM, TELEVISION, better_format, format_edits, readable
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.references_used import VIDEO, OnReference, frame_rate_of, on_references
from synclint.rules.timecode_leads import set_on_socket
from synclint.trade.quantities import say_duration
from synclint.trade.rates import Rate
from synclint.trade.references import Places, places_on


@rule(
    Record(
        name="reference-leaves-the-frame-open",
        summary="Cameras at 23.976 hang on a 59.94 reference that does not say where their frames begin",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="Four frames of 23.976 last as long as five of 29.97, so that a camera may sit on any of five places and "
        "takes another one each time it is switched on; every one of them shows that it is locked. Ten-field "
        "identification on the reference tells which place is meant, where cameras read it.",
        sources=(
            Source("ST 318, ten-field identification on 525-line black burst, from memory", Confirmed.MEMORY),
            Source("1001/24 ms in five places are 8.34 ms each: exact arithmetic", Confirmed.ARITHMETIC),
        ),
        answers=("23.976 cameras on plain 59.94 black burst",),
    )
)
def reference_leaves_the_frame_open(case: Case) -> Iterator[Yielded]:
    """A camera at 23.976 on a 59.94 reference without a ten-field mark that is given and used."""
    open_ones: dict[str, list[tuple[OnReference, Places, tuple[Fact[str], ...]]]] = {}
    for on in on_references(case):
        rate = frame_rate_of(on.device)
        if on.carries not in VIDEO or on.format is None or rate is None or rate.value is None:
            continue
        able = readable(on.port.formats) if on.port is not None else ()
        refused = bool(able) and not any(each.is_like(on.format) for each in able)
        if rate.value.family != FILM or on.format.family != TELEVISION or refused:
            continue
        marks = _marks(case, on)
        if not all(fact.value == "switched on" for fact in marks):
            places = places_on(rate.value.counted, on.format)
            open_ones.setdefault(case.clock.root_of(on.device.key).device, []).append((on, places, marks))
    for root, found in open_ones.items():
        for on, places, marks in found:
            yield _left_open(case, on, root, places, marks, len(found))


def _marks(case: Case, on: OnReference) -> tuple[Fact[str], ...]:
    """Whether the output bears the ten-field mark, and whether the input reads it; not unless somebody says so."""
    source = case.setup.devices[on.output].ports.get(on.feed.links[0].source.port)
    return _mark(source, on), _mark(on.port, on)


_PLAIN = "a reference is plain, and its ten-field mark unused, unless stated (common practice, no source)"


def _mark(port: Port | None, on: OnReference) -> Fact[str]:
    if port is not None and port.timing.ten_field_mark.written:
        return port.timing.ten_field_mark
    return Fact("switched off", port.place if port else on.link.place, Standing.ASSUMED, why=_PLAIN)


def _left_open(
    case: Case, on: OnReference, root: str, places: Places, marks: tuple[Fact[Any], ...], together: int
) -> Finding:
    """The finding on a camera whose frame may sit on several places."""
    reference = on.format.name if on.format is not None else on.carries
    # One that is stated to be off is enough; what is assumed decides where nobody says that either is.
    stated_off = [fact for fact in marks if fact.stated and fact.value != "switched on"]
    return reference_leaves_the_frame_open.record.finding(
        at=on.link.format.place,
        level=None if together > 1 else Level.WARNING,
        says=f"{WHO} {either('shoots', 'shoot')} 23.976 on the plain {reference} of {case.setup.called(on.output)}, "
        "which does not tell where a frame begins",
        who=(on.device.called,),
        cause=("frame left open", root, reference, bool(stated_off)),
        costs=_open_cost(places, together),
        fix=_say_where(case, on),
        decided_by=(on.link.format, *(stated_off or marks)),
    )


def _open_cost(places: Places, together: int) -> Cost:
    """How many places there are, and how far two cameras may be apart."""
    says = f"each sits on one of {places.count} places {say_duration(places.spacing)} apart, and on another after each "
    says += "power-up"
    amounts = [
        Amount("places", places.count, "places"),
        Amount("between two places", float(places.spacing * 1000), "ms"),
    ]
    if together > 1:
        says += f": up to {say_duration(places.farthest)} between cameras that all say they are locked"
        amounts.append(Amount("cameras apart", float(places.farthest * 1000), "ms"))
    return Cost(says, tuple(amounts), float(places.farthest))


def _say_where(case: Case, on: OnReference) -> Fix:
    """A reference of the camera's own rate where it takes one, else the mark on and used."""
    better = better_format(case, on, Rate(FILM))
    if better is not None and on.port is not None and on.port.takes.value is not None:
        return Fix(f"Give {WHO} {better[1]} {better[0]} from {case.setup.called(on.output)}", format_edits(on, *better))
    output = case.setup.devices[on.output]
    ends = ((output, output.ports.get(on.feed.links[0].source.port)), (on.device, on.port))
    edits = [
        edit
        for _, port in ends
        if port is not None and port.timing.ten_field_mark.value != "switched on"
        for edit in set_on_socket(case, port, port.timing.ten_field_mark, "ten_field_mark", "switched on")
    ]
    never = [device.called for device, port in ends if _cannot(port)]
    if not never and not _is_burst(on):
        return Fix(
            f"Give {WHO} 1080/23.98 PsF from {output.called}, or black burst with ten-field identification; on "
            "tri-level there is none (from memory)"
        )
    if never:
        return Fix(
            f"Take another generator or other cameras, or feed {WHO} a 23.976 format: {listed(never)} "
            f"{'has' if len(never) == 1 else 'have'} no ten-field identification"
        )
    return Fix(
        f"Switch ten-field identification on at {output.called}, see that {WHO} {either('uses', 'use')} it, and film "
        "one flash with all cameras after each power-up",
        tuple(edits),
    )


def _is_burst(on: OnReference) -> bool:
    """Whether the reference is 525-line black burst, which is what ten-field identification belongs to."""
    return on.feed.links[0].carries.value == "black burst"


def _cannot(port: Port | None) -> bool:
    return port is not None and port.timing.able_ten_field_mark.value == "never"


RULES: tuple[Rule, ...] = (reference_leaves_the_frame_open,)

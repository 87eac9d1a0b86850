"""References that a device does not lock to: of a format that it does not take, or of another family of rates."""

from __future__ import annotations

from collections.abc import Iterator
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
    Unjudged,
    either,
    listed,
)
from synclint.rig.model import Port
from synclint.rules.better_reference import FILM, TELEVISION, better_format, format_edits, readable
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.label_rates import odds
from synclint.rules.references_used import (
    VIDEO,
    OnReference,
    accuracies,
    frame_rate_of,
    on_references,
    unlocked,
)
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration
from synclint.trade.rates import Rate
from synclint.trade.references import Reference

_THOUSANDTH = (Fraction(1000, 1001), Fraction(1001, 1000))

_FAMILIES = Source(
    "A device locks to a reference of its own family: {25, 50}, {24}, {30, 60}, {29.97, 59.94}, {23.976}; from memory",
    Confirmed.MEMORY,
)
_FORMATS = Source("ST 274 and ST 296 (tri-level), ST 170 and BT.1700 (bi-level), from memory", Confirmed.MEMORY)


# --- a format that the input does not take ---------------------------------------------------------------------


@rule(
    Record(
        name="reference-not-taken",
        summary="A reference is to come in a format that its input does not lock to, or that its output does not give",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.RENTAL,
        why="Tri-level and black burst are different pulses, and tri-level of one raster is none of another. The menu "
        "says that an outside reference is in use, and a small sign elsewhere says that it is not locked; or it locks "
        "in rate and not in phase.",
        sources=(_FORMATS, PRACTICE),
        answers=("reference format the input does not accept",),
    )
)
def reference_not_taken(case: Case) -> Iterator[Yielded]:
    """Compare what arrives with what the output gives and the input takes, by its signal and by its format."""
    record = reference_not_taken.record
    for on in on_references(case):
        if _of_another_family(case, on):
            continue
        output = case.setup.devices[on.output].ports.get(on.feed.links[0].source.port)
        gives, takes = _refused(on, output, output.gives if output else None), _refused(on, on.port, _takes(on.port))
        if takes is not None and on.port is not None:
            yield _not_taken(case, on, on.port, takes)
        elif gives is not None and output is not None:
            yield _not_given(case, on, output, gives)
        elif on.port is not None and on.carries in VIDEO:
            device = on.device.called
            lacks = f"the format of the reference that reaches {device} (links: format)"
            if on.link.format.written:
                lacks = f"which formats {device} locks to at {on.port.key} (able: ports: formats)"
            if not (on.link.format.written and on.port.formats.written):
                yield Unjudged(record, on.port.place if on.link.format.written else on.link.place, lacks, (device,))


def _takes(port: Port | None) -> Fact[tuple[str, ...]] | None:
    return port.takes if port is not None else None


def _refused(on: OnReference, port: Port | None, signals: Fact[tuple[str, ...]] | None) -> tuple[str, ...] | None:
    """The signals or formats of a socket, where what is on the lead is none of them."""
    if port is None or signals is None:
        return None
    if signals.value is not None and on.carries not in signals.value:
        return signals.value
    able = readable(port.formats)
    if on.carries not in VIDEO or on.format is None or not able or any(each.is_like(on.format) for each in able):
        return None
    return tuple(each.name for each in able)


def _said(on: OnReference) -> str:
    """What arrives, in words: `tri-level 1080/23.976 PsF`, or `word clock`."""
    return f"{on.carries} {on.format.name}" if on.format is not None else on.carries


def _not_given(case: Case, on: OnReference, output: Port, gives: tuple[str, ...]) -> Finding:
    """The finding on a lead that is to carry what its output does not give."""
    root, named = case.clock.root_of(on.device.key), case.setup.called(on.output)
    better = better_format(case, on, on.format.rate if on.format else None)
    return reference_not_taken.record.finding(
        at=on.link.format.place,
        says=f"{WHO} {either('is', 'are')} to get {_said(on)} from {named} at {output.key}, which gives only "
        f"{listed(gives) or 'nothing'}",
        who=(on.device.called,),
        cause=("not given", on.output, _said(on), output.key, better),
        costs=unlocked(case, on.device, root, "not locked: "),
        fix=Fix(
            f"Take {better[0]} from {output.key} of {named}" if better else f"Take another output of {named} for {WHO}",
            format_edits(on, *better) if better else (),
        ),
        also=(Mention(output.place, "what it gives"),),
        decided_by=(on.link.format, output.formats, output.gives),
        numbers_from=accuracies(case, on.device.key, root.device),
    )


def _not_taken(case: Case, on: OnReference, port: Port, takes: tuple[str, ...]) -> Finding:
    """The finding on a device that does not lock to what it is fed."""
    device, root = on.device, case.clock.root_of(on.device.key)
    rate = frame_rate_of(device)
    better = better_format(case, on, rate.value if rate else None)
    output = case.setup.called(on.output)
    if better:
        fix = Fix(f"Set the leg of {output} that goes to {WHO} to {better[0]}", format_edits(on, *better))
    else:
        leg = f"Give {WHO} {either('a leg of its own', 'legs of their own')} from {output} in {listed(takes)}"
        fix = Fix(f"{leg}, or put a generator that gives it on {WHO}, tied to the other")
    return reference_not_taken.record.finding(
        at=on.link.format.place,
        says=f"{WHO} {either('is', 'are')} fed {_said(on)} at {port.key}, which takes only "
        f"{listed(takes) or 'nothing'}",
        who=(device.called,),
        cause=("not taken", on.output, _said(on), port.key, takes, better),
        costs=unlocked(case, device, root, "not locked: "),
        fix=fix,
        also=(Mention(port.formats.place if on.carries in (port.takes.value or ()) else port.place, "what it takes"),),
        decided_by=(on.link.format, port.formats, port.takes),
        numbers_from=accuracies(case, device.key, root.device),
    )


# --- another family of rates -----------------------------------------------------------------------------------


@rule(
    Record(
        name="reference-of-another-family",
        summary="A reference is of another family of rates than the pictures that it is to pace",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.MORNING,
        why="Nothing locks across families: 50, 59.94 and 60 have no common time, nor have 24 and 23.976. What forces "
        "a lock drops or repeats a frame again and again.",
        sources=(_FAMILIES, Source("60 − 59.94 is a frame in 16.7 s: exact arithmetic", Confirmed.ARITHMETIC)),
        answers=("reference in another rate family",),
    )
)
def reference_of_another_family(case: Case) -> Iterator[Yielded]:
    """Compare the family of a reference with that of what it paces."""
    for on in on_references(case):
        rate = frame_rate_of(on.device)
        if on.carries not in VIDEO or rate is None or on.format is None:
            continue
        if rate.value is None:
            lacks = f"the picture rate of {on.device.called}, which its reference must suit"
            yield Unjudged(reference_of_another_family.record, rate.place, lacks, (on.device.called,))
        elif _of_another_family(case, on) and not _told_by_its_rate(case, on):
            yield _another_family(case, on, on.format, rate)


def _of_another_family(case: Case, on: OnReference) -> bool:
    """Whether a reference is of a family that a device cannot lock to; 23.976 on 59.94 can, with a mark."""
    rate = frame_rate_of(on.device)
    if on.carries not in VIDEO or on.format is None or rate is None or rate.value is None:
        return False
    if on.device.clock.expects.written and on.device.sound is not None and not _told_by_its_rate(case, on):
        return False  # the rule on sound that is paced by a reference tells it
    return rate.value.family not in (on.format.family, FILM if on.format.family == TELEVISION else None)


def _told_by_its_rate(case: Case, on: OnReference) -> bool:
    """Whether the reference is of the project's family and the rate of the device is what is told as wrong."""
    project = case.setup.project.rate.value
    agreed = project is not None and on.format is not None and project.rate.family == on.format.family
    return agreed and any(odd.device.key == on.device.key for odd in odds(case))


def _another_family(case: Case, on: OnReference, reference: Reference, rate: Fact[Rate]) -> Finding:
    """The finding on a device in another family than its reference."""
    own = rate.value or reference.rate
    root = case.clock.root_of(on.device.key)
    better = better_format(case, on, own)
    output = case.setup.called(on.output)
    says = f"Set {output} to {better[0] if better else own.name} for {WHO}"
    works = either("takes", "take") if on.device.picture is not None else either("shows", "show")
    return reference_of_another_family.record.finding(
        at=on.link.format.place,
        says=f"{output} gives {reference.name}, and {WHO} {works} pictures at {own.name}",
        who=(on.device.called,),
        cause=("family", on.output, reference.name, own, works),
        costs=_family_cost(case, on, reference, own),
        fix=Fix(f"{says}, and see the sign that says locked", format_edits(on, *better) if better else ()),
        also=(Mention(rate.place, f"{on.device.called} at {own.name}"),),
        decided_by=(on.link.format, rate),
        numbers_from=accuracies(case, on.device.key, root.device),
    )


def _family_cost(case: Case, on: OnReference, reference: Reference, own: Rate) -> Cost:
    """How often a forced lock loses a frame where the two are a thousandth apart; else what no lock costs."""
    ratio = reference.family / own.family
    if ratio not in _THOUSANDTH:
        return unlocked(case, on.device, case.clock.root_of(on.device.key), "no common time, no lock: ")
    every = 1 / abs(own.fps - own.fps * ratio)
    return Cost(
        f"{WHO} {either('does', 'do')} not lock; what forces it loses or repeats a frame every {say_duration(every)}",
        (Amount("a frame lost or repeated every", float(every), "s"),),
        float(1 / every),
    )


RULES: tuple[Rule, ...] = (reference_not_taken, reference_of_another_family)

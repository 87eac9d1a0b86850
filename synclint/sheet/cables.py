"""The leads to pull: by kind and count, with a spare of each."""

from __future__ import annotations

from collections.abc import Iterator

from synclint.findings import shortened
from synclint.rig.model import Link, Setup
from synclint.sheet.values import Cable
from synclint.trade.quantities import say_number

_ALL_DAY = "all day"
SPARES = 1
"""How many more of each kind to take along (common practice, no source)."""
CARE = (
    "No lead lies loose across a way: tape it down or lift it. Mains and radio bands are for local rules and licensed "
    "people."
)


def cables(setup: Setup) -> tuple[Cable, ...]:
    """The leads of a rig by kind, the most first.

    Leads that are plugged one after another, to jam or to compare, are one lead: it goes from device to device.
    """
    lying: dict[str, dict[object, list[Link]]] = {}
    for link in setup.links:
        if link.by != "lead":
            continue
        once = link.connected.value in (_ALL_DAY, None)
        one_lead = (link.source, link.target) if once else (link.source.device, "goes round")
        lying.setdefault(kind_of(link), {}).setdefault(one_lead, []).append(link)
    found = [
        Cable(kind, len(leads), SPARES, tuple(_between(setup, links) for links in leads.values()))
        for kind, leads in lying.items()
    ]
    return tuple(sorted(found, key=lambda cable: (-cable.count, cable.kind)))


def kind_of(link: Link) -> str:
    """A lead by its ends, whichever way round it is written: `3.5 mm TRS to BNC`; by what it carries where nobody says.

    A pad in it makes it another lead.
    """
    said = link.lead.kind.value if link.lead is not None else None
    if said is None:
        kind = f"lead for {link.carries.value or 'a signal'}, its ends not stated"
    else:
        ends = sorted(end.strip() for end in shortened(said).split(" to "))
        kind = " to ".join(ends)
    pad = link.lead.pad.value if link.lead is not None else None
    return f"{kind} with a {say_number(pad)} dB pad" if pad else kind


def _between(setup: Setup, links: list[Link]) -> str:
    """Where a lead goes: its two ends, or all that it goes round to."""
    first = links[0]
    ends = list(dict.fromkeys(f"{setup.called(link.target.device)} {link.target.port}" for link in links))
    long = max((link.lead.length.value for link in links if link.lead and link.lead.length.value), default=None)
    length = f", {say_number(long)} m" if long is not None else ""
    source = f"{setup.called(first.source.device)} {first.source.port}"
    turn = ", one after another" if len(ends) > 1 else ""
    why = "" if first.connected.value in (_ALL_DAY, None) else f" ({first.connected.value}{turn})"
    return f"{source} to {', '.join(_some(ends))}{length}{why}"


def _some(ends: list[str]) -> Iterator[str]:
    yield from ends[:8]
    if len(ends) > 8:
        yield f"{len(ends) - 8} more"

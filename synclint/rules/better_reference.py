"""Which reference a device would lock to instead, and what is edited to give it that."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import chain

from synclint.findings import Edit, Fact, Place, SetValue
from synclint.rules.framework import Case
from synclint.rules.references_used import CARRIER, OnReference, frame_rate_of, on_references
from synclint.trade.rates import Rate
from synclint.trade.references import Reference, ReferenceFormatError, Sync, parse_reference

FILM = Fraction(24_000, 1001)
TELEVISION = Fraction(30_000, 1001)

_USUAL = {
    (Sync.BI_LEVEL, Fraction(25)): "625/50",
    (Sync.BI_LEVEL, TELEVISION): "525/59.94",
    (Sync.TRI_LEVEL, FILM): "1080/23.98 PsF",
    (Sync.TRI_LEVEL, Fraction(24)): "1080/24 PsF",
    (Sync.TRI_LEVEL, Fraction(25)): "1080/50i",
    (Sync.TRI_LEVEL, TELEVISION): "1080/59.94i",
    (Sync.TRI_LEVEL, Fraction(30)): "1080/60i",
}
"""The format that a generator gives for a family of rates where nobody says what the input takes."""


def readable(formats: Fact[tuple[str, ...]]) -> tuple[Reference, ...]:
    """Those of some formats that can be read as such."""
    found = []
    for text in formats.value or ():
        try:
            found.append(parse_reference(text))
        except ReferenceFormatError:
            continue
    return tuple(found)


def better_format(case: Case, on: OnReference, want: Rate | None) -> tuple[str, str] | None:
    """A format that a device would lock to, and its carrier: one that its output gives, and all on that leg take."""
    rate = want or (on.format.rate if on.format is not None else None)
    if rate is None or on.port is None:
        return None
    listed_ones = on.port.formats.value
    usual = [text for (_, family), text in _USUAL.items() if family == rate.family]
    carriers = on.port.takes.value
    for text in dict.fromkeys((*(listed_ones if listed_ones is not None else usual),)):
        found = readable(Fact((text,), on.port.place))
        carrier = CARRIER[found[0].sync] if found else ""
        suits = bool(found) and found[0].family == rate.family and (carriers is None or carrier in carriers)
        if suits and _gives(case, on, found[0], carrier) and _others_take(case, on, found[0]):
            return text, carrier
    return None


def _gives(case: Case, on: OnReference, wanted: Reference, carrier: str) -> bool:
    """Whether an output can give a format, as far as anybody says."""
    port = case.setup.devices[on.output].ports.get(on.feed.links[0].source.port)
    if port is None:
        return True
    able = readable(port.formats)
    signals = port.gives.value
    return (signals is None or carrier in signals) and (not able or any(each.is_like(wanted) for each in able))


def _others_take(case: Case, on: OnReference, wanted: Reference) -> bool:
    """Whether all that hang on the same leg would lock to a format too."""
    legs = case.once(_legs)
    others = {each.device.key: each for link in on.feed.links for each in legs[link.place]}
    for other in others.values():
        if other.device.key == on.device.key:
            continue
        rate = frame_rate_of(other.device)
        able = readable(other.port.formats) if other.port is not None else ()
        if able and not any(each.is_like(wanted) for each in able):
            return False
        if rate is None or rate.value is None or rate.value.family != wanted.family:
            return False
    return True


def _legs(case: Case) -> Mapping[Place, list[OnReference]]:
    """For each lead that a reference comes along, all that hang on it."""
    found: dict[Place, list[OnReference]] = {}
    for on in on_references(case):
        for link in on.feed.links:
            found.setdefault(link.place, []).append(on)
    return found


def format_edits(on: OnReference, text: str, carrier: str) -> tuple[Edit, ...]:
    """The edits that give all leads on the way another format."""
    facts = chain.from_iterable(
        [SetValue(link.format.place, text)] * link.format.written
        + [SetValue(link.carries.place, carrier)] * (link.carries.value != carrier)
        for link in on.feed.links
    )
    return tuple(dict.fromkeys(facts))

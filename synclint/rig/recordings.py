"""What post gets of a device's recordings: their names and copies, where a label is kept, by what clips are laid."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from synclint.documents.nodes import MappingNode, Node, Scalar
from synclint.findings import Fact, Place, unknown
from synclint.rig.reading import Desk, Reader
from synclint.trade.quantities import parse_duration, parse_length
from synclint.trade.rates import Rate, parse_rate

NO_WAY = "none"
"""Said of clips that nobody lays to sound (`sync_by: none`)."""

_VARIABLE = "variable"
_SILENT = "none"


@dataclass(frozen=True, slots=True)
class Copy:
    """One recording of a camera's pictures: its own, a small copy of it, or that of a recorder behind it."""

    place: Place
    reel: Fact[str]
    """The letter, reel or roll that its files bear."""
    used_for: Fact[tuple[str, ...]]
    """What post does with it: `edit`, `finish` or `spare`."""
    timecode_on: Fact[tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Handover:
    """What post has to know of a device's recordings."""

    place: Place
    """Where the device itself stands, for a key that is to be added to it."""
    own: Copy
    proxy: Copy | None
    """A small copy that the device makes beside its recording."""
    sync_by: Fact[tuple[str, ...]]
    """By what post lays its clips, the first way first; `("none",)` where nobody lays them."""
    silent: Fact[bool]
    """Whether it records no sound; unknown where nobody says."""
    mic_distance: Fact[Fraction]
    """Metres from its microphone to what is heard."""
    pre_record: Fact[Fraction]
    """Seconds that a clip begins before the button is pressed."""
    pre_record_place: Place
    """Where all that is said of that stands."""
    pre_record_labelled_at: Fact[str]
    """What the first label of such a clip belongs to: its `first picture`, or the `button`."""
    able_rates: Fact[tuple[Rate, ...]]
    """The picture rates that it can be set to."""
    never_constant: Fact[bool]
    """Whether it can keep no picture rate at all, as far as anybody says."""
    shot_at: Fact[str]
    """The rate that it shoots at as written, which may be the word `variable`."""
    able_timecode_on: Fact[tuple[str, ...]]
    labels_to: Fact[str]
    """How fine its labels are: to a `frame`, or only to a `second`."""


def read_handover(
    desk: Desk, own: Node, settings: Reader, abilities: Reader, kept_on: Fact[tuple[str, ...]]
) -> Handover:
    """Read what post has to know of a device; `own` is its node as written, `kept_on` where its label is kept."""
    place = desk.place(own)
    records, able = settings.below("records"), abilities.below("records")
    pre_record = records.below("pre_record")
    variable = able.text("picture", "shot_at")
    return Handover(
        place=place,
        own=Copy(records.place, records.text("reel"), records.words("used_for", read=str), kept_on),
        proxy=_proxy(records),
        sync_by=settings.words("sync_by", read=str),
        silent=_silent(settings, abilities),
        mic_distance=records.fact("sound", "mic_distance", read=parse_length),
        pre_record=pre_record.fact("length", read=parse_duration),
        pre_record_place=pre_record.place,
        pre_record_labelled_at=pre_record.text("labelled_at"),
        able_rates=able.words("picture", "rates", read=parse_rate),
        never_constant=Fact(variable.value == _VARIABLE, variable.place, text=variable.text),
        shot_at=records.text("picture", "shot_at"),
        able_timecode_on=able.words("timecode_on", read=str),
        labels_to=abilities.text("timecode", "labels_to"),
    )


def _proxy(records: Reader) -> Copy | None:
    """The small copy that a device makes, or None where it makes none."""
    side = records.below("proxy")
    if not isinstance(records.node_at("proxy"), MappingNode):
        return None
    return Copy(side.place, side.text("reel"), side.words("used_for", read=str), side.words("timecode_on", read=str))


def _silent(settings: Reader, abilities: Reader) -> Fact[bool]:
    """Whether a device records no sound: what is set goes before what it is able to."""
    for reader in (settings, abilities):
        node = reader.node_at("records", "sound")
        if isinstance(node, MappingNode):
            return Fact(value=False, place=reader.desk.place(node), text="{}")
        if isinstance(node, Scalar) and node.text == _SILENT:
            return Fact(value=True, place=reader.desk.place(node), text=node.text)
    return unknown(settings.place)

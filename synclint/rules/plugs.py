"""On which contact and so on which side LTC lands: mono plugs, balanced leads in stereo jacks, crossed sides."""

from __future__ import annotations

import re
from collections.abc import Iterator

from synclint.findings import (
    WHO,
    Amount,
    Cost,
    Edit,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    SetValue,
    Unjudged,
    either,
)
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.timecode_leads import LTC, Arrival, arrivals, flow, on_lead, socket
from synclint.rules.wording import PRACTICE

_MONO = re.compile(r"(?<![A-Z])TS\b")
_STEREO = re.compile(r"\bTRR?S\b")
_NONE = frozenset({"none", "empty", "nothing"})
"""What is said of a track on which nothing is recorded."""


def far_plug(arrival: Arrival) -> str | None:
    """The plug of a lead at the input, in words; None where the lead is not described end by end."""
    lead = arrival.link.lead
    kind = lead.kind.value if lead is not None else None
    near, to, far = (kind or "").partition(" to ")
    return far if to and near else None


def lands_on(arrival: Arrival) -> str | None:
    """The contact of the input that LTC lands on; None where nobody can tell."""
    lead, output = arrival.link.lead, arrival.output
    at = output.electrics.timecode_at.value if output is not None else None
    wiring = (lead.wiring.value if lead is not None else None) or {}
    if wiring:
        own = at or next((contact for contact in ("tip", "pin 2", "centre") if contact in wiring), None)
        return wiring.get(own) if own is not None else None
    far = far_plug(arrival)
    if far is None or not (_STEREO.search(far) or _MONO.search(far)):
        return None
    near = (lead.kind.value if lead is not None else None) or ""
    straight = bool(_STEREO.search(near.partition(" to ")[0])) and at in ("tip", "ring")
    return at if straight else "tip"


def side_of(arrival: Arrival) -> str | None:
    """The channel that LTC lands on, by its contact."""
    contact = lands_on(arrival)
    return (arrival.port.electrics.channels.value or {}).get(contact or "")


def _stereo(arrival: Arrival) -> dict[str, str]:
    """The channels of an input jack by contact, where it has two."""
    channels = dict(arrival.port.electrics.channels.value or {})
    return channels if len(channels) > 1 and {"tip", "ring"} <= channels.keys() else {}


def _in_use(arrival: Arrival, channel: str) -> str | None:
    """What is to be recorded on a channel beside the timecode; None where nothing is."""
    what = arrival.tracks.get(channel)
    return None if what is None or what == LTC or what in _NONE else what


# --- a mono plug ------------------------------------------------------------------------------------------------


@rule(
    Record(
        name="mono-plug-in-a-stereo-jack",
        summary="A mono plug with LTC shorts the other side of a stereo jack, which is to be recorded",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.RENTAL,
        why="The sleeve of a TS plug lies on the ring contact: that side is shorted and silent, and the scratch sound "
        "that clips are laid by when timecode fails is missing.",
        sources=(PRACTICE,),
        answers=("mono plug in a stereo jack",),
    )
)
def mono_plug_in_a_stereo_jack(case: Case) -> Iterator[Yielded]:
    """Compare the plug at a stereo jack that LTC comes in at with what is to be recorded from its ring."""
    for arrival in arrivals(case):
        channels = _stereo(arrival)
        used = _in_use(arrival, channels.get("ring", ""))
        if not arrival.as_sound or used is None:
            continue
        far = far_plug(arrival)
        lead = arrival.link.lead
        if far is None and not (lead is not None and lead.wiring.written):
            lacks = f"which plug the lead with LTC has at {socket(arrival.device, arrival.port.key)} (links: lead)"
            yield Unjudged(mono_plug_in_a_stereo_jack.record, arrival.link.place, lacks, (arrival.device.called,))
        elif far is not None and _MONO.search(far) and lead is not None:
            yield _shorted(case, arrival, channels["ring"], used)


def _shorted(case: Case, arrival: Arrival, channel: str, used: str) -> Finding:
    """The finding on a shorted side."""
    lead = arrival.link.lead
    assert lead is not None  # noqa: S101 - a plug is known by its lead
    kind = lead.kind.value or ""
    stereo = _MONO.sub("TRS", kind)
    return mono_plug_in_a_stereo_jack.record.finding(
        at=lead.kind.place,
        says=f"the lead with LTC ends in a mono plug at {arrival.port.key} of {WHO}, which shorts the {channel} side "
        f"where the {used} is to be",
        who=(arrival.device.called,),
        cause=(arrival.port.key, channel, used),
        costs=Cost(
            f"no {used} in any clip of {WHO}: if the timecode fails nothing is left to lay them by",
            (Amount("sides left silent", 1, "sides"),),
        ),
        fix=Fix(
            f"Take a split lead to {WHO} that brings LTC to {_stereo(arrival).get('tip', 'one side')} and the "
            f"microphone to {channel}",
            (SetValue(lead.kind.place, stereo),) if lead.kind.place.span.file == case.setup.file else (),
        ),
        decided_by=(lead.kind, arrival.port.electrics.channels),
    )


# --- both sides -------------------------------------------------------------------------------------------------


@rule(
    Record(
        name="timecode-on-both-sides",
        summary="A balanced output is plugged straight into a stereo jack, so that LTC lies on both channels",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.RENTAL,
        why="A balanced TRS lead brings the signal on the tip and the same upside down on the ring. A stereo input "
        "records both: there is no room for scratch sound, and mixed to mono the two cancel.",
        sources=(PRACTICE,),
        answers=("balanced lead into an unbalanced stereo input",),
    )
)
def timecode_on_both_sides(case: Case) -> Iterator[Yielded]:
    """Find balanced outputs on a TRS lead into a jack whose tip and ring are two channels."""
    for arrival in arrivals(case):
        if brings_both_legs(arrival):
            yield _on_both(case, arrival)


def brings_both_legs(arrival: Arrival) -> bool:
    """Whether a lead brings both legs of a balanced output to a jack where they are two channels."""
    channels, lead, far, output = _stereo(arrival), arrival.link.lead, far_plug(arrival), arrival.output
    if not channels or lead is None or far is None or output is None or not output.electrics.balanced.value:
        return False
    straight = not lead.wiring.written or "ring" in (lead.wiring.value or {}).values()
    stereo = _STEREO.search(far) is not None and not arrival.port.electrics.balanced.value
    return straight and stereo and lead.cold_leg.value is None


def _on_both(case: Case, arrival: Arrival) -> Finding:
    """The finding on a jack that gets LTC twice."""
    channels = _stereo(arrival)
    used = _in_use(arrival, channels["ring"])
    lost = (
        f"the {used} on {channels['ring']} is lost" if used else f"there is no room for scratch on {channels['ring']}"
    )
    return timecode_on_both_sides.record.finding(
        at=arrival.link.place,
        says=f"{socket(arrival.source, arrival.link.source.port)} is balanced and {arrival.port.key} of {WHO} is "
        f"stereo: LTC comes in on {channels['tip']} and, upside down, on {channels['ring']}",
        who=(arrival.device.called,),
        cause=(arrival.source.key, arrival.link.source.port, used),
        costs=Cost(
            f"{lost}; mixed to mono the two cancel, and no label is left",
            (Amount("sides with timecode", 2, "sides"),),
        ),
        fix=Fix(
            f"Take a lead to {WHO} with a transformer that brings LTC to {channels['tip']} only, and the microphone to "
            f"{channels['ring']}",
            on_lead(case, arrival.link, None, "cold_leg", "transformer"),
        ),
    )


# --- the other side ---------------------------------------------------------------------------------------------


@rule(
    Record(
        name="timecode-on-the-other-side",
        summary="The lead brings LTC to another channel or contact than the one where it is looked for",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why="An assistant decodes the side that the sheet names and hears a whistle where dialogue should be. A reader "
        "that listens on the other contact sees nothing.",
        sources=(PRACTICE,),
        answers=("timecode on the ring where post was told left",),
    )
)
def timecode_on_the_other_side(case: Case) -> Iterator[Yielded]:
    """Compare the contact that LTC lands on with where it is to be recorded or read."""
    for arrival in arrivals(case):
        if arrival.as_sound:
            side = side_of(arrival)
            said = [track for track, what in arrival.tracks.items() if what == LTC]
            if side is not None and said and side not in said and side in ("left", "right"):
                yield _crossed(case, arrival, side, said[0])
        else:
            yield from _deaf_contact(case, arrival)


def _crossed(case: Case, arrival: Arrival, side: str, said: str) -> Finding:
    """The finding on LTC that is declared on one side and lands on the other."""
    sound = arrival.device.sound
    tracks = sound.tracks if sound is not None else None
    edits: tuple[Edit, ...] = ()
    if tracks is not None and tracks.place.span.file == case.setup.file:
        swapped = {{side: said, said: side}.get(track, track): what for track, what in arrival.tracks.items()}
        edits = (SetValue(tracks.place, flow(swapped)),)
        on = arrival.device.timecode_on
        if on.written and said in (on.value or ()):
            listed_on = ", ".join(side if each == said else each for each in on.value or ())
            edits = (*edits, SetValue(on.place, f"[{listed_on}]"))
    other = arrival.tracks.get(side, "something else")
    return timecode_on_the_other_side.record.finding(
        at=tracks.place if tracks is not None else arrival.device.place,
        says=f"the lead from {arrival.source.called} brings LTC to the {side} side of {WHO}, and the sheet says {said}",
        who=(arrival.device.called,),
        cause=(arrival.source.cls.value, side, said),
        also=(Mention(arrival.link.place, "the lead"),),
        costs=Cost(
            f"post decodes the {other} of every clip of {WHO} and finds no label, until somebody looks at the {side}",
            (Amount("sides the wrong way round", 2, "sides"),),
        ),
        fix=Fix(f"Write LTC under {side} for {WHO}, or take a lead that is wired to {said}", edits),
    )


def _deaf_contact(case: Case, arrival: Arrival) -> Iterator[Finding]:
    """A reader that listens on another contact than the one on which LTC arrives."""
    listens, lands = arrival.port.electrics.timecode_at, lands_on(arrival)
    if listens.value is None or lands is None or listens.value == lands or {listens.value, lands} - {"tip", "ring"}:
        return
    at = arrival.output.electrics.timecode_at.value if arrival.output is not None else None
    wiring = f"{{{at or 'tip'}: {listens.value}, sleeve: sleeve}}"
    lead = arrival.link.lead
    yield timecode_on_the_other_side.record.finding(
        at=arrival.link.place,
        level=Level.ERROR,
        says=f"the lead from {arrival.source.called} brings LTC to the {lands} of {arrival.port.key} of {WHO}, which "
        f"{either('listens', 'listen')} on the {listens.value}",
        who=(arrival.device.called,),
        cause=(arrival.source.key, lands, listens.value),
        also=(Mention(listens.place, "the contact that it listens on"),),
        costs=Cost(f"{WHO} {either('reads', 'read')} no timecode", (Amount("devices without timecode", 1, "devices"),)),
        fix=Fix(
            f"Take a lead to {WHO} that is wired from {at or 'tip'} to {listens.value}, and label it",
            on_lead(case, arrival.link, lead.wiring if lead is not None else None, "wiring", wiring),
        ),
    )


RULES: tuple[Rule, ...] = (mono_plug_in_a_stereo_jack, timecode_on_both_sides, timecode_on_the_other_side)

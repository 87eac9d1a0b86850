"""Labels that are off by the same amount in every take, because something on the way to a recording takes time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from synclint.findings import (
    WHO,
    AddKey,
    Amount,
    CheckLine,
    Confirmed,
    Cost,
    Edit,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Place,
    Record,
    SetValue,
    Source,
    Unjudged,
    either,
    listed,
)
from synclint.rig.delays import Difference
from synclint.rig.model import Device
from synclint.rig.offsets import POST, FixedOffset
from synclint.rig.paths import Step
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.label_rates import stretch_of
from synclint.rules.moments import minutes_of, rolls_told
from synclint.rules.takes import sync_takes
from synclint.rules.wording import PRACTICE, a_day
from synclint.trade.quantities import say_duration, say_number

SUM = Source("delay of the picture less delay of its timecode: exact arithmetic", Confirmed.ARITHMETIC)


def offsets(case: Case) -> Mapping[str, FixedOffset]:
    """The fixed offset of every device."""
    return case.phases.offsets


def matters(case: Case, offset: FixedOffset) -> Fraction:
    """From which size on an error counts: half a frame, where a label may flip, or less where less is tolerated."""
    sizes = (offset.half_a_frame, case.tolerance)
    known = [size for size in sizes if size is not None]
    return min(known, default=Fraction(1, 50))


def is_off(case: Case, offset: FixedOffset, seconds: Fraction | None) -> bool:
    """Whether an error of a device's labels counts."""
    return seconds is not None and seconds != 0 and abs(seconds) >= matters(case, offset)


def off_for_good(case: Case, key: str) -> bool:
    """Whether a device's labels are off by a fixed amount, which is told as such and not as drift."""
    offset = offsets(case).get(key)
    return offset is not None and is_off(case, offset, offset.uncorrected)


def disagrees(case: Case, offset: FixedOffset) -> bool:
    """Whether the setup says another offset than the ways of picture and timecode come to."""
    computed = offset.computed
    if offset.stated is None or computed is None or computed.seconds is None:
        return False
    delayed = any(way is not None and way.late for way in (computed.content, computed.other))
    return delayed and is_off(case, offset, offset.stated - computed.seconds)


def is_labelled(case: Case, device: Device) -> bool:
    """Whether labels of a device are used: they stand in its files, are shown, or go to others."""
    if device.trigger.value or device.timecode_on.value == ("none",):
        return False
    return device.records or device.cls.value == "timecode slate" or device.key in case.label_givers


def said(offset: FixedOffset, seconds: Fraction) -> str:
    """The size of an offset in frames and in milliseconds: `2 frames (83.4 ms)`, `half a frame (20 ms)`."""
    size = abs(seconds)
    if offset.rate is None:
        return say_duration(size)
    frames = say_number(size * offset.rate.fps, 2)
    counted = "half a frame" if frames == "0.5" else f"{frames} {'frame' if frames == '1' else 'frames'}"
    return f"{counted} ({say_duration(size)})"


def ahead(offset: FixedOffset, seconds: Fraction) -> str:
    """An offset in words: `2 frames (83.4 ms) ahead`."""
    return f"{said(offset, seconds)} {'ahead' if seconds > 0 else 'behind'}"


def through(steps: tuple[Step, ...]) -> str:
    """What holds something up, each with its delay: `Converter (2 frames) and Vision mixer (40 ms)`."""
    return listed(f"{step.called} ({step.delay.text or say_duration(step.seconds or Fraction(0))})" for step in steps)


def amounts(offset: FixedOffset, seconds: Fraction, name: str = "label error") -> tuple[Amount, ...]:
    """An offset for machines."""
    found = [Amount(name, float(seconds * 1000), "ms")]
    if offset.rate is not None:
        found.append(Amount(f"{name} in frames", float(seconds * offset.rate.fps), "frames"))
    return tuple(found)


def clips_of(case: Case, device: Device) -> str:
    """What a device records with sync sound, in words: `every clip of the rolls at 11:30 and 15:05 (20 min)`."""
    rolls = [take.roll for take in sync_takes(case) if device.key in take.roll.devices]
    if not rolls:
        return f"every clip of {a_day(case)}"
    return f"every clip of {rolls_told(case, rolls)} ({say_duration(minutes_of(rolls) * 60)})"


@rule(
    Record(
        name="fixed-delay-not-corrected",
        summary="Labels are off by the same amount in every take, and nobody takes it out",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why=(
            "A converter, a vision mixer or a radio hop hands on late what goes in. A label that goes round it no "
            "longer belongs to the picture it sits on. It is the same in every take, so it is taken out once, in one "
            "place, and not tolerated. Timecode that is embedded in the picture is held up with it and stays right."
        ),
        sources=(PRACTICE, SUM),
        answers=(
            "constant offset of N frames not known or not declared",
            "isolated recordings and programme recording have different delays",
            "LTC over a wireless audio hop",
            "in-camera lag of sound behind the picture",
            "timecode by HDMI with a picture that comes late",
        ),
    )
)
def fixed_delay_not_corrected(case: Case) -> Iterator[Yielded]:
    """A device whose labels are off by half a frame or more, by its leads or as measured, and that nobody corrects."""
    for key, offset in offsets(case).items():
        device = case.setup.devices[key]
        if not is_labelled(case, device) or disagrees(case, offset):
            continue
        if offset.amount is None and not device.offset.written:
            yield from _unknown(offset)
        elif not offset.corrected and is_off(case, offset, offset.left):
            yield _finding(case, offset, offset.left)
    yield from _to_measure(case)
    yield from _to_correct(case)


def says_nothing(step: Step, what: str) -> str:
    """What fact is wanting about something that holds up what passes it."""
    if step.delay.written:
        return f"how long the frames last by which {step.called} holds up {what} (project: rate)"
    return f"how late {step.called} hands on {what} (delay)"


def _unknown(offset: FixedOffset) -> Iterator[Unjudged]:
    """What nobody says of something on the way."""
    device, computed = offset.device, offset.computed
    for step in dict.fromkeys(computed.lacks) if computed is not None and computed.seconds is None else ():
        lacks = says_nothing(step, f"the picture for {device.called}")
        yield Unjudged(fixed_delay_not_corrected.record, step.delay.place, lacks, (device.called,))


def _finding(case: Case, offset: FixedOffset, amount: Fraction) -> Finding:
    """The finding on a device that nobody corrects."""
    device = offset.device
    measured = offset.stated is not None
    why = _not_told(offset) if measured else _by_its_leads(case, offset.computed)
    laid = f"laid by timecode, {clips_of(case, device)}" if device.records else f"what is laid by {WHO}"
    return fixed_delay_not_corrected.record.finding(
        at=device.offset.place if measured else _place(device, offset.computed),
        says=f"the labels of {WHO} are {ahead(offset, amount)}: {why}",
        who=(device.called,),
        cause=("delay", amount, why, device.records),
        costs=Cost(
            f"{laid} lies {said(offset, amount)} too {'late' if amount > 0 else 'early'} against the rest"
            f"{_beside(case, offset)}",
            amounts(offset, amount),
            float(abs(amount)),
        ),
        fix=Fix(_fix(offset, amount), correcting(case, offset, amount) if device.records or measured else ()),
        decided_by=offset.facts,
        also=_mentions(offset.computed) if not measured else (),
    )


def moved(offset: FixedOffset, amount: Fraction) -> str:
    """What post does about an offset: `move the labels of cam_c 2 frames later (subtract -2 frames)`."""
    way = "earlier" if amount > 0 else "later"
    return f"move the labels of {WHO} {said(offset, amount)} {way} (subtract {offset.written(amount)})"


def _fix(offset: FixedOffset, amount: Fraction) -> str:
    """What to do about an offset: best without what makes it, else in one place."""
    computed, device = offset.computed, offset.device
    hop = [step for step in computed.early if step.key != device.key] if computed and offset.stated is None else []
    if hop and not device.records:
        return f"Bring the timecode to {WHO} by wire, without {hop[0].called}"
    instead = f"Jam a box by wire and leave it on {WHO} in place of {hop[0].called}; else have" if hop else "Have"
    on = device.timecode_on.value
    has_menu = on is None or "file" in on  # no menu moves a label that is decoded from sound
    whole = has_menu and offset.rate is not None and (amount * offset.rate.fps).denominator == 1
    menu = (
        f", or enter {offset.written(-amount)} in {either('its menu', 'their menus')}: one of the two" if whole else ""
    )
    return f"{instead} post {moved(offset, amount)}{menu}, and write which (offset: corrected_in)"


def _not_told(offset: FixedOffset) -> str:
    """Why an offset that is written down is not corrected."""
    if offset.device.offset_corrected_in.value == POST:
        return "it is left to post, and not among what post was told to correct (project: post: corrects)"
    measured = offset.device.offset_tested.value
    said_by = "so says the setup" if measured is None else f"so it was measured on {measured}"
    return f"{said_by}, and nobody takes it out"


def _by_its_leads(case: Case, computed: Difference | None) -> str:
    """What makes a label wrong: what the picture goes through, and the timecode does not, or the other way round."""
    if computed is None:
        return "by what nobody says"
    parts = []
    brings = computed.content.links[-1].carries.value if computed.content is not None else "picture"
    what = "sound" if brings in ("sound", "digital sound") else "picture"
    if computed.late:
        parts.append(f"the {what} comes through {through(computed.late)}")
    if computed.early:
        parts.append(f"the timecode comes through {through(computed.early)}")
    elif computed.other is not None:
        parts.append(f"the timecode straight from {case.setup.called(computed.other.source)}")
    else:
        parts.append("it counts its labels itself")
    if not computed.late:
        parts.append(f"the {what} straight" if computed.content is not None else f"the {what} is taken on the spot")
    return ", and ".join(parts)


def _beside(case: Case, offset: FixedOffset) -> str:
    """The other recordings of the same picture, whose labels have another error."""
    sources = {way.source for way in offset.delays.pictures}
    others = []
    for key, other in offsets(case).items():
        same = key in sources or any(way.source in sources for way in other.delays.pictures)
        if same and other is not offset and other.device.records and other.left != offset.left:
            others.append(other.device.called)
    return f", also against {listed(others)} with the same picture" if others else ""


def _place(device: Device, computed: Difference | None) -> Place:
    """Where the way of the timecode is set; where what is late is one's own, there."""
    steps = (*computed.late, *computed.early) if computed is not None else ()
    own = next((step for step in steps if step.key == device.key), None)
    return own.delay.place if own is not None else device.timecode.source.place


def _mentions(computed: Difference | None) -> tuple[Mention, ...]:
    steps = (*computed.late, *computed.early) if computed is not None else ()
    return tuple(Mention(step.delay.place, f"the delay of {step.called}") for step in steps)


def correcting(case: Case, offset: FixedOffset, amount: Fraction) -> tuple[Edit, ...]:
    """The edits by which post is the one that corrects an offset."""
    device, entry, project = offset.device, offset.written(amount), case.setup.project
    edits: list[Edit] = []
    if not device.offset.written:
        edits.append(AddKey(device.handover.place, "offset", f"{{amount: {entry}, corrected_in: {POST}}}"))
    elif device.offset_corrected_in.written:
        if device.offset_corrected_in.value != POST:
            edits.append(SetValue(device.offset_corrected_in.place, POST))
    else:
        edits.append(AddKey(device.offset_corrected_in.place, "corrected_in", POST))
    if offset.post_was_told:
        edits.append(AddKey(project.post_corrects.place, device.key, entry))
    return tuple(edits)


# --- the lines of the checklist --------------------------------------------------------------------------------


def _to_measure(case: Case) -> Iterator[CheckLine]:
    """A clap test for each model and way of recording whose offset nobody has measured."""
    found: dict[object, list[Device]] = {}
    several = sum(device.records and is_labelled(case, device) for device in case.setup.devices.values()) > 1
    for device in case.setup.devices.values() if several else ():
        picture = device.picture
        if picture is None or device.through or not is_labelled(case, device) or device.offset_tested.value:
            continue
        if stretch_of(picture.shot_at.value, picture.played_at.value) is not None:
            continue  # slow motion has no sound to be off against
        mode = (picture.shot_at.value, picture.played_at.value, device.timecode_on.value)
        model = device.kind.value or (device.cls.value, device.key if device.cls.value is None else "")
        found.setdefault((model, mode), []).append(device)
    for devices in found.values():
        rate = devices[0].picture.shot_at.value if devices[0].picture else None
        setting = f" at {rate.name}" if rate is not None else ""
        says = (
            f"Clap test of {WHO}{setting}, with the leads of the day: film a clap beside a running display, read by "
            "how many frames the label of the clap is off, and write it down (offset: amount, tested)"
        )
        place = devices[0].offset.place
        yield CheckLine(
            fixed_delay_not_corrected.record, Mended.TEST_DAY, says, tuple(each.called for each in devices), place
        )


def _to_correct(case: Case) -> Iterator[CheckLine]:
    """Who takes a known offset out, with its sign."""
    for offset in offsets(case).values():
        device, amount = offset.device, offset.amount
        if not amount or offset.left or not is_labelled(case, device):
            continue
        record, who = fixed_delay_not_corrected.record, (device.called,)
        if offset.entered:
            says = f"{WHO}: see that the menu moves the labels by {offset.written(offset.entered)}, and film one clip"
            yield CheckLine(record, Mended.MORNING, says, who, device.offset_corrected_in.place)
        elif offset.subtracted:
            says = f"Post: {moved(offset, offset.subtracted)}, once"
            yield CheckLine(record, Mended.POST, says, who, device.offset_corrected_in.place)


RULES: tuple[Rule, ...] = (fixed_delay_not_corrected,)

"""What reaches a recording at different times: pictures of several cameras, sound beside picture, scratch sound."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.findings import (
    WHO,
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
    Source,
    Unjudged,
    either,
    listed,
)
from synclint.rig.delays import CAMERAS, Delays, Difference
from synclint.rig.model import Device
from synclint.rig.paths import Step, Way
from synclint.rules.fixed_delays import clips_of, is_labelled, is_off, offsets, said, says_nothing, through
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.ways_to_sync import SCRATCH, TIMECODE, cameras, keeps_label, own_ways, sync_by_edit
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration

_LIMITS = Source(
    "EBU R 37-2007: sound at most 40 ms before its picture and 60 ms after it from end to end, 5 ms and 15 ms in one "
    "stage, as quoted in secondary texts",
    Confirmed.TABULATED,
)
_MS = Fraction(1, 1000)
EARLY, LATE = 40 * _MS, 60 * _MS
"""How far sound may be before and after its picture from end to end."""
STAGE_EARLY, STAGE_LATE = 5 * _MS, 15 * _MS
"""How far in one stage of many."""

_GUIDES = frozenset({"scratch", "scratch sound", "guide", "guide sound"})
"""What a track is called whose sound only serves to lay the clip."""


# --- pictures of several cameras -------------------------------------------------------------------------------


@rule(
    Record(
        name="pictures-late-by-different-delays",
        summary="Pictures reach one recording with different delays, so that no one offset is right for all of them",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why=(
            "A camera that comes through a frame synchroniser or a converter of its own is late against the others at "
            "the vision mixer: its lips are late in a live cut, and the label of the programme is right for the others "
            "only. A synchroniser also drops or repeats a frame now and then, so its delay breathes."
        ),
        sources=(PRACTICE,),
        answers=("camera without genlock in a locked or live show", "one source reaches a recorder by two ways"),
    )
)
def pictures_late_by_different_delays(case: Case) -> Iterator[Yielded]:
    """Two pictures that one device records come half a frame or more apart."""
    for key, offset in offsets(case).items():
        device, ways = case.setup.devices[key], offset.delays.pictures
        if offset.delays.cut:
            lacks = f"what reaches {device.called} by all its ways, of which there are too many to follow"
            yield Unjudged(pictures_late_by_different_delays.record, device.place, lacks, (device.called,))
        known = [way for way in ways if way.seconds is not None]
        if len(known) < 2 or not is_labelled(case, device):
            continue
        # What most come by is what the others are late against.
        times = [way.seconds or Fraction(0) for way in known]
        usual = max(dict.fromkeys(times), key=lambda each: (times.count(each), -each))
        for way in known:
            apart = (way.seconds or Fraction(0)) - usual
            if is_off(case, offset, apart):
                yield _unlike(case, device, way, apart, [each for each in known if each.seconds == usual])


def _unlike(case: Case, device: Device, way: Way, apart: Fraction, usual: list[Way]) -> Finding:
    """The finding on a picture that comes later, or earlier, than the others."""
    offset = offsets(case)[device.key]
    source = case.setup.called(way.source)
    others = [case.setup.called(each.source) for each in usual if each.source != way.source]
    beside = f"than {listed(dict.fromkeys(others))}" if others else "by one way than by the other"
    more, less = (way.late, usual[0].late) if apart > 0 else (usual[0].late, way.late)
    extra = tuple(step for step in more if step.key not in {each.key for each in less})
    side = "later" if apart > 0 else "earlier"
    return pictures_late_by_different_delays.record.finding(
        at=_last_lead(way),
        says=f"the picture of {source} reaches {WHO} {said(offset, apart)} {side} {beside}"
        f"{_held_up(extra, late=apart > 0)}",
        who=(device.called,),
        cause=("unlike", way.source, apart, tuple(step.key for step in extra)),
        costs=Cost(
            f"in the programme {source} is {said(offset, apart)} beside the sound wherever it is cut to, and no one "
            f"offset puts all labels of {WHO} right",
            (Amount("apart", float(abs(apart) * 1000), "ms"), *_frames(case, device, abs(apart))),
            float(abs(apart)),
        ),
        fix=Fix(
            f"Where {source} takes a reference, give it that of the others and take it straight; else delay the others "
            f"by {said(offset, apart)}, or keep it for cutaways and tell post its own offset"
            if apart > 0
            else f"Delay {source} by {said(offset, apart)}, as the others are"
        ),
        decided_by=tuple(step.delay for step in extra),
        also=tuple(Mention(step.delay.place, f"the delay of {step.called}") for step in extra),
    )


def _held_up(steps: tuple[Step, ...], *, late: bool) -> str:
    """What makes one picture later, or the others."""
    if not steps:
        return ""
    return f", through {through(steps)}" if late else f", which come through {through(steps)}"


def _last_lead(way: Way) -> Place:
    """The lead that a picture comes by after the last thing that holds it up alone; else the one that arrives."""
    late = {step.key for step in way.late}
    leads = [link for link in way.links if link.source.device in late]
    return (leads[0] if leads else way.links[-1]).place


def _frames(case: Case, device: Device, seconds: Fraction) -> tuple[Amount, ...]:
    rate = offsets(case)[device.key].rate
    return (Amount("in frames", float(seconds * rate.fps), "frames"),) if rate is not None else ()


# --- sound beside picture --------------------------------------------------------------------------------------


def is_guide(case: Case, device: Device) -> bool:
    """Whether the sound of a recording only serves to lay it: so called, or a camera's beside a sound recorder."""
    tracks = (device.sound.tracks.value if device.sound else None) or {}
    heard = {name for name in tracks.values() if name != "LTC"}
    if heard:
        return heard <= _GUIDES
    others = (case.setup.devices[key] for key in case.domains.get(case.domain_of(device.key), ()))
    recorder = any(other.sound is not None and other.picture is None and other.records for other in others)
    return device.cls.value in CAMERAS and recorder


@rule(
    Record(
        name="sound-and-picture-apart",
        summary="Sound and picture reach one recording with different delays",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.TEST_DAY,
        why=(
            "Video processing takes whole frames and an audio lead takes none, so the mix wired straight to a recorder "
            "behind converters comes before its picture. In nature sound never does, and that is noticed first."
        ),
        sources=(_LIMITS, PRACTICE),
        answers=("sound and picture reach the recorder with different delay",),
    )
)
def sound_and_picture_apart(case: Case) -> Iterator[Yielded]:
    """Compare the delay of the picture with that of the sound at every recording whose sound is used."""
    for key, offset in offsets(case).items():
        device = case.setup.devices[key]
        if device.picture is None or device.trigger.value or is_guide(case, device):
            continue
        for sound in (way for way in offset.delays.sounds if way.links):
            yield from _judged(case, device, sound, _worst(offset.delays, sound))


def _worst(delays: Delays, sound: Way) -> Difference:
    """The picture that is farthest from a sound; one of unknown delay only where no other is known."""
    every = delays.of_sound(sound)
    return max(every, key=lambda each: (each.seconds is not None, abs(each.seconds or Fraction(0))))


def _judged(case: Case, device: Device, sound: Way, apart: Difference) -> Iterator[Yielded]:
    """What is to say of a sound beside its picture."""
    record = sound_and_picture_apart.record
    if apart.seconds is None:
        for step in dict.fromkeys(apart.lacks):
            lacks = says_nothing(step, f"what {device.called} records")
            yield Unjudged(record, step.delay.place, lacks, (device.called,))
        return
    beyond = apart.seconds > STAGE_EARLY or apart.seconds < -STAGE_LATE
    if beyond and is_off(case, offsets(case)[device.key], apart.seconds):
        yield _apart(case, device, sound, apart, apart.seconds)


def _apart(case: Case, device: Device, sound: Way, apart: Difference, seconds: Fraction) -> Finding:
    """The finding on sound that is before or after its picture."""
    offset, size, early = offsets(case)[device.key], abs(seconds), seconds > 0
    limit, stage = (EARLY, STAGE_EARLY) if early else (LATE, STAGE_LATE)
    beyond = size > limit
    side, name = ("before", "sound early") if early else ("after", "sound late")
    by = f", for the picture comes through {through(apart.late)}" if apart.late else ""
    by += f"{' and' if by else ', for'} the sound comes through {through(apart.early)}" if apart.early else ""
    allowed = f"{say_duration(limit)} {side} its picture from end to end"
    allowed = allowed if beyond else f"{say_duration(stage)} {side} its picture in one stage"
    return sound_and_picture_apart.record.finding(
        at=sound.links[-1].place,
        level=Level.ERROR if beyond else Level.WARNING,
        says=f"at {WHO} the sound from {case.setup.called(sound.source)} comes {said(offset, size)} {side} its picture"
        f"{by}",
        who=(device.called,),
        cause=("apart", sound.source, seconds, by),
        costs=Cost(
            f"lips are {said(offset, size)} off in {clips_of(case, device)}; EBU R 37 allows sound {allowed}",
            (Amount(name, float(size * 1000), "ms"), *_frames(case, device, size)),
            float(size),
        ),
        fix=Fix(
            f"Delay the sound at {WHO} by {said(offset, size)}, measured with a clap, and leave the multitrack as it is"
            if early
            else f"Bring the sound to {either('it', 'them')} by wire, or have the sound of {WHO} moved "
            f"{said(offset, size)} earlier in post"
        ),
        decided_by=apart.facts,
        also=tuple(Mention(step.delay.place, f"the delay of {step.called}") for step in (*apart.late, *apart.early)),
    )


# --- scratch sound that serves to lay a clip -------------------------------------------------------------------


@rule(
    Record(
        name="scratch-sound-late",
        summary="Post lays a camera's clips by sound that reaches the camera late",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why=(
            "Laid by its waveform, a clip goes where its sound belongs and takes its picture along. Sound that came by "
            "a digital hop is late in the file, so the picture lands early, the same in every clip, and beside what "
            "timecode says. 3 ms are harmless; 20 ms are half a frame."
        ),
        sources=(PRACTICE, _LIMITS),
        answers=("uncompensated latency on a hop", "in-camera lag of sound behind the picture"),
    )
)
def scratch_sound_late(case: Case) -> Iterator[Yielded]:
    """A camera whose clips are laid by scratch sound gets that sound half a frame or more beside its picture."""
    for device in cameras(case):
        offset = offsets(case)[device.key]
        late = [_worst(offset.delays, sound) for sound in offset.delays.sounds]
        known = [each for each in late if is_off(case, offset, each.seconds)]
        if not known or not is_guide(case, device):
            continue
        worst = max(known, key=lambda each: abs(each.seconds or Fraction(0)))
        ways = own_ways(case, device)
        if ways is None:
            lacks = f"by what post lays the clips of {device.called} (project: post: sync_by)"
            yield Unjudged(scratch_sound_late.record, device.place, lacks, (device.called,))
        elif SCRATCH in ways:
            labelled = keeps_label(case, device)
            first = next((way for way in ways if way != TIMECODE or labelled is not False), None)
            yield _late(case, device, worst) if first == SCRATCH else _if_by_sound(case, device, worst)


def _if_by_sound(case: Case, device: Device, apart: Difference) -> CheckLine:
    """What post does where it has to fall back on the sound."""
    seconds = apart.seconds or Fraction(0)
    size, side = said(offsets(case)[device.key], seconds), "early" if seconds < 0 else "late"
    says = f"Post: where {WHO} {either('is', 'are')} laid by scratch sound, move the clips {size} {_back(side)}"
    return CheckLine(scratch_sound_late.record, Mended.POST, says, (device.called,), device.place)


def _late(case: Case, device: Device, apart: Difference) -> Finding:
    """The finding on a camera whose scratch sound is late."""
    offset, seconds = offsets(case)[device.key], apart.seconds or Fraction(0)
    size, sound_is_late = abs(seconds), seconds < 0
    steps = apart.early if sound_is_late else apart.late
    sound = apart.other
    at = sound.links[-1].place if sound is not None and sound.links else steps[0].delay.place
    side = "early" if sound_is_late else "late"
    edits: tuple[Edit, ...] = ()
    if keeps_label(case, device):
        edits = sync_by_edit(case, device, f"[{TIMECODE}, {SCRATCH}]")
    cure = f"Let post lay {WHO} by timecode and take the sound only as a check, or have" if edits else "Have"
    return scratch_sound_late.record.finding(
        at=at,
        says=f"post lays {WHO} by scratch sound, and that sound reaches {either('it', 'them')} "
        f"{said(offset, size)} {'after' if sound_is_late else 'before'} the picture, through {through(steps)}",
        who=(device.called,),
        cause=("scratch", seconds, tuple(step.key for step in steps)),
        costs=Cost(
            f"laid by its waveform the picture of {clips_of(case, device)} lies {said(offset, size)} too {side}, "
            "beside every camera that is laid otherwise",
            (Amount(f"picture {side}", float(size * 1000), "ms"), *_frames(case, device, size)),
            float(size),
        ),
        fix=Fix(f"{cure} post move what was laid by sound {said(offset, size)} {_back(side)}", edits),
        decided_by=apart.facts,
        also=tuple(Mention(step.delay.place, f"the delay of {step.called}") for step in steps),
    )


def _back(side: str) -> str:
    return "later" if side == "early" else "earlier"


RULES: tuple[Rule, ...] = (pictures_late_by_different_delays, sound_and_picture_apart, scratch_sound_late)

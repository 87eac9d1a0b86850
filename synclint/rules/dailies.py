"""Where post finds the timecode: said at all, and still there when the copies for the edit are made."""

from __future__ import annotations

from collections.abc import Iterator

from synclint.findings import (
    WHO,
    Amount,
    Cost,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Record,
    SetValue,
    Unjudged,
    either,
    listed,
)
from synclint.rig.model import Device
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.hand_work import clips_of
from synclint.rules.ways_to_sync import cameras, keeps_label
from synclint.rules.wording import PRACTICE

_IN_FILE, _FILE_TIMECODE, _ALL_TRACKS = "file", "file timecode", "all tracks"


@rule(
    Record(
        name="nobody-says-where-the-timecode-is",
        summary="A camera is labelled, and nothing says where in its recordings post finds that",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why="Timecode may stand in the file, on the left track, on the right one, or in data that only one tool reads. "
        "Post finds out by trial, half a day for each kind of camera, or believes that there is none.",
        sources=(PRACTICE,),
        answers=("nobody wrote where the timecode is",),
    )
)
def nobody_says_where_the_timecode_is(case: Case) -> Iterator[Yielded]:
    """A camera listens to timecode, and neither its settings nor its type say where it writes it."""
    silent = [device for device in cameras(case) if _may_be_anywhere(case, device)]
    kinds = {device.kind.value or device.cls.value or device.key for device in silent}
    for device in silent:
        days = len(kinds) / 2
        yield nobody_says_where_the_timecode_is.record.finding(
            at=device.handover.own.place,
            says=f"{WHO} {either('takes', 'take')} timecode, and nothing says where it stands in "
            f"{either('its', 'their')} recordings",
            who=(device.called,),
            cause="where",
            costs=Cost(
                "post finds it by trial, up to half a day for each kind of camera: here "
                + ("there is one kind" if len(kinds) == 1 else f"{days:g} days for {len(kinds)} kinds"),
                (Amount("trial at most", days, "days"),),
                days,
            ),
            fix=Fix(
                f"Play back a test clip of {WHO}, look where its timecode is, and write it down: timecode_on: [file], "
                "[left], [right] or none"
            ),
        )


def _may_be_anywhere(case: Case, device: Device) -> bool:
    """Whether a camera keeps timecode and nothing tells where."""
    able = device.handover.able_timecode_on.value
    tracks = (device.sound.tracks.value if device.sound else None) or {}
    if device.timecode_on.written or "LTC" in tracks.values() or (able is not None and len(able) == 1):
        return False
    return keeps_label(case, device) is True


# --- the copies for the edit -----------------------------------------------------------------------------------


@rule(
    Record(
        name="dailies-lose-the-timecode",
        summary="The copies for the edit are made without what bears a camera's only timecode",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.POST,
        why="A converter set to two channels, or one that starts every clip at zero, makes files that look right. The "
        "only timecode of the camera is then in the originals, and all copies are made again.",
        sources=(PRACTICE,),
        answers=("transcode drops the LTC track or the file timecode",),
    )
)
def dailies_lose_the_timecode(case: Case) -> Iterator[Yielded]:
    """Compare where each camera keeps its timecode with what the dailies keep."""
    record, project = dailies_lose_the_timecode.record, case.setup.project
    keep = project.dailies_keep
    if keep.value is None:
        return
    for device in cameras(case):
        kept_on = device.timecode_on
        if kept_on.value is None:
            if keeps_label(case, device) and not set(keep.value) >= {_FILE_TIMECODE, _ALL_TRACKS}:
                lacks = f"where {device.called} keeps its timecode (records: timecode_on)"
                yield Unjudged(record, device.handover.own.place, lacks, (device.called,))
        elif kept_on.value and kept_on.value != ("none",) and not _survives(case, kept_on.value, keep.value):
            yield _lost(case, device, kept_on, keep)


def _survives(case: Case, kept_on: tuple[str, ...], keep: tuple[str, ...]) -> bool:
    """Whether timecode on these places is still there in the copies."""
    becomes_file = case.setup.project.dailies_read_audio_timecode.value is True
    in_file = _FILE_TIMECODE in keep
    on_track = _ALL_TRACKS in keep or not set(kept_on).isdisjoint(keep)
    return (in_file and (becomes_file or _IN_FILE in kept_on)) or (on_track and set(kept_on) != {_IN_FILE})


def _lost(case: Case, device: Device, kept_on: Fact[tuple[str, ...]], keep: Fact[tuple[str, ...]]) -> Finding:
    """The finding on a camera whose timecode does not reach the edit."""
    places = kept_on.value or ()
    where = listed("in the file" if place == _IN_FILE else f"on {_track(place)}" for place in places)
    clips = clips_of(case, device)
    of_each = either("", " of each")
    number = f"{clips} {'clip' if clips == 1 else 'clips'}{of_each}" if clips else f"every clip{of_each}"
    wanted = _FILE_TIMECODE if _IN_FILE in places else places[0]
    kept = list(keep.value or ())
    edits = (SetValue(keep.place, f"[{', '.join((*kept, wanted))}]"),)
    as_sound = "" if _IN_FILE in places else ", or read the LTC first and let it become the file timecode of the copies"
    return dailies_lose_the_timecode.record.finding(
        at=keep.place,
        says=f"{WHO} {either('has its', 'have their')} only timecode {where}, and the dailies keep "
        f"{listed(map(_track, kept)) or 'nothing of that'}",
        who=(device.called,),
        cause=("dailies", places),
        costs=Cost(
            f"{number} {'reaches' if clips in (None, 1) else 'reach'} the edit without timecode, and the copies are "
            "made again from the originals",
            (Amount("clips without timecode", clips, "clips"),) if clips else (),
            float(clips or 0),
        ),
        fix=Fix(f"Set the converter to keep {_track(wanted)} of {WHO}{as_sound}", edits),
        decided_by=(kept_on, keep),
    )


def _track(place: str) -> str:
    """A place of timecode as a sentence names it."""
    known = {"left": "the left track", "right": "the right track", "reel": "the reel name"}
    return {**known, _FILE_TIMECODE: "the file timecode"}.get(place, place)


RULES: tuple[Rule, ...] = (nobody_says_where_the_timecode_is, dailies_lose_the_timecode)

"""A camera's pictures recorded more than once: what is cut has to lead back to what is finished."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from synclint.findings import (
    WHO,
    CheckLine,
    Edit,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Record,
    SetValue,
    Unjudged,
    listed,
    shortened,
)
from synclint.rig.model import Device
from synclint.rig.recordings import Copy
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.hand_work import BY_HAND, by_hand
from synclint.rules.ways_to_sync import camera_behind

_IN_FILE = "file"


@dataclass(frozen=True, slots=True)
class Recorded:
    """One of the recordings of a camera's pictures."""

    called: str
    copy: Copy

    def is_for(self, use: str) -> bool:
        """Whether post uses it so."""
        return use in (self.copy.used_for.value or ())


@rule(
    Record(
        name="edit-and-original-do-not-match",
        summary="What is cut and what is finished of one camera bear different names, or one of them no timecode",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why="A conform finds the original of each cut by reel name and timecode. Where the proxy or the recorder on "
        "top was named by itself, or keeps no timecode, every cut is looked for by eye.",
        sources=(BY_HAND,),
        answers=("two recordings of one camera disagree: internal and external, proxy and original",),
    )
)
def edit_and_original_do_not_match(case: Case) -> Iterator[Yielded]:
    """Compare name and timecode of what post cuts with those of what it finishes with, camera by camera."""
    record = edit_and_original_do_not_match.record
    for camera, recordings in _recordings(case).items():
        device = case.setup.devices[camera]
        if all(each.copy.used_for.value is None for each in recordings):
            names = listed(each.called for each in recordings)
            line = f"{WHO} is recorded {_TIMES.get(len(recordings), 'several times')}, as {names}: agree with post "
            line += "which one is cut and which one finished, and relink one test clip"
            yield CheckLine(record, Mended.TEST_DAY, line, (device.called,), device.place)
            continue
        finish = next((each for each in recordings if each.is_for("finish")), None)
        if finish is None:
            continue
        for edit in recordings:
            if edit is not finish and edit.is_for("edit") and not edit.is_for("finish"):
                yield from _compared(case, device, edit, finish)


_TIMES = {2: "twice", 3: "three times"}


def _recordings(case: Case) -> dict[str, list[Recorded]]:
    """All recordings of each camera that is recorded more than once, its own first."""
    found: dict[str, list[Recorded]] = {}
    for device in case.setup.devices.values():
        if device.picture is None or device.through:
            continue
        camera = camera_behind(case, device) or device
        own = device.handover.own
        if not device.trigger.value or own.used_for.value is not None:
            found.setdefault(camera.key, []).append(Recorded(f"files of {device.called}", own))
        if device.handover.proxy is not None:
            found.setdefault(camera.key, []).append(Recorded(f"proxies of {device.called}", device.handover.proxy))
    return {key: recordings for key, recordings in found.items() if len(recordings) > 1}


def _compared(case: Case, camera: Device, edit: Recorded, finish: Recorded) -> Iterator[Yielded]:
    """Compare what is cut with what is finished."""
    record = edit_and_original_do_not_match.record
    names = _unlike_names(edit, finish)
    labels = _unlike_labels(edit, finish)
    if names or labels:
        yield _mismatch(case, camera, edit, finish, (names, labels))
        return
    for part, name, key in (
        ((edit.copy.reel, finish.copy.reel), "reel name", "reel"),
        ((edit.copy.timecode_on, finish.copy.timecode_on), "timecode", "timecode_on"),
    ):
        unsaid = [who for fact, who in zip(part, (edit, finish), strict=True) if not fact.written]
        if len(unsaid) == 1:
            place = unsaid[0].copy.place
            yield Unjudged(record, place, f"the {name} of the {unsaid[0].called} (records: {key})", (camera.called,))


def _unlike_names(edit: Recorded, finish: Recorded) -> bool:
    cut, whole = edit.copy.reel.value, finish.copy.reel.value
    return cut is not None and whole is not None and cut.strip().casefold() != whole.strip().casefold()


def _unlike_labels(edit: Recorded, finish: Recorded) -> bool:
    """Whether one of two recordings keeps its timecode in the file and the other does not."""
    cut, whole = edit.copy.timecode_on.value, finish.copy.timecode_on.value
    return cut is not None and whole is not None and (_IN_FILE in cut) != (_IN_FILE in whole)


def _mismatch(case: Case, camera: Device, edit: Recorded, finish: Recorded, wrong: tuple[bool, bool]) -> Finding:
    """The finding on two recordings that do not lead to each other."""
    names, labels = wrong
    bare = edit if labels and _IN_FILE not in (edit.copy.timecode_on.value or ()) else finish
    cut, whole = (_told(each, names=names, labels=labels) for each in (edit, finish))
    by = listed([way for way, is_wrong in (("name", names), ("timecode", labels)) if is_wrong])
    fact = edit.copy.reel if names else bare.copy.timecode_on
    facts = (edit.copy.used_for, finish.copy.used_for)
    return edit_and_original_do_not_match.record.finding(
        at=fact.place,
        says=f"post cuts {cut} and finishes from {whole}",
        who=(camera.called,),
        costs=by_hand(case, camera, f"no cut finds its original by {by}: ", "matched"),
        fix=_cure(case, edit, finish, wrong, bare),
        decided_by=(fact, *facts),
        also=tuple(Mention(each.copy.used_for.place, f"the {each.called}") for each in (edit, finish)),
    )


def _told(recorded: Recorded, *, names: bool, labels: bool) -> str:
    """A recording with what tells it from the other one."""
    says = f"{recorded.called}"
    if names:
        says += f" under reel {shortened(recorded.copy.reel.value or '', 20)}"
    if labels:
        says += " with timecode" if _IN_FILE in (recorded.copy.timecode_on.value or ()) else " without timecode"
    return says


def _cure(case: Case, edit: Recorded, finish: Recorded, wrong: tuple[bool, bool], bare: Recorded) -> Fix:
    """One name for both, and the camera's timecode in both."""
    names, labels = wrong
    says: list[str] = []
    edits: list[tuple[Fact[str] | Fact[tuple[str, ...]], str]] = []
    if names:
        whole = finish.copy.reel.value or ""
        says.append(f"name the {edit.called} by reel {shortened(whole, 20)} too")
        edits.append((edit.copy.reel, whole))
    if labels:
        says.append(f"let the {bare.called} keep the camera's timecode")
        edits.append((bare.copy.timecode_on, f"[{_IN_FILE}]"))
    ours: tuple[Edit, ...] = tuple(
        SetValue(fact.place, value) for fact, value in edits if fact.place.span.file == case.setup.file
    )
    text = " and ".join(says)
    return Fix(f"{text[0].upper()}{text[1:]}, and relink one test clip before the first day", ours)


RULES: tuple[Rule, ...] = (edit_and_original_do_not_match,)

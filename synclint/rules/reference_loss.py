"""References that are gone while somebody records: in the middle of a take, or unseen since before it."""

from __future__ import annotations

from collections.abc import Iterator

from synclint.day.paces import STAYS_ALONE
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
    Record,
    SetValue,
    Source,
    either,
    listed,
)
from synclint.rig.graphs import Ending
from synclint.rig.model import OWN_CLOCK, Device, End
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.lost_pace import Fall, cause_told, chain_of, drivers_of, falls, what_broke
from synclint.rules.moments import clock_of, in_frames, rolls_told
from synclint.rules.references_used import accuracies, clock_edit, clocks_apart, reference_edit
from synclint.rules.take_drift import Parting, partings
from synclint.rules.wording import PRACTICE
from synclint.trade.drift import drift_seconds
from synclint.trade.quantities import say_duration, say_ppm

_SUM = Source("20 ppm over 20 min is 24 ms: exact arithmetic", Confirmed.ARITHMETIC)


# --- in the middle of a take -----------------------------------------------------------------------------------


@rule(
    Record(
        name="reference-lost-in-a-take",
        summary="A device loses its reference, or takes it up again, while it records",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="A camera runs on by itself and moves its frames when the reference is back: a jump that is seen, or a "
        "frame lost or repeated; a sound recorder clicks or mutes. Some can be told not to follow again while they "
        "record.",
        sources=(_SUM, PRACTICE),
        answers=("reference lost mid-take",),
    )
)
def reference_lost_in_a_take(case: Case) -> Iterator[Yielded]:
    """A reference goes or comes back between the start and the end of a take."""
    for fall in falls(case):
        if not fall.whole_take:
            yield _lost(case, fall)


def _lost(case: Case, fall: Fall) -> Finding:
    """The finding on a device that loses its reference in a take."""
    device = case.setup.devices[fall.key]
    place = fall.cause.event.place if fall.cause and fall.cause.event else fall.roll.event.place
    back = fall.back_at
    comes = f" and back at {clock_of(case, back)}" if back is not None and fall.back_in_take else ""
    root = case.clock.root_of(fall.key).device
    return reference_lost_in_a_take.record.finding(
        at=place,
        says=f"{WHO} {either('is', 'are')} without {either('its', 'their')} reference in "
        f"{rolls_told(case, [fall.roll])}: {cause_told(case, fall)}{comes}",
        who=(device.called,),
        cause=("lost in a take", place, fall.roll.start),
        costs=_lost_cost(case, fall, root),
        fix=_keep_it(case, fall),
        also=(Mention(fall.roll.event.place, "the take"),),
        decided_by=(device.clock.source,),
        numbers_from=accuracies(case, fall.key, root),
    )


def _lost_cost(case: Case, fall: Fall, root: str) -> Cost:
    """For how long it runs free, and by how much it jumps where it follows again."""
    until = fall.roll.end if fall.back_at is None else min(fall.back_at, fall.roll.end)
    length = until - fall.lost_at
    says = f"{WHO} {either('runs', 'run')} free for {say_duration(length)}"
    amounts = [Amount("without reference", float(length / 60), "min")]
    ppm = clocks_apart(case, fall.key, root) if root in case.setup.devices else None
    if not ppm:
        return Cost(f"{says}, and a jump shows in the picture when it is back", tuple(amounts), float(length))
    off = drift_seconds(ppm, length)
    if fall.back_in_take:
        says += (
            f" and by then {either('is', 'are')} up to {in_frames(case, off)} off ({say_ppm(ppm)}), which jumps in the "
        )
        says += "picture when it is back"
    else:
        says += f" and {either('parts', 'part')} from the rest by up to {in_frames(case, off)} ({say_ppm(ppm)})"
    return Cost(says, (Amount("off when it is back", float(off * 1000), "ms"), *amounts), float(off))


def _keep_it(case: Case, fall: Fall) -> Fix:
    """What keeps the reference on."""
    step = fall.cause
    if step is not None and step.what == "link lost":
        return Fix(
            "Lay the lead where nobody walks, or under a ramp as local rules ask, and relieve its plugs; or bring the "
            f"sender nearer; where a menu offers it, set {WHO} not to follow again while "
            f"{either('it records', 'they record')}; note the take"
        )
    fed = [case.setup.devices[key] for key in drivers_of(case, fall.key) if _is_fed(case, key, fall)]
    if fed:
        return Fix(f"Give {fed[0].called} a supply of its own", (SetValue(fed[0].power.source.place, "own battery"),))
    name = next(
        (case.setup.called(key) for key in drivers_of(case, fall.key) if step and key in step.keys), "the source"
    )
    return Fix(
        f"Keep {name} on from before the take to after it: feed it from the mains, or change its battery between"
    )


def _is_fed(case: Case, key: str, fall: Fall) -> bool:
    return fall.cause is not None and key in fall.cause.keys and case.setup.devices[key].fed_by in fall.cause.keys


# --- unseen, since before the take -----------------------------------------------------------------------------


@rule(
    Record(
        name="clock-source-switched-off",
        summary="A device records on its own clock because what paces it is off, and they part past the tolerance",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.SET,
        why="Without its reference a device goes on by itself, and most say so only in a corner of a menu. From then "
        "on every take drifts, and nobody knows since when.",
        sources=(Source("ms = 3.6 × ppm × hours: exact arithmetic", Confirmed.ARITHMETIC), PRACTICE),
        answers=("clock source that gets switched off or silently falls back",),
    )
)
def clock_source_switched_off(case: Case) -> Iterator[Yielded]:
    """A take is recorded whole without the reference, and parts from the others."""
    whole = {(fall.key, id(fall.roll)): fall for fall in falls(case) if fall.whole_take}
    found: dict[str, list[tuple[Fall, Parting]]] = {}
    for parting in partings(case):
        roll = parting.span.roll
        for key in parting.keys if roll is not None else ():
            fall = whole.get((key, id(roll)))
            if fall is not None:
                found.setdefault(key, []).append((fall, parting))
                break
    for key, bad in found.items():
        yield _off(case, case.setup.devices[key], bad)
    yield from _to_look_at(case)


def _off(case: Case, device: Device, bad: list[tuple[Fall, Parting]]) -> Finding:
    """The finding on a device that records takes on its own clock unseen."""
    fall, parting = max(bad, key=lambda each: each[1].seconds)
    # What the labels were off at its head is of another cause, unless only both together leave the tolerance.
    slip = parting.take.slip.worst if parting.take.slip is not None else parting.seconds
    apart = slip if slip > (case.tolerance or 0) else parting.seconds
    rolls = list({id(each.roll): each.roll for each, _ in bad}.values())
    place = fall.cause.event.place if fall.cause and fall.cause.event else fall.roll.event.place
    root = case.clock.root_of(device.key).device
    length = parting.take.end - parting.take.start
    stays = device.clock.on_loss.value == STAYS_ALONE
    remains = f" and {either('does', 'do')} not follow again when it is back" if stays else ""
    return clock_source_switched_off.record.finding(
        at=place,
        says=f"{WHO} {either('records', 'record')} {rolls_told(case, rolls)} on "
        f"{either('its own clock', 'their own clocks')}: {cause_told(case, fall)}{remains}",
        who=(device.called,),
        cause=("clock off", place, len(rolls)),
        costs=Cost(
            f"{in_frames(case, apart)} off by the end of {say_duration(length)}, in {len(rolls)} "
            f"{'take' if len(rolls) == 1 else 'takes'}, and nothing shows it",
            (
                Amount("apart at the end of the take", float(apart * 1000), "ms"),
                Amount("takes", len(rolls), "takes"),
            ),
            float(apart),
        ),
        fix=_stay_on(case, device, fall),
        also=(
            Mention(device.clock.source.place, "what paces it"),
            *(Mention(roll.event.place, "a take on its own clock") for roll in rolls),
        ),
        decided_by=(case.setup.project.tolerance, device.clock.source),
        numbers_from=accuracies(case, device.key, root) if root in case.setup.devices else (),
    )


def _stay_on(case: Case, device: Device, fall: Fall) -> Fix:
    """To follow again where it could, another source that stays on where one is plugged, else to keep this one on."""
    on_loss, step = device.clock.on_loss, fall.cause
    back = step is not None and step.until is not None and step.until <= fall.roll.start
    settable = on_loss.place.span.file == case.setup.file and "able" not in on_loss.place.path
    if on_loss.value == STAYS_ALONE and back and settable:
        edit = clock_edit(device, on_loss, "on_loss", "follows again")
        return Fix(f"Set {WHO} to follow again once its reference is back, and see that it does", (edit,))
    for port in device.ports.values():
        feeds = () if port.key == device.clock.source.value else case.clock.feeds_at(End(device.key, port.key))
        for feed in feeds:
            if not feed.last.only_compares and _never_off(case, feed.source):
                edits: tuple[Edit, ...] = (reference_edit(device, port.key),)
                return Fix(
                    f"Pace {WHO} by what {case.setup.called(feed.source)} brings to {port.key}, which stays on", edits
                )
    source = next((key for key in drivers_of(case, device.key) if fall.cause and key in fall.cause.keys), None)
    named = case.setup.called(source) if source else "the source"
    return Fix(
        f"Leave {named} on until wrap, or pace {WHO} by what stays on; have the clock status on the main screen, and "
        "look at it before each take"
    )


def _never_off(case: Case, key: str) -> bool:
    return key in case.run.histories and all(state.working for state in case.run.histories[key])


def _to_look_at(case: Case) -> Iterator[CheckLine]:
    """Devices whose source is back before a take, and of which nobody says whether they follow again."""
    for key in case.run.histories:
        device = case.setup.devices[key]
        if (
            device.clock.source.value in (None, OWN_CLOCK)
            or device.clock.on_loss.value is not None
            or not device.records
        ):
            continue
        lost = False
        for pace in case.phases.paces.history(key):
            back = lost and pace.key != key
            lost = pace.key == key
            step = what_broke(case, key, pace.since) if back else None
            if step is not None and any(roll.start >= pace.since and key in roll.devices for roll in case.run.rolls):
                yield CheckLine(
                    clock_source_switched_off.record,
                    Mended.SET,
                    f"after {clock_of(case, pace.since)}: see that {WHO} {either('says it is', 'say they are')} locked "
                    f"to {case.setup.called(chain_of(case, key)[0].source)} again",
                    (device.called,),
                    device.clock.source.place,
                )


# --- nothing plugged at all ------------------------------------------------------------------------------------


@rule(
    Record(
        name="no-reference-arrives",
        summary="A device is set to take its pace from a port at which nothing arrives",
        level=Level.ERROR,
        hurts=Hurts.POST,
        mended=Mended.MORNING,
        why="It runs on its own clock, and everybody believes that it is locked, since the menu says so.",
        sources=(Source("ms = 3.6 × ppm × hours: exact arithmetic", Confirmed.ARITHMETIC), PRACTICE),
        answers=("set to an outside reference but nothing arrives",),
    )
)
def no_reference_arrives(case: Case) -> Iterator[Yielded]:
    """A device listens for its pace at a port that no lead, radio or network reaches."""
    for key, device in case.setup.devices.items():
        root = case.clock.root_of(key)
        if not device.through and root.ending is Ending.NOTHING and root.device == key:
            yield _nothing(case, device)


def _nothing(case: Case, device: Device) -> Finding:
    """The finding on a device that waits for a reference."""
    source = device.clock.source
    roots = [root for root in case.clock.followers if root != device.key]
    other = max(roots, key=lambda root: len(case.clock.followers[root]), default=None)
    ppm = clocks_apart(case, device.key, other) if other else device.clock.accuracy.value
    beside = f"from {case.setup.called(other)}" if other else "from the true time"
    says = f"{WHO} {either('runs on its own clock', 'run on their own clocks')}"
    amounts: tuple[Amount, ...] = ()
    if ppm:
        says += f" and {either('parts', 'part')} {beside} by up to {say_ppm(ppm)}, "
        says += f"{say_duration(drift_seconds(ppm, 3600))} an hour"
        amounts = (Amount("parting", float(drift_seconds(ppm, 3600) * 1000), "ms an hour"),)
    hang = [case.setup.called(each) for each in case.setup.devices if _hangs_on(case, each, device.key)]
    behind = f", and {listed(hang)} with {either('it', 'them')}" if hang else ""
    return no_reference_arrives.record.finding(
        at=source.place,
        says=f"{WHO} {either('takes its', 'take their')} pace from {source.value}, where no lead, radio or network "
        f"brings any{behind}",
        who=(device.called,),
        cause=("no reference", source.value, other, tuple(hang)),
        costs=Cost(says, amounts, float(ppm or 0)),
        fix=Fix(
            f"Plug a reference into {source.value} of {WHO}; or set {either('it', 'them')} to {OWN_CLOCK}, so that "
            f"nobody believes {either('it is', 'they are')} locked",
            (SetValue(source.place, OWN_CLOCK),),
        ),
        decided_by=(source,),
        numbers_from=accuracies(case, device.key, *((other,) if other else ())),
    )


def _hangs_on(case: Case, key: str, waiting: str) -> bool:
    return key != waiting and key in case.clock.listened and case.clock.root_of(key).device == waiting


RULES: tuple[Rule, ...] = (reference_lost_in_a_take, clock_source_switched_off, no_reference_arrives)

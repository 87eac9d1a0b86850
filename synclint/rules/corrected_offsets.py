"""Fixed offsets that somebody corrects: once and no more, the right way round, and by what they really are."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from synclint.findings import (
    WHO,
    Cost,
    Edit,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Place,
    Record,
    Remove,
    SetValue,
    either,
)
from synclint.rig.offsets import MENU, FixedOffset
from synclint.rules.fixed_delays import (
    SUM,
    ahead,
    amounts,
    clips_of,
    disagrees,
    is_labelled,
    is_off,
    moved,
    offsets,
    said,
    through,
)
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import Offset


def _left_over(case: Case) -> Iterator[FixedOffset]:
    """The devices that are corrected and off all the same."""
    for key, offset in offsets(case).items():
        if is_labelled(case, case.setup.devices[key]) and offset.corrected and is_off(case, offset, offset.left):
            yield offset


def _twice(offset: FixedOffset) -> bool:
    """Whether the menu and post both take out the same."""
    return offset.entered * offset.subtracted < 0


def _level(case: Case, offset: FixedOffset) -> Level:
    """An error where what is left is more than is tolerated, for nobody looks for it any more."""
    return Level.ERROR if case.tolerance is not None and abs(offset.left) > case.tolerance else Level.WARNING


def _cost(case: Case, offset: FixedOffset, instead: Fraction) -> Cost:
    """What is left, in every clip."""
    side = "late" if offset.left > 0 else "early"
    was = f", where {said(offset, instead)} {_were(offset, instead)} to be mended" if instead else ""
    was = ", as if nobody had touched it" if offset.left == instead else was
    return Cost(
        f"laid by timecode, {clips_of(case, offset.device)} lies {said(offset, offset.left)} too {side}"
        f"{was}; it looks mended, so nobody looks again",
        amounts(offset, offset.left, "label error left"),
        float(abs(offset.left)),
    )


def _were(offset: FixedOffset, seconds: Fraction) -> str:
    return "was" if offset.rate is None or abs(seconds) * offset.rate.fps <= 1 else "were"


# --- twice -----------------------------------------------------------------------------------------------------


@rule(
    Record(
        name="offset-corrected-twice",
        summary="A fixed offset is taken out in the camera's menu and again in post",
        level=Level.ERROR,
        hurts=Hurts.TIME,
        mended=Mended.POST,
        why=(
            "A correction is invisible in the files: who gets them cannot see that it was made. An offset that the "
            "menu and post both take out is as large as before and the other way round. One place corrects it."
        ),
        sources=(PRACTICE, SUM),
        answers=("constant offset applied twice",),
    )
)
def offset_corrected_twice(case: Case) -> Iterator[Yielded]:
    """The menu moves the labels, and post subtracts what the menu has already taken out."""
    for offset in _left_over(case):
        if not _twice(offset):
            continue
        device, told = offset.device, offset.told
        twice: Fact[Offset] | Fact[str] = told or device.offset_corrected_in
        yield offset_corrected_twice.record.finding(
            at=twice.place,
            level=_level(case, offset),
            says=f"the offset of {WHO} is corrected twice: {either('its menu moves', 'their menus move')} the labels "
            f"by {offset.written(offset.entered)}, and post subtracts {offset.written(offset.subtracted)} from them",
            who=(device.called,),
            cause=("twice", offset.entered, offset.subtracted, offset.left),
            costs=_cost(case, offset, Fraction(0)),
            fix=_once(offset),
            decided_by=_deciding(case, offset),
            also=(Mention(_menu_place(offset), "the correction in the menu"),),
        )


def _once(offset: FixedOffset) -> Fix:
    """Leave one of two corrections: the one in the files, where post was told of another."""
    device, told = offset.device, offset.told
    edits: tuple[Edit, ...] = ()
    if told is not None:
        edits = (Remove(told.place),)
    elif device.offset_entered.written:
        edits = (Remove(device.offset_entered.place),)
        return Fix(f"Put the menu of {WHO} to 0 frames and leave the correction to post", edits)
    menu = offset.written(offset.entered)
    return Fix(f"Strike {WHO} from what post takes out, and leave {menu} in {either('its menu', 'their menus')}", edits)


def _menu_place(offset: FixedOffset) -> Place:
    entered = offset.device.offset_entered
    return entered.place if entered.written else offset.device.offset_corrected_in.place


def _deciding(case: Case, offset: FixedOffset) -> tuple[Fact[object], ...]:
    """The facts that a left-over rests on; the tolerance only where it alone made it an error."""
    told = (offset.told,) if offset.told is not None else ()
    level = (case.setup.project.tolerance,) if _level(case, offset) is Level.ERROR and _is_close(case, offset) else ()
    return (*offset.facts, *told, *level)


def _is_close(case: Case, offset: FixedOffset) -> bool:
    """Whether another tolerance that somebody might state would let what is left pass."""
    return case.tolerance is not None and abs(offset.left) < 2 * case.tolerance


# --- the wrong way, or by another amount -----------------------------------------------------------------------


@rule(
    Record(
        name="offset-wrongly-corrected",
        summary="A fixed offset is corrected with the wrong sign or by another amount",
        level=Level.ERROR,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why=(
            "Labels that are ahead are corrected by subtracting. Entered with the wrong sign a correction doubles the "
            "error, 2 frames become 4; and menus do not agree on which way their plus goes, so a clip has to be "
            "filmed after it was entered."
        ),
        sources=(PRACTICE, SUM),
        answers=("constant offset with the wrong sign",),
    )
)
def offset_wrongly_corrected(case: Case) -> Iterator[Yielded]:
    """What the menu adds or post subtracts leaves an offset of half a frame or more."""
    for offset in _left_over(case):
        if _twice(offset) or disagrees(case, offset):
            continue
        amount = offset.amount or Fraction(0)
        yield offset_wrongly_corrected.record.finding(
            at=_menu_place(offset) if offset.told is None else offset.told.place,
            level=_level(case, offset),
            says=f"the labels of {WHO} are {ahead(offset, amount) if amount else 'right by themselves'}, and "
            f"{_done(offset)}{_verdict(offset, amount)}",
            who=(offset.device.called,),
            cause=("wrong", amount, offset.entered, offset.subtracted),
            costs=_cost(case, offset, amount),
            fix=_right_way(offset, amount),
            decided_by=_deciding(case, offset),
        )


def _done(offset: FixedOffset) -> str:
    """What is done about an offset."""
    parts = []
    if offset.entered:
        parts.append(f"{either('its menu moves', 'their menus move')} them by {offset.written(offset.entered)}")
    if offset.subtracted:
        parts.append(f"post subtracts {offset.written(offset.subtracted)}")
    return " and ".join(parts)


def _verdict(offset: FixedOffset, amount: Fraction) -> str:
    """In what way that is wrong."""
    if offset.entered and offset.subtracted:
        return ": the two undo each other"
    if offset.left == 2 * amount and amount:
        return ", the way they are off already: the wrong sign"
    return f": {ahead(offset, offset.left)} is left" if amount else ", which puts them wrong"


def _right_way(offset: FixedOffset, amount: Fraction) -> Fix:
    """What to enter instead, in the one place that is to correct it."""
    told, entered = offset.told, offset.device.offset_entered
    film = "then film one clip with a clap and look"
    if told is not None and not (offset.entered and offset.device.offset_corrected_in.value == MENU):
        edits: list[Edit] = [SetValue(told.place, offset.written(amount))]
        if entered.written:
            edits.append(Remove(entered.place))
        return Fix(f"Have post {moved(offset, amount)}, {film}", tuple(edits))
    edits = [SetValue(entered.place, offset.written(-amount))] if entered.written else []
    if told is not None:
        edits.append(Remove(told.place))
    menu = either("the menu", "the menus")
    return Fix(f"Enter {offset.written(-amount)} in {menu} of {WHO}, {film}", tuple(edits))


# --- not what the leads make it --------------------------------------------------------------------------------


@rule(
    Record(
        name="offset-not-as-its-paths",
        summary="The offset that is written down is not what the delays of picture and timecode come to",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why=(
            "An offset belongs to one way of wiring: the same recorder with its timecode embedded in the picture has "
            "none. Where the sheet and the leads say different things, one was changed without the other."
        ),
        sources=(PRACTICE, SUM),
        answers=("constant offset not known or not declared",),
    )
)
def offset_not_as_its_paths(case: Case) -> Iterator[Yielded]:
    """The stated offset differs by half a frame or more from what is worked out from the leads."""
    for offset in offsets(case).values():
        computed, stated = offset.computed, offset.stated
        if computed is None or computed.seconds is None or stated is None:
            continue
        if disagrees(case, offset) and is_labelled(case, offset.device):
            yield _not_as_computed(case, offset, stated, computed.seconds)


def _not_as_computed(case: Case, offset: FixedOffset, stated: Fraction, seconds: Fraction) -> Finding:
    """The finding on an offset that the leads do not make."""
    device, apart = offset.device, abs(stated - seconds)
    steps = (*offset.computed.late, *offset.computed.early) if offset.computed is not None else ()
    makes = (
        f"{through(steps)} {'makes' if len(steps) == 1 else 'make'} it {offset.written(seconds)}"
        if steps
        else ("its timecode is held up with its picture, which makes none")
    )
    tested = device.offset_tested
    on = f", measured on {tested.value}" if tested.value is not None else ""
    edits = () if tested.value is not None else (SetValue(device.offset.place, offset.written(seconds)),)
    return offset_not_as_its_paths.record.finding(
        at=device.offset.place,
        says=f"the sheet gives {WHO} an offset of {offset.written(stated)}{on}; by the leads {makes}",
        who=(device.called,),
        cause=("not as its paths", stated, seconds, tested.value),
        costs=Cost(
            f"one of the two is wrong by {said(offset, apart)}: corrected by the sheet, "
            f"{clips_of(case, device)} is off by that",
            amounts(offset, apart, "apart"),
            float(apart),
        ),
        fix=Fix(
            f"Film a clap through these very leads, and put right "
            f"{'the delay or the offset' if tested.value is not None else f'the offset of {WHO}'}",
            edits,
        ),
        decided_by=(device.offset, *(step.delay for step in steps)),
        also=tuple(Mention(step.delay.place, f"the delay of {step.called}") for step in steps),
    )


RULES: tuple[Rule, ...] = (offset_corrected_twice, offset_wrongly_corrected, offset_not_as_its_paths)

"""Screens before cameras: on one reference, at one rate, and never changing while a picture is exposed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from synclint.findings import (
    WHO,
    Amount,
    Confirmed,
    Cost,
    Fact,
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
)
from synclint.rig.model import Device, End
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.label_rates import meant_rate
from synclint.rules.references_used import VIDEO, accuracies, clocks_apart, format_on, reference_edit
from synclint.rules.walls import Wall, walls
from synclint.rules.wording import PRACTICE
from synclint.trade.drift import seconds_until
from synclint.trade.exposure import pictures_a_frame, seam_travel
from synclint.trade.quantities import say_duration, say_number, say_ppm
from synclint.trade.rates import Rate
from synclint.trade.references import Reference

_REFERENCES = VIDEO | {"PTP", "clock", "word clock"}
_OUTSIDE = "time from outside"
_SEAMS = Source(
    "24 before 23.976 is a frame in 41.7 s, 60 before 59.94 in 16.7 s: exact arithmetic", Confirmed.ARITHMETIC
)


def shot_rate(camera: Device) -> Fact[Rate] | None:
    """How many pictures a second a camera takes, which is what a screen must suit; None where nobody says."""
    picture = camera.picture
    if picture is None or picture.variable.value or picture.shot_at.value is None:
        return None
    fact = picture.shot_at
    return Fact(meant_rate(camera, fact), fact.place, fact.standing, fact.text, fact.why)


# --- one reference ---------------------------------------------------------------------------------------------


@rule(
    Record(
        name="wall-not-on-one-reference",
        summary="A screen, the cameras that film it, its render nodes and its trackers are not on one reference",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.TEST_DAY,
        why="What is not locked drifts through the picture: a tear or a band wanders over the screen, and foreground "
        "and background come a frame apart. Network time that only labels a camera does not pace its sensor.",
        sources=(Source("a frame at the clocks' ppm: exact arithmetic", Confirmed.ARITHMETIC), PRACTICE),
        answers=("not everything that must be phase-locked is on one reference",),
    )
)
def wall_not_on_one_reference(case: Case) -> Iterator[Yielded]:
    """Compare the clocks behind all that a filmed screen comes of."""
    for wall, device, common in loose_at_walls(case):
        yield _loose(case, wall, device, common)


def loose_at_walls(case: Case) -> Iterator[tuple[Wall, Device, str]]:
    """For each screen the devices that are not paced as most of those around it, and by whom those are."""
    for wall in walls(case):
        members = [device for device in wall.members if not device.through]
        if not any(_can_lock(case, device) for device in (wall.screen, *wall.nodes)):
            continue  # a screen that plays by itself in the picture
        roots = {device.key: _pace_of(case, device) for device in members}
        common = _common(roots)
        for device in members:
            if roots[device.key] not in (common, None):
                yield wall, device, common or ""


def _can_lock(case: Case, device: Device) -> bool:
    """Whether a device is there to be locked: it takes a reference, or is set to one."""
    takes = {each for port in device.ports.values() for each in port.takes.value or ()}
    return not takes.isdisjoint(_REFERENCES) or bool(case.clock.listened.get(device.key))


def _pace_of(case: Case, device: Device) -> str | None:
    """Whose clock paces the pictures of a device; None where that cannot be told or is told by other rules."""
    port = device.ports.get(device.clock.source.value or "")
    if port is not None and port.timing.paces_pictures.value is False:
        return device.key
    root = case.clock.root_of(device.key)
    if not root.generates:
        return None
    return root.device if root.ending.value == "own clock" else _OUTSIDE


def _common(roots: dict[str, str | None]) -> str | None:
    """What most are paced by; of equals what is none of them, which is a generator."""
    counts = Counter(root for root in roots.values() if root is not None)
    return max(counts, key=lambda root: (counts[root], root not in roots), default=None)


def _loose(case: Case, wall: Wall, device: Device, common: str) -> Finding:
    """The finding on a device that is not on the reference of the others."""
    others = case.setup.called(common) if common != _OUTSIDE else common
    mine = case.clock.root_of(device.key).device
    port = device.ports.get(device.clock.source.value or "")
    labels_only = port is not None and port.timing.paces_pictures.value is False
    on = "its own clock" if mine == device.key else f"the clock of {case.setup.called(mine)}"
    says = f"{WHO} {either('runs', 'run')} on {on}"
    if labels_only and port is not None:
        says = (
            f"{WHO} {either('takes its', 'take their')} pace from {port.key}, which sets labels and paces no pictures"
        )
    return wall_not_on_one_reference.record.finding(
        at=device.clock.source.place,
        says=f"{says}, and the rest around {wall.screen.called} is on {others}",
        who=(device.called,),
        cause=("wall", wall.screen.key, common, on, labels_only),
        costs=_wanders(case, wall, device.key if labels_only else mine, common),
        fix=_lock(case, device, common, others),
        also=(Mention(wall.screen.screen.filmed_by.place, f"who films {wall.screen.called}"),),
        decided_by=(device.clock.source, *((port.timing.paces_pictures,) if labels_only and port else ())),
        numbers_from=accuracies(case, *(key for key in (mine, common) if key in case.setup.devices)),
    )


def _wanders(case: Case, wall: Wall, mine: str, common: str) -> Cost:
    """How soon a seam has gone through the picture."""
    rate = next((fact.value for camera in wall.cameras if (fact := shot_rate(camera)) and fact.value), None)
    ppm = clocks_apart(case, mine, common) if common in case.setup.devices else None
    if rate is None or not ppm:
        return Cost("a tear stands somewhere in the picture and wanders, and no test of ten seconds shows it")
    through = seconds_until(ppm, rate.frame) or Fraction(0)
    return Cost(
        f"at {say_ppm(ppm)} a tear wanders through the picture once in {say_duration(through)}, from wherever it "
        "stands when all are switched on",
        (Amount("a seam through the picture every", float(through), "s"),),
        float(ppm),
    )


def _lock(case: Case, device: Device, common: str, others: str) -> Fix:
    """The port at which the common reference arrives, or the leg that is wanted."""
    for port in device.ports.values():
        feeds = case.clock.feeds_at(End(device.key, port.key)) if port.timing.paces_pictures.value is not False else ()
        for feed in feeds:
            root = case.clock.root_of(feed.source)
            if root.generates and common in (root.device, feed.source) and feed.source != device.key:
                return Fix(
                    f"Set {WHO} to the reference that arrives at {port.key}, and film a moving line over the whole "
                    "screen for a minute",
                    (reference_edit(device, port.key),),
                )
    return Fix(f"Run a reference leg from {others} to {WHO}, and film a moving line over the whole screen for a minute")


# --- one rate --------------------------------------------------------------------------------------------------


@rule(
    Record(
        name="screen-of-another-rate",
        summary="A screen is refreshed at a rate that is no whole multiple of the rate of a camera that films it",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.TEST_DAY,
        why="Each frame then catches the screen a little later in its picture: a seam travels through the frame. At a "
        "thousandth off it takes the better part of a minute, so that a short test looks right.",
        sources=(_SEAMS, PRACTICE),
        answers=("wall, content and camera in different rate families",),
    )
)
def screen_of_another_rate(case: Case) -> Iterator[Yielded]:
    """Compare how often a filmed screen changes with how often each camera looks."""
    for wall in walls(case):
        shown = tuple(refreshes(case, wall))
        for camera in wall.cameras:
            rate = shot_rate(camera)
            if rate is None or rate.value is None:
                continue
            for fact, shown_by, what in shown:
                if fact.value is not None and not _suits(fact.value, rate.value):
                    yield _travels(wall, camera, rate, fact, shown_by, what)


def refreshes(case: Case, wall: Wall) -> Iterator[tuple[Fact[Rate], str, Reference | None]]:
    """How often the screen changes, and how often what feeds it does, by its setting or by the format on its lead."""
    yield wall.screen.screen_refresh, wall.screen.called, None
    for node in wall.nodes:
        if node.screen_refresh.written:
            yield node.screen_refresh, node.called, None
    for link in wall.leads:
        reference = format_on(link)
        if reference is not None and link.carries.value == "picture":
            fact = link.format
            yield (
                Fact(reference.frame_rate, fact.place, fact.standing, fact.text, fact.why),
                case.setup.called(link.source.device),
                reference,
            )


def _suits(refresh: Rate, camera: Rate) -> bool:
    """Whether a screen's pictures fall evenly on a camera's frames, several to one or one to several."""
    return seam_travel(refresh, camera) is None or (camera.fps / refresh.fps).denominator == 1


def _travels(
    wall: Wall, camera: Device, rate: Fact[Rate], refresh: Fact[Rate], shown_by: str, form: Reference | None
) -> Finding:
    """The finding on a camera before a screen of another rate."""
    own, shown = rate.value or Rate(Fraction(24)), refresh.value or Rate(Fraction(24))
    travel = seam_travel(shown, own) or Fraction(1)
    times = pictures_a_frame(shown, own) if travel > 1 else 1
    wanted = Rate(own.fps * times)
    text = wanted.name if form is None else Reference(form.lines, wanted, form.scan).name
    says = f"a seam travels through the picture every {say_duration(travel)}, which a test of ten seconds does not show"
    amounts = (Amount("a seam through the picture every", float(travel), "s"),)
    if travel <= 1:
        says = f"the screen flickers {say_number(1 / travel, 2)} times a second"
        amounts = (Amount("flicker", float(1 / travel), "times a second"),)
    whose = "" if shown_by == wall.screen.called else f" of {shown_by}"
    return screen_of_another_rate.record.finding(
        at=refresh.place,
        says=f"{WHO} {either('shoots', 'shoot')} at {own.name} before {wall.screen.called}, whose picture{whose} "
        f"changes at {shown.name}",
        who=(camera.called,),
        cause=("rate of a screen", refresh.place, own),
        costs=Cost(says, amounts, float(travel)),
        fix=Fix(
            f"Set {shown_by} to {wanted.name}, exactly the rate of {WHO}"
            f"{f' times {times}' if times > 1 else ''}, and film it for a minute",
            (SetValue(refresh.place, text),),
        ),
        also=(Mention(rate.place, f"{camera.called} at {own.name}"),),
        decided_by=(refresh, rate),
    )


RULES: tuple[Rule, ...] = (wall_not_on_one_reference, screen_of_another_rate)

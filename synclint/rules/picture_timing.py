"""Pictures that are switched live: how late they come to the mixer, and what a synchroniser does to a free camera."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

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
    Source,
    Unjudged,
    either,
)
from synclint.rig.graphs import Ending, Feed, PictureGraph, Root
from synclint.rig.model import OWN_CLOCK, Device, End, Link, Port
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.plugged_references import only_unheard
from synclint.rules.references_used import (
    accuracies,
    clocks_apart,
    format_on,
    frame_rate_of,
    phase_edit,
    reference_edit,
)
from synclint.rules.wording import PRACTICE
from synclint.trade.drift import seconds_until
from synclint.trade.phase import parse_phase, say_phase
from synclint.trade.quantities import say_duration, say_ppm
from synclint.trade.references import METRE_OF_CABLE, Reference

_CABLE = Source("5 ns a metre of coax or fibre, from memory", Confirmed.MEMORY)
_CLOCKS = Source("10 µs are 1,484 pixel clocks at 1080/59.94p: exact arithmetic", Confirmed.ARITHMETIC)


@dataclass(frozen=True, slots=True)
class _Arrival:
    """A camera's pictures at an input that minds when they come."""

    camera: Device
    mixer: Device
    port: Port
    feed: Feed

    @property
    def format(self) -> Reference | None:
        """The format of the pictures, where a lead on the way says it."""
        return next((each for each in map(format_on, reversed(self.feed.links)) if each is not None), None)


def _arrivals(case: Case) -> tuple[_Arrival, ...]:
    return case.once(_find)


def _find(case: Case) -> tuple[_Arrival, ...]:
    graph = PictureGraph(case.setup)
    found: list[_Arrival] = []
    for mixer in case.setup.devices.values():
        for port in mixer.ports.values():
            if port.timing.frame_synchroniser.value or port.timing.timed_within.value is not None:
                feeds = graph.feeds_at(End(mixer.key, port.key))
                found += [_Arrival(case.setup.devices[feed.source], mixer, port, feed) for feed in feeds]
    return tuple(each for each in found if not any(_holds(case, link) for link in each.feed.links[:-1]))


def _holds(case: Case, link: Link) -> bool:
    """Whether pictures are timed anew at the far end of a lead."""
    port = case.setup.devices[link.target.device].ports.get(link.target.port)
    return port is not None and bool(port.timing.frame_synchroniser.value)


def _reference_of(case: Case, device: Device) -> tuple[Root, tuple[Link, ...]] | None:
    """The clock behind what paces a device, with the leads along which it comes; None where nobody says.

    A mixer or a synchroniser passes pictures on and has a reference all the same.
    """
    if not device.through:
        feeds = case.clock.listened.get(device.key, ())
        root = case.clock.root_of(device.key)
    elif device.clock.source.value in (None, OWN_CLOCK):
        return None if device.clock.source.value is None else (Root(device.key, Ending.OWN_CLOCK), ())
    else:
        feeds = case.clock.feeds_at(End(device.key, device.clock.source.value or ""))
        if not feeds:
            return None
        root = case.clock.root_of(feeds[0].source)
    return (root, _leads(case, feeds[:1])) if root.generates else None


def _leads(case: Case, feeds: Iterable[Feed]) -> tuple[Link, ...]:
    """All leads from the root to a device, the nearest first."""
    found: list[Link] = []
    seen: set[str] = set()
    for feed in feeds:
        current: Feed | None = feed
        while current is not None and current.target not in seen:
            seen.add(current.target)
            found += reversed(current.links)
            current = next(iter(case.clock.listened.get(current.source, ())), None)
    return tuple(found)


# --- cable that is not timed -----------------------------------------------------------------------------------


@rule(
    Record(
        name="picture-arrives-out-of-time",
        summary="A camera's pictures come to the mixer later or earlier than its input takes",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.TEST_DAY,
        why="A camera frames its pictures when the reference reaches it, and they take the way back as well: a "
        "kilometre of fibre there and back is 10 µs. The camera reports no fault; the mixer shifts the picture, or "
        "holds it for a frame.",
        sources=(_CLOCKS, _CABLE, PRACTICE),
        answers=("phase and cable delay not timed",),
    )
)
def picture_arrives_out_of_time(case: Case) -> Iterator[Yielded]:
    """Add up the leads of reference and picture, and compare what a camera's phase leaves with what an input takes."""
    for arrival in _arrivals(case):
        within, camera = arrival.port.timing.timed_within.value, _reference_of(case, arrival.camera)
        if within is None or arrival.port.timing.frame_synchroniser.value or camera is None:
            continue
        mixer = _reference_of(case, arrival.mixer)
        if mixer is not None and mixer[0] == camera[0]:
            yield from _timed(case, arrival, abs(within), camera[1], mixer[1])


def _timed(
    case: Case, arrival: _Arrival, within: Fraction, to_camera: tuple[Link, ...], to_mixer: tuple[Link, ...]
) -> Iterator[Yielded]:
    """Judge a camera that is on the mixer's reference."""
    there = (*to_camera, *arrival.feed.links)
    unsaid = next((link for link in (*there, *to_mixer) if _length(link) is None), None)
    if unsaid is not None:
        ends = f"{case.setup.called(unsaid.source.device)} to {case.setup.called(unsaid.target.device)}"
        lacks = f"how long the lead from {ends} is (links: length)"
        yield Unjudged(picture_arrives_out_of_time.record, unsaid.place, lacks, (arrival.camera.called,))
        return
    metres = sum((_length(link) or Fraction(0) for link in there), Fraction(0))
    metres -= sum((_length(link) or Fraction(0) for link in to_mixer), Fraction(0))
    phase = arrival.camera.clock.phase
    late = metres * METRE_OF_CABLE - (phase.value or 0)
    if abs(late) > within:
        yield _out_of_time(arrival, late, within, metres)


def _length(link: Link) -> Fraction | None:
    """How long a lead is; through the air and over a network nothing is timed by length."""
    return link.lead.length.value if link.lead is not None else Fraction(0)


def _out_of_time(arrival: _Arrival, late: Fraction, within: Fraction, metres: Fraction) -> Finding:
    """The finding on a camera whose pictures are early or late."""
    camera, phase = arrival.camera, arrival.camera.clock.phase
    exact = late + (phase.value or 0)
    wanted = say_phase(exact)
    if abs(parse_phase(wanted) - exact) > within / 2:
        wanted = say_phase(exact, 8)  # three digits are what a menu shows, unless the input is finer than that
    set_to = f", with its phase at {say_phase(phase.value)}" if phase.value is not None else ""
    word = "late" if late > 0 else "early"
    return picture_arrives_out_of_time.record.finding(
        at=arrival.feed.last.place,
        says=f"pictures of {WHO} come to {arrival.mixer.called} {say_phase(abs(late))} {word}, and "
        f"{arrival.port.key} takes {say_phase(within)} at most",
        who=(camera.called,),
        costs=_late_cost(arrival, late, metres, set_to),
        fix=Fix(
            f"Set the phase of {WHO} to {wanted} ahead of its reference, measure at the input of "
            f"{arrival.mixer.called}, and write down what it comes to",
            (phase_edit(camera, wanted),),
        ),
        also=(
            Mention(arrival.port.timing.timed_within.place, "what the input takes"),
            *((Mention(phase.place, "its phase"),) if phase.written else ()),
        ),
        decided_by=(arrival.port.timing.timed_within, phase) if phase.written else (arrival.port.timing.timed_within,),
    )


def _late_cost(arrival: _Arrival, late: Fraction, metres: Fraction, set_to: str) -> Cost:
    """How late a picture is, in pixel clocks too."""
    reference = arrival.format
    clock = reference.pixel_clock if reference is not None else None
    amounts = [Amount("out of time", float(abs(late) * 10**6), "us")]
    says = f"{say_phase(abs(late))} over {float(metres):,.0f} m there and back{set_to}"
    if clock is not None and reference is not None:
        clocks = abs(late) * clock
        says += f", {round(clocks):,} pixel clocks at {reference.name}"
        amounts.append(Amount("out of time in pixels", float(clocks), "pixel clocks"))
    return Cost(f"{says}: the mixer shifts the picture or holds it for a frame", tuple(amounts), float(abs(late)))


# --- a camera that nothing locks -------------------------------------------------------------------------------


@rule(
    Record(
        name="unlocked-camera-in-a-locked-show",
        summary="A camera on its own clock goes into a mixer or synchroniser that works to another",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why="A frame synchroniser keeps such pictures in step by dropping or repeating a frame whenever the two clocks "
        "are a frame apart, and its delay breathes by up to a frame in between. Without one the picture slides through "
        "what the mixer takes, and rolls at each cut.",
        sources=(Source("a frame of 59.94 at 20 ppm is 13.9 min: exact arithmetic", Confirmed.ARITHMETIC), PRACTICE),
        answers=("camera without genlock in a locked or live show",),
    )
)
def unlocked_camera_in_a_locked_show(case: Case) -> Iterator[Yielded]:
    """A camera's pictures come to an input whose device is paced by another clock."""
    for arrival in _arrivals(case):
        camera, mixer = _reference_of(case, arrival.camera), _reference_of(case, arrival.mixer)
        if mixer is None:
            lacks = f"what paces {arrival.mixer.called} (clock: from)"
            called = (arrival.mixer.called,)
            yield Unjudged(unlocked_camera_in_a_locked_show.record, arrival.mixer.clock.place, lacks, called)
        elif camera is None or camera[0] == mixer[0] or only_unheard(case, camera[0].device, mixer[0].device):
            continue
        else:
            yield _unlocked(case, arrival, camera[0], mixer[0])


def at_mixers(case: Case, key: str) -> tuple[tuple[bool, Cost], ...]:
    """What it costs at each mixer that a device does not listen to its reference, and whether a synchroniser helps."""
    return tuple(case.once(_at_mixers).get(key, ()))


def _at_mixers(case: Case) -> dict[str, list[tuple[bool, Cost]]]:
    found: dict[str, list[tuple[bool, Cost]]] = {}
    for arrival in _arrivals(case):
        camera, mixer = _reference_of(case, arrival.camera), _reference_of(case, arrival.mixer)
        if camera is None or mixer is None:
            continue
        one, other = camera[0].device, mixer[0].device
        if only_unheard(case, one, other):
            held = bool(arrival.port.timing.frame_synchroniser.value)
            cost = _breathing(case, arrival, clocks_apart(case, one, other), held=held)
            for key in (one, other):
                found.setdefault(key, []).append((held, cost))
    return found


def _unlocked(case: Case, arrival: _Arrival, camera: Root, mixer: Root) -> Finding:
    """The finding on a camera that nothing ties to the mixer."""
    held = bool(arrival.port.timing.frame_synchroniser.value)
    device, called = arrival.camera, arrival.mixer.called
    on = "its own clock" if camera.device == device.key else f"the clock of {case.setup.called(camera.device)}"
    into = f"the synchroniser of {called} at {arrival.port.key}" if held else f"{called} at {arrival.port.key}"
    facts: tuple[Fact[Any], ...] = (device.clock.source,)
    return unlocked_camera_in_a_locked_show.record.finding(
        at=device.clock.source.place if device.clock.source.written else arrival.feed.last.place,
        level=None if held else Level.ERROR,
        says=f"{WHO} {either('runs', 'run')} on {on}, and {into} works to that of {case.setup.called(mixer.device)}",
        who=(device.called,),
        cause=("unlocked", arrival.mixer.key, on, held),
        costs=_breathing(case, arrival, clocks_apart(case, camera.device, mixer.device), held=held),
        fix=_lock(case, arrival, held=held),
        also=(Mention(arrival.feed.last.place, f"the pictures of {device.called}"),),
        decided_by=facts,
        numbers_from=accuracies(case, camera.device, mixer.device),
    )


def _breathing(case: Case, arrival: _Arrival, ppm: Fraction | None, *, held: bool) -> Cost:
    """How often a frame is dropped or repeated; without a synchroniser, how soon the picture is out of time."""
    reference, rate = arrival.format, frame_rate_of(arrival.camera)
    frame = reference.frame_rate.frame if reference is not None else None
    if frame is None and rate is not None and rate.value is not None:
        frame = rate.value.frame
    within = abs(arrival.port.timing.timed_within.value or Fraction(0))
    if not ppm or (held and frame is None):
        return Cost("frames are dropped or repeated, at times that nobody can tell")
    if not held or frame is None:
        soon = seconds_until(ppm, within) or Fraction(0)
        return Cost(
            f"at {say_ppm(ppm)} the picture slides out of the {say_phase(within)} that the input takes in "
            f"{say_duration(soon)}, and rolls at each cut",
            (Amount("out of time after", float(soon), "s"),),
            float(ppm),
        )
    every = seconds_until(ppm, frame) or Fraction(0)
    says = f"at {say_ppm(ppm)} a frame is dropped or repeated every {say_duration(every)}"
    amounts = [Amount("a frame dropped or repeated every", float(every / 60), "min")]
    take = case.take_seconds
    if take:
        count = int(take / every)
        often = f"{count} {'time' if count == 1 else 'times'}" if count else "at most once"
        says += f", {often} in the longest take of {say_duration(take)}"
    return Cost(
        f"{says}; its delay breathes by up to {say_duration(frame)}, and so does its place in the sound",
        tuple(amounts),
        float(1 / every),
    )


def _lock(case: Case, arrival: _Arrival, *, held: bool) -> Fix:
    """To lock the camera where it can be, else to live with it."""
    device = arrival.camera
    able = [port for port in device.ports.values() if {"black burst", "tri-level"} & {*(port.takes.value or ())}]
    fed = [port for port in able if case.clock.feeds_at(End(device.key, port.key))]
    if fed:
        edits = (reference_edit(device, fed[0].key),)
        return Fix(f"Set {WHO} to the reference that arrives at {fed[0].key}", edits)
    if able:
        return Fix(f"Run a reference leg to {able[0].key} of {WHO}, and set {either('it', 'them')} to it")
    live = "use it as a cutaway and keep it out of lip sync" if held else "put a frame synchroniser before the mixer"
    return Fix(
        f"{WHO} {either('has', 'have')} no reference input: {live}, and tell post that its files want an offset and a "
        "stretch of their own"
    )


RULES: tuple[Rule, ...] = (picture_arrives_out_of_time, unlocked_camera_in_a_locked_show)

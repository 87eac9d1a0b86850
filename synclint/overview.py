"""Plain values for people that the Report carries: the rate strip, the two trees, what was assumed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from synclint.day.run import Run
from synclint.day.telling import DayTold, tell
from synclint.findings import Fact, listed, shortened
from synclint.rig.graphs import ClockGraph, Ending, Feed, TimecodeGraph
from synclint.rig.model import OWN_CLOCK, Device, Setup
from synclint.trade.quantities import say_frequency, say_number, say_ppm
from synclint.trade.rates import LabelRate


@dataclass(frozen=True, slots=True)
class RateRow:
    """One line of the rate strip: devices that are set alike."""

    devices: tuple[str, ...]
    timecode: str
    """Exact label rate and count, such as `23.976 NDF`, or `not stated`, or `-` for a device without timecode."""
    picture: str
    """`23.976`, `48 played at 23.976`, or `-`."""
    sound: str
    """`48 kHz`, `48.048 kHz stamped 48 kHz`, or `-`."""
    odd: tuple[str, ...] = ()
    """What is unlike the project, in words: `timecode`, `picture`, `sound`."""


@dataclass(frozen=True, slots=True)
class Branch:
    """A node of the timecode or clock tree: devices that hang on their parent in the same way."""

    devices: tuple[str, ...]
    how: str
    """How it hangs on its parent, such as `jam by lead, LTC`; of a root how it runs, such as `own clock, free run`."""
    below: tuple[Branch, ...] = ()


@dataclass(frozen=True, slots=True)
class Assumed:
    """A fact taken from the table of class defaults: what, for which devices, its value and on what it rests."""

    what: str
    devices: tuple[str, ...]
    value: str
    why: str


@dataclass(frozen=True, slots=True)
class Checked:
    """How much was looked at, so that silence can be trusted."""

    devices: int
    links: int
    rules: int


@dataclass(frozen=True, slots=True)
class Overview:
    """All plain values of one setup."""

    title: str
    rates: tuple[RateRow, ...] = ()
    timecode_tree: tuple[Branch, ...] = ()
    clock_tree: tuple[Branch, ...] = ()
    timecode_loose: tuple[str, ...] = ()
    """Devices that no clock labels, or that label only themselves while the rest hangs on a master."""
    clock_loose: tuple[str, ...] = ()
    day: DayTold = field(default_factory=DayTold)
    assumed: tuple[Assumed, ...] = ()
    checked: Checked = Checked(0, 0, 0)


DEEPEST_TREE = 40
"""How far a chain of followers is drawn; no rig that works is deeper, and a page could not show it."""


def look_over(setup: Setup, timecode: TimecodeGraph, clock: ClockGraph, rules: int, run: Run | None = None) -> Overview:
    """The overview of a rig of which `rules` rules were asked, and of its days where they were run through."""
    hangs = _label_parents(setup, timecode)
    followed = {parent for parent, _ in hangs.values()}
    label_roots = {key: _runs(setup.devices[key]) for key in followed if key not in hangs}
    paces = {key: (feeds[0].source, _hang(feeds[0], "paced")) for key, feeds in clock.listened.items() if feeds}
    pace_roots = {key: OWN_CLOCK for key in dict.fromkeys(parent for parent, _ in paces.values()) if key not in paces}
    clocked = [device.key for device in setup.devices.values() if not device.through]
    return Overview(
        title=setup.title.value or setup.file,
        rates=_rate_strip(setup),
        timecode_tree=_tree(setup, label_roots, hangs),
        clock_tree=_tree(setup, pace_roots, paces),
        timecode_loose=_loose(setup, clocked, label_roots, hangs, timecode),
        day=tell(run) if run else DayTold(),
        clock_loose=tuple(setup.called(key) for key in clocked if key not in pace_roots and key not in paces),
        assumed=_assumed(setup),
        checked=Checked(len(setup.devices), len(setup.links), rules),
    )


# --- the rate strip ---


def _rate_strip(setup: Setup) -> tuple[RateRow, ...]:
    """Devices that are set alike, a row each kind, in the order of the file."""
    rows: dict[tuple[str, str, str, tuple[str, ...]], list[str]] = {}
    for device in setup.devices.values():
        if device.through:
            continue
        cells = (_timecode_cell(device), _picture_cell(device), _sound_cell(device), _odd(setup, device))
        rows.setdefault(cells, []).append(device.called)
    return tuple(RateRow(tuple(who), *cells) for cells, who in rows.items())


def _said(fact: Fact[LabelRate]) -> str:
    """A label rate for a table."""
    if fact.value is not None:
        return fact.value.name
    return f"{shortened(fact.text, 20)} (unclear)" if fact.text else "not stated"


def _timecode_cell(device: Device) -> str:
    if device.timecode.source.value is None and not device.timecode.rate.written:
        return "-"
    return _said(device.timecode.rate)


def _picture_cell(device: Device) -> str:
    picture = device.picture
    if picture is None:
        return "-"
    if picture.variable.value:
        return "variable"
    if picture.shot_at.value is None:
        return f"{shortened(picture.shot_at.text, 20)} (unclear)" if picture.shot_at.text else "not stated"
    shot, played = picture.shot_at.value, picture.played_at.value
    return shot.name if played is None or played == shot else f"{shot.name} played at {played.name}"


def _sound_cell(device: Device) -> str:
    sound = device.sound
    if sound is None:
        return "-"
    if sound.sample_rate.value is None:
        return "not stated"
    rate, stamped = sound.sample_rate.value, sound.stamped.value
    said = say_frequency(rate)
    return said if stamped is None or stamped == rate else f"{said} stamped {say_frequency(stamped)}"


def _odd(setup: Setup, device: Device) -> tuple[str, ...]:
    """Which of a device's rates are unlike the project's."""
    project, found = setup.project, []
    rate, wanted = device.timecode.rate, project.rate.value
    if wanted is not None and rate.written and (rate.value is None or rate.value.counted != wanted.counted):
        found.append("timecode")
    if wanted is not None and device.picture is not None:
        shot, played = device.picture.shot_at.value, device.picture.played_at.value
        known = [rate for rate in (shot, played) if rate is not None]
        if any(rate.counted != wanted.rate.counted or rate != known[0] for rate in known):
            found.append("picture")
    if device.sound is not None and project.sample_rate.value is not None:
        sound = {device.sound.sample_rate.value, device.sound.stamped.value} - {None}
        if sound - {project.sample_rate.value}:
            found.append("sound")
    return tuple(found)


# --- the trees ---


def _label_parents(setup: Setup, timecode: TimecodeGraph) -> dict[str, tuple[str, str]]:
    """For each device that is labelled by another: by which, and how."""
    found = {}
    for key, device in setup.devices.items():
        feeds = timecode.listened.get(key, ())
        if feeds:
            how = "continuous" if timecode.follows_continuously(key) else "jam"
            found[key] = (feeds[0].source, _hang(feeds[0], how))
        elif device.timecode.source.value is None and "LTC" in (_tracks(device)).values():
            arriving = timecode.arriving.get(key, ())
            if arriving:
                found[key] = (arriving[0].source, _hang(arriving[0], "recorded as sound"))
    return found


def _tracks(device: Device) -> Mapping[str, str]:
    return (device.sound.tracks.value if device.sound else None) or {}


def _hang(feed: Feed, how: str) -> str:
    """How a device hangs on another: `jam by lead, LTC, through dist_1`."""
    through = listed(dict.fromkeys(link.source.device for link in feed.links[1:]))
    carries = feed.last.carries.value or "not said what"
    return f"{how} by {feed.last.by}, {carries}{', through ' + through if through else ''}"


def _runs(device: Device) -> str:
    """How a root runs."""
    source = device.timecode.source.value
    if source is None:
        return "not said what labels it"
    where = source if source == OWN_CLOCK else f"from {source}"
    return f"{where}, {device.timecode.mode.value}" if device.timecode.mode.value else where


def _tree(setup: Setup, roots: Mapping[str, str], hangs: Mapping[str, tuple[str, str]]) -> tuple[Branch, ...]:
    """The devices below each root; devices that hang alike, with nothing or the like below them, share a line."""
    children: dict[str, list[str]] = {}
    for key, (parent, _) in hangs.items():
        children.setdefault(parent, []).append(key)

    def branches(keys: Iterable[str], depth: int) -> tuple[Branch, ...]:
        folded: dict[tuple[str, tuple[Branch, ...]], list[str]] = {}
        for key in keys:
            how = hangs[key][1] if key in hangs else roots[key]
            below = branches(children.get(key, ()), depth + 1) if depth < DEEPEST_TREE else ()
            # Only what has nothing below it folds: each branch with followers keeps a line of its own.
            shape = below if not below else (*below, Branch((key,), ""))
            folded.setdefault((how, shape), []).append(setup.called(key))
        return tuple(
            Branch(tuple(who), how, tuple(each for each in shape if each.how)) for (how, shape), who in folded.items()
        )

    return branches([key for key in setup.devices if key in roots], 0)


def _loose(
    setup: Setup,
    clocked: Iterable[str],
    roots: Mapping[str, str],
    hangs: Mapping[str, tuple[str, str]],
    timecode: TimecodeGraph,
) -> tuple[str, ...]:
    """The devices that hang on nothing, each with why."""
    found = []
    for key in clocked:
        device = setup.devices[key]
        ending = timecode.root_of(key).ending
        if ending is Ending.LOOP:
            found.append(f"{device.called} (in a loop)")
        elif key in roots or key in hangs or ending is Ending.UNSTATED:
            continue
        elif ending is Ending.NOTHING:
            found.append(f"{device.called} (waits for timecode at {device.timecode.source.value})")
        elif ending is Ending.OWN_CLOCK:
            found.append(f"{device.called} (own clock, labels nobody else)")
    return tuple(found)


# --- what was assumed ---

_KEEPS_WHY = "neither kit nor setup says whether it loses it; jam it again all the same (common practice, no source)"


def _off_and_not_said(setup: Setup) -> Iterator[str]:
    """The jammed devices that are switched off in the days, and of which nobody says what then becomes of the time."""
    events = (event for day in setup.days for event in day.events if event.do.value == "power off")
    for key in dict.fromkeys(key for event in events for key in event.of):
        side = setup.devices[key].timecode if key in setup.devices else None
        if side is None or side.mode.value != "jam" or side.source.value in (None, OWN_CLOCK):
            continue
        if side.keeps_time_off.value is None and side.loses_time_on.value is None:
            yield key


def _assumed(setup: Setup) -> tuple[Assumed, ...]:
    """The facts taken from class defaults, devices with the same one together."""
    found: dict[tuple[str, str, str], list[str]] = {}
    for device in setup.devices.values():
        if device.through:
            continue
        facts: tuple[tuple[str, Fact[str]], ...] = (("paced by", device.clock.source),)
        accuracy = device.clock.accuracy
        if accuracy.assumed and accuracy.value is not None:
            found.setdefault(("clock accuracy", say_ppm(accuracy.value), accuracy.why), []).append(device.called)
        for what, fact in facts:
            if fact.assumed and fact.value is not None:
                found.setdefault((what, fact.value, fact.why), []).append(device.called)
        played = device.picture.played_at if device.picture else None
        if played is not None and played.assumed and played.value is not None:
            found.setdefault(("played at", played.value.name, played.why), []).append(device.called)
    keeping = [setup.called(key) for key in _off_and_not_said(setup)]
    if keeping:
        found["while off", "keeps its time", _KEEPS_WHY] = keeping
    tolerance = setup.project.tolerance
    if tolerance.assumed and tolerance.value is not None and tolerance.value.frames is not None:
        found[("tolerance", f"{say_number(tolerance.value.frames)} frame", tolerance.why)] = ["the whole rig"]
    return tuple(Assumed(what, tuple(who), value, why) for (what, value, why), who in found.items())

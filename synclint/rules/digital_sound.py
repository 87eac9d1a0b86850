"""Digital sound between devices that run on clocks of their own, and word clock handed on from box to box."""

from __future__ import annotations

from collections.abc import Iterator
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
    Standing,
    either,
    listed,
)
from synclint.rig.graphs import Ending, Feed
from synclint.rig.model import Device, End, Port
from synclint.rules.framework import Case, Rule, Yielded, rule
from synclint.rules.references_used import accuracies, clocks_apart, reference_edit
from synclint.rules.wording import PRACTICE
from synclint.trade.quantities import say_duration, say_frequency, say_ppm
from synclint.trade.sound_clocks import GRADE_1, GRADE_2, seconds_to_a_slip

_DIGITAL = "digital sound"
_REFERENCE = "AES reference"
_SLIPS = Source("10 ppm at 48 kHz is a sample in 2.08 s: exact arithmetic", Confirmed.ARITHMETIC)
_GRADES = Source(
    f"AES11-2009 5.2: grade 1 within ±{GRADE_1.accuracy} ppm, grade 2 within ±{GRADE_2.accuracy} ppm, which a device "
    f"follows over ±{GRADE_1.capture} and ±{GRADE_2.capture} ppm; as tabulated in secondary texts",
    Confirmed.TABULATED,
)

_OWN = "its own clock"
_NO_CONVERTER = "an input for digital sound has no sample-rate converter unless stated (common practice, no source)"


# --- two clocks on one link ------------------------------------------------------------------------------------


@rule(
    Record(
        name="two-clocks-on-a-digital-link",
        summary="Digital sound goes from a device on one clock to a device on another, with no converter between",
        level=Level.ERROR,
        hurts=Hurts.DAY,
        mended=Mended.MORNING,
        why="The receiver reads a little faster or slower than the sender writes; whenever they are a sample apart one "
        "is dropped or read twice, and it clicks. Both are locked to something, so nothing shows it.",
        sources=(_SLIPS, _GRADES, PRACTICE),
        answers=("two clock masters across a digital audio link",),
    )
)
def two_clocks_on_a_digital_link(case: Case) -> Iterator[Yielded]:
    """Compare the clocks at the two ends of every lead for digital sound."""
    for feed in _digital_feeds(case):
        one, other = case.clock.root_of(feed.source), case.clock.root_of(feed.target)
        if not (one.generates and other.generates) or one.device == other.device:
            continue
        if one.ending is other.ending is Ending.OUTSIDE:
            continue  # both go by the same time from outside
        converters = tuple(_converters(case, feed))
        if not any(fact.value == "switched on" for fact in converters):
            yield _slips(case, feed, converters[-1:])


def _digital_feeds(case: Case) -> Iterator[Feed]:
    """Every way that digital sound takes from one device with a clock to another."""
    seen: set[End] = set()
    for link in case.setup.links:
        end = link.target
        if link.by != "lead" or end in seen or case.setup.devices[end.device].through:
            continue
        port = case.setup.devices[end.device].ports.get(end.port)
        sound = link.carries.value == _DIGITAL or (link.carries.value == _REFERENCE and _takes_sound(port))
        if sound and not link.only_compares:
            seen.add(end)
            feeds = case.clock.feeds_at(end)
            yield from (feed for feed in feeds if feed.source != feed.target and feed.last.carries == link.carries)


def _takes_sound(port: Port | None) -> bool:
    """Whether a port that is fed an AES reference takes the sound in it too."""
    return port is not None and not {"sound", _DIGITAL}.isdisjoint(port.takes.value or ())


def _converters(case: Case, feed: Feed) -> Iterator[Fact[str]]:
    """Whether a converter stands at each input on the way; where nobody says there is none."""
    for link in feed.links:
        port = case.setup.devices[link.target.device].ports.get(link.target.port)
        stated = port.timing.sample_rate_converter if port is not None else None
        if stated is not None and stated.written and stated.value is not None:
            yield stated
        elif stated is not None and port is not None and port.timing.able_sample_rate_converter.value == "switchable":
            yield Fact("switched off", port.place, Standing.ASSUMED, why=_NO_CONVERTER)
        else:
            yield Fact("switched off", port.place if port else link.place, Standing.ASSUMED, why=_NO_CONVERTER)


def _slips(case: Case, feed: Feed, decided: tuple[Fact[Any], ...]) -> Finding:
    """The finding on two clocks with a lead between them."""
    device, source = case.setup.devices[feed.target], case.setup.devices[feed.source]
    mine, its = (case.clock.root_of(each.key).device for each in (device, source))
    on = {
        each.key: _OWN if root == each.key else f"that of {case.setup.called(root)}"
        for each, root in ((device, mine), (source, its))
    }
    return two_clocks_on_a_digital_link.record.finding(
        at=device.clock.source.place if device.clock.source.written else feed.last.place,
        says=f"{WHO} {either('takes', 'take')} digital sound from {source.called} at {feed.port} without a converter, "
        f"{_each_on(source.called, on[source.key], on[device.key])}",
        who=(device.called,),
        cause=("slips", source.key, on[device.key], feed.port),
        costs=_slip_cost(case, device, source, clocks_apart(case, mine, its)),
        fix=_one_clock(case, device, source, feed),
        also=(Mention(feed.last.place, f"digital sound from {source.called}"),),
        decided_by=(device.clock.source, source.clock.source, *decided),
        numbers_from=accuracies(case, mine, its),
    )


def _each_on(source: str, its: str, mine: str) -> str:
    """On which clocks the two run."""
    if its == mine == _OWN:
        return f"{WHO} and {source} each on {_OWN}"
    return f"{source} on {its} and {WHO} on {mine}"


def _slip_cost(case: Case, device: Device, source: Device, ppm: Fraction | None) -> Cost:
    """How often it clicks."""
    rates = [device.sound.sample_rate if device.sound else None, source.sound.sample_rate if source.sound else None]
    rate = next(
        (fact.value for fact in (*rates, case.setup.project.sample_rate) if fact is not None and fact.value), None
    )
    every = seconds_to_a_slip(ppm, rate) if ppm and rate else None
    if every is None or rate is None or ppm is None:
        return Cost("a sample is dropped or read twice again and again, and it clicks")
    says = f"the two part by up to {say_ppm(ppm)}, a sample of {say_frequency(rate)} every {say_duration(every)}: a "
    says += "click each time"
    amounts = [Amount("a click every", float(every), "s")]
    take = case.take_seconds
    if take:
        clicks = int(take / every)
        says += f", {clicks:,} in the longest take of {say_duration(take)}"
        amounts.append(Amount("clicks in the longest take", clicks, "clicks"))
    return Cost(says, tuple(amounts), float(1 / every))


def _one_clock(case: Case, device: Device, source: Device, feed: Feed) -> Fix:
    """Let the receiver follow what arrives, unless it is the one that is to lead."""
    leads = case.setup.project.master_clock.value == device.key
    if leads:
        return Fix(
            f"Lock {source.called} to {WHO} with word clock, or switch a sample-rate converter on at {feed.port}"
        )
    return Fix(
        f"Let {WHO} take {either('its', 'their')} pace from {feed.port}, or switch a sample-rate converter on there",
        (reference_edit(device, feed.port),),
    )


# --- word clock from box to box --------------------------------------------------------------------------------

_MOST_HOPS = 2
"""How many boxes in a row may hand word clock on before a star is due (common practice, no source)."""


@rule(
    Record(
        name="word-clock-from-box-to-box",
        summary="Word clock is handed on from device to device in a row",
        level=Level.WARNING,
        hurts=Hurts.TIME,
        mended=Mended.TEST_DAY,
        why="Each device makes a clock of its own from what it gets, so that jitter grows along the row, and all that "
        "come after one fall when it is switched off. A generator with an output for each has neither.",
        sources=(PRACTICE,),
        answers=("word clock daisy chain",),
    )
)
def word_clock_from_box_to_box(case: Case) -> Iterator[Yielded]:
    """Follow word clock back from device to device."""
    rows: dict[tuple[str, ...], list[tuple[str, ...]]] = {}
    for key in case.clock.listened:
        row = _row(case, key)
        if len(row) > _MOST_HOPS + 1:
            rows.setdefault(row[:2], []).append(row)
    for found in rows.values():
        yield _handed_on(case, max(found, key=len), found)


def _row(case: Case, key: str) -> tuple[str, ...]:
    """The devices from the root on along which word clock comes to a device, itself the last."""
    row = [key]
    while len(row) <= len(case.setup.devices):
        feeds = case.clock.listened.get(row[-1], ())
        if not feeds or feeds[0].last.carries.value != "word clock" or feeds[0].source in row:
            break
        row.append(feeds[0].source)
    return tuple(reversed(row))


def _handed_on(case: Case, longest: tuple[str, ...], found: list[tuple[str, ...]]) -> Finding:
    """The finding on a row of devices."""
    root, first, last = (case.setup.called(longest[index]) for index in (0, 1, -1))
    hang = list(dict.fromkeys(row[-1] for row in found))
    behind = list(dict.fromkeys(key for row in found for key in row[2:]))
    through = listed(map(case.setup.called, longest[1:-1]))
    feed = case.clock.listened[longest[-1]][0]
    return word_clock_from_box_to_box.record.finding(
        at=feed.last.place,
        says=f"word clock from {root} comes to {last} through {through}, one after the other",
        who=tuple(map(case.setup.called, hang)),
        costs=Cost(
            f"{len(longest) - 1} clocks in a row, each with the jitter of those before it; with {first} switched off "
            f"{listed(map(case.setup.called, behind))} {'runs' if len(behind) == 1 else 'run'} free",
            (
                Amount("clocks in a row", len(longest) - 1, "hops"),
                Amount("fall with the first", len(behind), "devices"),
            ),
            len(longest),
        ),
        fix=Fix(
            f"Run a lead of its own from {root} to {listed(map(case.setup.called, hang))}, or tee the word clock past "
            "them with one 75 ohm load at the far end"
        ),
        also=tuple(
            Mention(case.clock.listened[key][0].last.place, f"{case.setup.called(key)} hands it on")
            for key in longest[1:-1]
        ),
    )


RULES: tuple[Rule, ...] = (two_clocks_on_a_digital_link, word_clock_from_box_to_box)

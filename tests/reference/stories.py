"""Stories of a day, drawn at will as plain data, and the same stories as setups to be read by the program.

Nothing of the program is used here.
"""

from __future__ import annotations

import json
import random
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

CALL = 6 * 3600
"""All times are in seconds after midnight."""
HOLD = 2 * 3600
"""How long those that hold their time while they are off do so."""


@dataclass(frozen=True)
class Rig:
    """One device of a story, told by its number; it hears the one numbered `source`, which comes before it."""

    kind: str
    """`master`; `box` and `frame`, jammed by LTC and whole frames; `live`, by a lead; `air` and `steered`, by radio."""
    source: int
    accuracy: Fraction
    varying: Fraction
    measured: tuple[Fraction, Fraction] | None = None
    """What its clock was measured to run at, and within how much."""
    tunes_to: Fraction | None = None
    jam_error: Fraction | None = None
    """In seconds."""
    every: Fraction | None = None
    """Seconds between two settings by radio."""
    ahead: Fraction = Fraction(0)
    """A fixed delay that nobody corrects, in seconds."""
    paced: int | None = None
    """The device that paces it by a reference, if it is not its own clock."""
    holds: bool = True

    @property
    def follows(self) -> bool:
        """Whether it follows its source at all times."""
        return self.kind in ("live", "air", "steered")


@dataclass(frozen=True)
class Happening:
    """Something that happens: `jam`, `all`, `off`, `on`, `lost`, `back`, `arrive`."""

    at: int
    what: str
    of: tuple[int, ...] = ()
    source: int | None = None
    until: int | None = None


@dataclass(frozen=True)
class Story:
    """A rig and its day."""

    frame: Fraction
    """How long a frame lasts, in seconds."""
    rigs: tuple[Rig, ...]
    happenings: tuple[Happening, ...] = field(default=())
    """In order of time; no two at once."""
    asked: tuple[Fraction, ...] = ()
    """The moments at which the errors are asked for."""


def story(seed: int, size: int, events: int) -> Story:
    """A story of so many devices and events."""
    chance = random.Random(seed)
    rigs = [Rig("master", 0, _ppm(chance), Fraction(0) if chance.random() < 0.5 else _ppm(chance))]
    rigs += [_rig(chance, number) for number in range(1, size)]
    heard = {rig.source for rig in rigs} | {rig.paced for rig in rigs}
    happenings = _happenings(chance, rigs, events)
    heard |= {each.source for each in happenings}
    rigs = [_delayed(chance, rig) if number not in heard else rig for number, rig in enumerate(rigs)]
    asked = sorted(Fraction(2 * chance.randrange(CALL, CALL + 14 * 3600) + 1, 2) for _ in range(3))
    return Story(chance.choice([Fraction(1, 25), Fraction(1001, 24000)]), tuple(rigs), tuple(happenings), tuple(asked))


def _ppm(chance: random.Random) -> Fraction:
    return Fraction(chance.choice(["0", "0.1", "0.2", "0.5", "1", "2.5", "7", "20", "33"]))


def _rig(chance: random.Random, number: int) -> Rig:
    kind = chance.choice(["box", "box", "box", "frame", "live", "live", "air", "steered"])
    error = chance.choice([None, Fraction(0), Fraction("0.0001"), Fraction("0.003")])
    measured = (Fraction(chance.randint(-300, 300), 100), Fraction(chance.randint(0, 20), 100))
    every = Fraction(chance.choice([1, 10, 300, 1800])) if kind in ("air", "steered") else None
    paced = chance.randrange(number) if kind in ("box", "live") and chance.random() < 0.2 else None
    return Rig(
        kind,
        chance.choice([0, chance.randrange(number)]),
        _ppm(chance),
        Fraction(0) if chance.random() < 0.4 else _ppm(chance),
        measured if chance.random() < 0.25 else None,
        Fraction(chance.choice(["0.01", "0.1", "0"])) if chance.random() < 0.3 else None,
        None if kind == "frame" and chance.random() < 0.8 else error,
        every,
        Fraction(0),
        paced,
        chance.random() < 0.7,
    )


def _delayed(chance: random.Random, rig: Rig) -> Rig:
    if chance.random() < 0.6:
        return rig
    return Rig(**{**rig.__dict__, "ahead": Fraction(chance.choice([-80, -5, 12, 40, 83]), 1000)})


def _happenings(chance: random.Random, rigs: list[Rig], events: int) -> list[Happening]:
    minutes = chance.sample(range(10, 14 * 60), 2 * events + 1)
    at = [CALL + 60 * minute for minute in minutes]
    made = [Happening(min(at), "all")]
    at.remove(min(at))
    late: set[int] = set()
    while len(at) > 1:
        start, end = sorted((at.pop(), at.pop()))
        number = chance.randrange(len(rigs))
        rig = rigs[number]
        what = chance.choice(["jam", "jam", "jam", "all", "off", "lost", "arrive"])
        if what == "jam" and number:
            some = {number, *(chance.randrange(1, len(rigs)) for _ in range(chance.choice([0, 0, 2])))}
            source = chance.choice([0, chance.randrange(min(some))])
            made.append(Happening(start, "jam", tuple(sorted(some)), source))
        elif what == "all":
            made.append(Happening(start, "all"))
        elif (what == "off" or (what == "lost" and rig.follows)) and _is_free(made, number, what, start, end):
            again = {"off": "on", "lost": "back"}[what]
            made += [Happening(start, what, (number,), until=end), Happening(end, again, (number,))]
        elif what == "arrive" and number and number not in late:
            late.add(number)
            made.append(Happening(start, "arrive", (number,)))
    return sorted(made, key=lambda each: each.at)


def _is_free(made: list[Happening], number: int, what: str, start: int, end: int) -> bool:
    """Whether a device is not yet switched off, or cut off, at some moment between two."""
    spans = [(each.at, each.until or 0) for each in made if each.of == (number,) and each.what == what]
    return not any(since < end and start < until for since, until in spans)


# --- as a setup ---


def setup_of(told: Story) -> str:
    """The story as a setup; what is JSON is YAML too."""
    made: dict[str, Any] = {
        "synclint": "setup/1",
        "title": "A story",
        "project": {"rate": 25 if told.frame == Fraction(1, 25) else 23.976},
        "days": [
            {
                "date": "2026-06-14",
                "call": clock(CALL),
                "wrap": "22:00",
                "events": [_event(told, each) for each in told.happenings if each.what not in ("on", "back")],
            }
        ],
        "devices": {f"d{number}": _device(told, number) for number in range(len(told.rigs))},
        "links": [link for number in range(1, len(told.rigs)) for link in _links(told.rigs[number], number)],
        "radio_groups": {
            f"g{number}": {
                "sends": f"d{rig.source}.out",
                "receives": [f"d{number}.in"],
                "carries": "timecode",
                "resync": {"every": f"{rig.every} s", "sets": "clock" if rig.kind == "steered" else "time"},
            }
            for number, rig in enumerate(told.rigs)
            if rig.every is not None
        },
    }
    return "\n".join(f"{json.dumps(key)}: {json.dumps(value)}" for key, value in made.items()) + "\n"


def kit_of(told: Story) -> str:
    """The measured clocks of the story, as pieces on a shelf."""
    items = [
        {
            "serial": f"K{number}",
            "type": "piece",
            "runs": {"rate": f"{float(rig.measured[0]):+.2f} ppm", "within": _said(rig.measured[1])},
        }
        for number, rig in enumerate(told.rigs)
        if rig.measured is not None
    ]
    return f"synclint: kit/1\ntitle: Shelf\ntypes: {{piece: {{about: a piece}}}}\nitems: {json.dumps(items)}\n"


def clock(seconds: int) -> str:
    """A clock time as written."""
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}"


def _said(ppm: Fraction) -> str:
    return f"{float(ppm)} ppm"


def _event(told: Story, each: Happening) -> dict[str, Any]:
    names = [f"d{number}" for number in each.of]
    made: dict[str, Any] = {"at": clock(each.at)}
    if each.until is not None:
        made["until"] = clock(each.until)
    if each.what == "all":
        return {**made, "do": "jam", "of": "all"}
    if each.what == "jam":
        return {**made, "do": "jam", "of": names, "from": f"d{each.source}"}
    if each.what == "lost":
        rig = told.rigs[each.of[0]]
        if rig.kind == "live":
            return {**made, "do": "link lost", "from": f"d{rig.source}.out", "to": f"{names[0]}.in"}
        return {**made, "do": "link lost", "of": names}
    return {**made, "do": {"off": "power off", "arrive": "arrive"}[each.what], "of": names}


def _device(told: Story, number: int) -> dict[str, Any]:
    rig = told.rigs[number]
    clock = {"accuracy": _said(rig.accuracy), "varying": _said(rig.varying)}
    if rig.measured is not None:
        del clock["accuracy"]
    if rig.tunes_to is not None:
        clock["tunes_to"] = _said(rig.tunes_to)
    timecode: dict[str, Any] = (
        {"keeps_time_off": f"{HOLD // 3600} h"} if rig.holds else {"loses_time_on": ["power off"]}
    )
    if rig.jam_error is not None:
        timecode["jam_error"] = f"{float(rig.jam_error * 1000)} ms"
    modes = {"master": "free run", "box": "jam", "frame": "jam"}
    made: dict[str, Any] = {
        "able": {
            "ports": {
                "in": {"in": ["LTC", "timecode", "HDMI timecode"]},
                "out": {"out": ["LTC", "timecode", "HDMI timecode"]},
                "ref_in": {"in": ["tri-level"]},
                "ref_out": {"out": ["tri-level"]},
            },
            "clock": clock,
            "timecode": timecode,
        },
        "timecode": {
            "from": "in" if number else "own clock",
            "mode": modes.get(rig.kind, "continuous"),
            "rate": 25 if told.frame == Fraction(1, 25) else 23.976,
        },
    }
    if rig.kind == "steered":
        made["clock"] = {"from": "in"}
    elif rig.paced is not None:
        made["clock"] = {"from": "ref_in"}
    if rig.measured is not None:
        made["item"] = f"K{number}"
    if rig.ahead:
        made["offset"] = {"amount": f"{int(rig.ahead * 1000):+} ms"}
    return made


def _links(rig: Rig, number: int) -> list[dict[str, Any]]:
    made: list[dict[str, Any]] = []
    ends = {"from": f"d{rig.source}.out", "to": f"d{number}.in"}
    if rig.kind in ("box", "frame"):
        made.append({**ends, "carries": "LTC" if rig.kind == "box" else "HDMI timecode", "connected": "to jam"})
    if rig.kind == "live":
        made.append({**ends, "carries": "LTC", "connected": "all day"})
    if rig.paced is not None:
        made.append(
            {"from": f"d{rig.paced}.ref_out", "to": f"d{number}.ref_in", "carries": "tri-level", "connected": "all day"}
        )
    return made

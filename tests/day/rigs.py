"""Rigs and days drawn at will, as setups that are right as documents; what happens in them need make no sense."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import strategies as st

Setup = dict[str, Any]

ABLE: dict[str, list[Any]] = {
    "loses_time_on": [["power off"], ["rate change"], ["mode change", "power off"], None],
    "keeps_time_off": ["1 h", "2 h", None],
    "at_power_up": ["own calendar clock", "zero", "last value", None],
    "jam_error": ["0.1 ms", None],
}
CLOCKS: tuple[dict[str, str] | None, ...] = ({"accuracy": "1 ppm"}, {"accuracy": "5 ppm", "varying": "2 ppm"}, None)
ZONES = ("Europe/Lisbon", "Atlantic/Azores", "America/La_Paz", None)


@st.composite
def devices(draw: st.DrawFn, index: int) -> Setup:
    """A device of any kind that has to do with time."""
    kind = draw(st.sampled_from(["own", "jam", "jam", "live", "live", "sound", "outside", "takes", "unsaid"]))
    timecode = {key: draw(st.sampled_from(words)) for key, words in ABLE.items()}
    able: Setup = {
        "ports": {
            "in": {"in": ["GNSS"] if kind == "outside" else ["LTC", "timecode", "HDMI timecode"]},
            "out": {"out": ["LTC"]},
        },
        "timecode": {key: value for key, value in timecode.items() if value is not None},
    }
    clock = draw(st.sampled_from(CLOCKS))
    if clock:
        able["clock"] = clock
    elif draw(st.booleans()):
        able["class"] = draw(st.sampled_from(["field recorder", "cinema camera", "small camera", "timecode slate"]))
    made: Setup = {"able": able, "records": {"picture": {"shot_at": 25, "played_at": 25}}}
    sets = {
        "own": {"from": "own clock", "mode": "free run", "rate": 25},
        "jam": {"from": "in", "mode": "jam", "rate": 25},
        "live": {"from": "in", "mode": "continuous", "rate": 25},
        "outside": {"from": "in", "mode": "continuous", "rate": 25},
        "takes": {"from": draw(st.sampled_from(["own clock", "in"])), "mode": "record run", "rate": 25},
        "unsaid": {"from": "in"},
    }
    if kind == "sound":
        made["records"]["sound"] = {"sample_rate": "48 kHz", "tracks": {"left": "LTC", "right": "scratch"}}
    else:
        made["timecode"] = sets[kind]
    if index % 4 == 3:
        made["records"] = {}
    return made


def clock_times(days: int = 1) -> st.SearchStrategy[str]:
    """Times on the quarter of an hour, so that many fall together, some of them past midnight."""
    hours = st.integers(5, 24 + 4 * days)
    return st.tuples(hours, st.sampled_from([0, 15, 30])).map(
        lambda at: f"{at[0] % 24:02}:{at[1]:02}" + (" +1" if at[0] >= 24 else "")
    )


@st.composite
def events(draw: st.DrawFn, keys: list[str]) -> Setup:
    """An event of any kind, of one device or of a few."""
    what = draw(
        st.sampled_from(
            [
                "jam",
                "jam",
                "jam",
                "set clock",
                "compare",
                "roll",
                "set",
                "power off",
                "power off",
                "break",
                "link lost",
                "arrive",
                "leave",
            ]
        )
    )
    some = st.lists(st.sampled_from(keys), min_size=1, max_size=3, unique=True)
    event: Setup = {"at": draw(clock_times()), "do": what}
    if what != "break":
        event["of"] = draw(some)
    if what in ("jam", "power off", "roll") and draw(st.booleans()):
        event["of"] = "all"
    if what == "jam" and draw(st.booleans()):
        event["from"] = draw(st.sampled_from(keys))
    if what == "compare":
        event |= {"against": draw(st.sampled_from(keys)), "read_by": "display"}
    if what in ("roll", "break") or (what in ("power off", "link lost", "leave") and draw(st.booleans())):
        event["until"] = draw(clock_times())
    if what == "link lost" and draw(st.booleans()):
        del event["of"]
        event["from"] = f"{draw(st.sampled_from(keys))}.out"
    if what == "set":
        event["to"] = draw(
            st.sampled_from(
                [
                    {"timecode": {"mode": "continuous"}},
                    {"timecode": {"mode": "record run"}},
                    {"timecode": {"from": "own clock"}},
                    {"timecode": {"from": "in", "mode": "jam"}},
                    {"timecode": {"rate": 24}},
                    {"records": {"picture": {"shot_at": 50}}},
                ]
            )
        )
    return event


@st.composite
def setups(draw: st.DrawFn, most: int = 10, most_events: int = 15) -> Setup:
    """A rig of up to ten devices on one day or two."""
    keys = [f"d{index}" for index in range(draw(st.integers(1, most)))]
    draw(st.randoms()).shuffle(keys)
    made: Setup = {
        "synclint": "setup/1",
        "title": "Drawn at will",
        "project": {"rate": 25, "tolerance": "1 frame"},
        "days": [],
        "devices": {key: draw(devices(index)) for index, key in enumerate(keys)},
        "links": draw(st.lists(links(keys), max_size=14)),
    }
    some = st.lists(st.sampled_from(["2026-03-28", "2026-10-24", "2026-10-25", None]), min_size=1, max_size=2)
    dates = draw(some.filter(_follow))
    for date in dates:
        day: Setup = {"call": draw(st.sampled_from(["05:00", "06:30"])), "wrap": "05:00 +1"}
        day |= {"date": date} if date else {}
        zone = draw(st.sampled_from(ZONES))
        day |= {"zone": zone} if zone else {}
        day["events"] = draw(st.lists(events(keys), max_size=most_events // len(dates)))
        made["days"].append(day)
    if draw(st.booleans()):
        group = draw(st.lists(st.sampled_from(keys), min_size=1, max_size=3, unique=True))
        made["radio_groups"] = {
            "main": {"sends": f"{group[0]}.out", "receives": [f"{key}.in" for key in group], "carries": "timecode"}
        }
    return made


def _follow(dates: list[str | None]) -> bool:
    """Whether the days that have a date stand in order, each once."""
    stated = [date for date in dates if date]
    return stated == sorted(set(stated))


@st.composite
def links(draw: st.DrawFn, keys: list[str]) -> Setup:
    """A lead from any device to any other."""
    return {
        "from": f"{draw(st.sampled_from(keys))}.out",
        "to": f"{draw(st.sampled_from(keys))}.in",
        "carries": draw(st.sampled_from(["LTC", "LTC", "HDMI timecode"])),
        "connected": draw(st.sampled_from(["to jam", "to jam", "all day", "all day", "to compare"])),
    }


def written(setup: Setup) -> str:
    """The setup as a file; what is JSON is YAML too."""
    return "\n".join(f"{json.dumps(key)}: {json.dumps(value)}" for key, value in setup.items()) + "\n"

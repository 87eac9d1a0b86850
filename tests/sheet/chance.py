"""Rigs thrown together by chance, and names that mean harm: what nobody would plug, and yet must be drawn."""

from __future__ import annotations

from random import Random

from synclint.findings import Confirmed, Finding, Hurts, Level, Mended, Place, Record, Source
from tests.sheet import rigs

SIGNALS = ("LTC", "LTC", "LTC", "HDMI timecode", "tri-level", "word clock", "black burst", "picture", "sound")
HOWS = ("all day", "to jam", "to compare")
CLASSES = ("bag recorder", "cinema camera", "compensated generator", "sync generator", "video recorder")
NAMES = (
    "<script>alert(1)</script>",
    "]]>&amp;\"'",
    "x" * 500,
    "a name that goes on and on " * 20,
    "\u202eright to left\u202c",
    "כבל ראשי",
    "مصور أول",
    "カメラ一号機",
    "Ж" * 40,
    "e" + "\u0301" * 6,
    "\U00012031" * 12,
    "ﷺ" * 8,
    "ⅷ ☎ ½ 🎬🎬🎬",
)


def thrown(seed: int) -> rigs.Rig:
    """A rig of 3 to 40 devices, with links from anywhere to anywhere, circles and all; and findings anywhere."""
    chance = Random(seed)
    count = chance.randint(3, 40)
    rig = rigs.Rigging(f"By chance {seed}", master="d_1")
    for number in range(1, count + 1):
        rig.add(f"d_{number}", _device(chance, number))
    for _ in range(chance.randint(0, 2 * count)):
        source, target = chance.randint(1, count), chance.randint(1, count)
        rig.link(f"d_{source}.o_{chance.randint(1, 3)}", f"d_{target}.i_{chance.randint(1, 3)}",
                 chance.choice(SIGNALS), chance.choice(HOWS))  # fmt: skip
    if chance.random() < 0.5:
        rig.units = "radio_groups:\n  main: {sends: d_1.o_1, receives: [d_2.i_1, d_3.i_1], carries: timecode}\n"
    made = rigs.from_text(rig.text, check=False)
    return rigs.Rig(made.setup, tuple(_findings(chance, made)))


def _device(chance: Random, number: int) -> str:
    name = f"name: {_quoted(chance.choice(NAMES) + str(number))}, " if chance.random() < 0.3 else ""
    if chance.random() < 0.15:
        passes = "{i_1: [o_1, o_2], i_2: [o_3], i_3: [o_3]}"
        return f"{{{name}able: {{class: through-thing}}, passes: {passes}}}"
    ports = ", ".join(
        f"i_{each}: {{in: [LTC, tri-level]}}, o_{each}: {{out: [LTC, tri-level]}}" for each in range(1, 4)
    )
    made = rigs.device(
        chance.choice(CLASSES), ports, chance.choice(("own clock", "i_1", "i_1", "i_2")),
        chance.choice(("free run", "jam", "continuous")), chance.choice(("own clock", "own clock", "i_2", "i_3")),
    )  # fmt: skip
    return f"{{{name}{made[1:]}"


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(each if each.isprintable() else f"\\u{ord(each):04x}" for each in escaped) + '"'


def _findings(chance: Random, rig: rigs.Rig) -> list[Finding]:
    keys = list(rig.setup.devices)
    found = []
    for _ in range(chance.randint(0, 12)):
        key = chance.choice(keys)
        at, who = rig.setup.devices[key].place, tuple(chance.sample(keys, min(len(keys), chance.randint(0, 3))))
        if rig.setup.links and chance.random() < 0.5:
            at, who = chance.choice(rig.setup.links).place, ()
        found.append(finding(at, chance.choice(list(Level)), chance.choice(NAMES), who))
    return found


def finding(at: Place, level: Level = Level.ERROR, says: str = "it is wrong", who: tuple[str, ...] = ()) -> Finding:
    """A finding made up."""
    source = Source("made up", Confirmed.OWN)
    record = Record("made-up", "Made up", level, Hurts.DAY, Mended.SET, "It is made up.", (source,))
    return record.finding(at=at, says=says, who=who)

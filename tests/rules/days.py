"""Rigs of a test whose days are told: a bag, cameras jammed from it, and what happens."""

from tests.rules.running import rig

BAG = (
    "  bag: {able: {ports: {tc_out: {out: [LTC]}}, timecode: {loses_time_on: []}, "
    "clock: {accuracy: 0.2 ppm, varying: 0 ppm}}, timecode: {from: own clock, mode: free run, rate: RATE}, "
    "records: {sound: {sample_rate: 48 kHz}, timecode_on: [file]}}"
)


def camera(key: str, ppm: str = "2", *, mode: str = "jam", more: str = "") -> str:
    """A camera that takes LTC at `tc_in`."""
    return (
        f"  {key}: {{able: {{ports: {{tc_in: {{in: [LTC]}}, usb: {{in: [data timecode]}}}}, "
        f"timecode: {{loses_time_on: []}}, clock: {{accuracy: {ppm} ppm, varying: 0 ppm}}}}, "
        f"timecode: {{from: tc_in, mode: {mode}, rate: RATE}}, "
        f"records: {{picture: {{shot_at: PICTURE, played_at: PICTURE}}, timecode_on: [file]}}{more}}}"
    )


def box(key: str, ppm: str = "0.5", more: str = "") -> str:
    """A box that is jammed and gives LTC."""
    return (
        f"  {key}: {{able: {{ports: {{jack: {{in: [LTC], out: [LTC]}}}}, timecode: {{loses_time_on: []}}, "
        f"clock: {{accuracy: {ppm} ppm, varying: 0 ppm}}}}, timecode: {{from: jack, mode: jam, rate: RATE}}{more}}}"
    )


def to_jam(*targets: str, source: str = "bag.tc_out") -> str:
    """The link by which devices are jammed."""
    return f"  - {{from: {source}, to: [{', '.join(targets)}], carries: LTC, connected: to jam}}\n"


def stays(source: str, target: str, carries: str = "LTC") -> str:
    """A link that is there all day."""
    return f"  - {{from: {source}, to: {target}, carries: {carries}, connected: all day}}\n"


def told(
    devices: list[str], links: str, *events: str, rate: str = "25", tolerance: str = "1 frame", units: str = ""
) -> str:
    """A setup of these devices and links on a day with these events, each in YAML without its braces."""
    picture = rate.split(" ", maxsplit=1)[0]
    text = rig(
        "\n".join(devices),
        project=f"rate: {rate}, tolerance: {tolerance}, timecode: {{as: time of day}}, master: {{timecode: bag}}",
        day=f"zone: Europe/Lisbon, call: 06:30, wrap: 19:00, events: [{', '.join(f'{{{event}}}' for event in events)}]",
        links=links,
        units=units,
    )
    return text.replace("RATE", rate).replace("PICTURE", picture)


JAM = "at: 07:00, do: jam, of: all"


def roll(at: str, until: str, *devices: str, more: str = "") -> str:
    """A take with sync sound."""
    return f"at: {at}, do: roll, of: [{', '.join(devices)}], until: {until}{more}"

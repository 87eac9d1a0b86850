"""The frozen model of a setup: what is on set, how it is set, what feeds what, how the days run.

Every field that a file can state is a `Fact`. Times of the day are exact seconds after the day's midnight, lengths of
time exact seconds, frequencies hertz, clock accuracies parts per million (as `Fraction`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from synclint.documents.nodes import Node, Scalar, SequenceNode, find
from synclint.findings import Fact, Place
from synclint.rig.recordings import Handover
from synclint.rig.timing import PortTiming, Screen, Tracking
from synclint.trade.exposure import Shutter
from synclint.trade.quantities import Level, Offset
from synclint.trade.rates import LabelRate, Rate

OWN_CLOCK = "own clock"

SUPPLIES = ("own battery", "mains")
"""What feeds a device besides another one."""

LABEL_CARRIERS = frozenset({"LTC", "SDI timecode", "HDMI timecode", "data timecode", "MTC", "timecode", "PTP"})
"""What can carry a label."""


@dataclass(frozen=True, slots=True)
class Project:
    """What the whole shoot agreed on."""

    place: Place
    rate: Fact[LabelRate]
    sample_rate: Fact[Fraction]
    timecode_as: Fact[str]
    zone: Fact[str]
    tolerance: Fact[Offset]
    master_timecode: Fact[str]
    """The key of the device meant to be the timecode master, or `none`."""
    master_clock: Fact[str]
    post_rate: Fact[LabelRate]
    post_sample_rate: Fact[Fraction]
    post_time_stamp_bits: Fact[int]
    post_reads_audio_timecode: Fact[bool]
    """Whether post's tool reads timecode that was recorded as sound."""
    post_audio_timecode_tried: Fact[date]
    """When post's own tool last read a test clip with timecode recorded as sound."""
    post_second_way: Fact[tuple[str, ...]]
    """How pictures and sound are brought together where timecode fails: `slate`, `clap`, `scratch sound`, ..."""
    post_sync_by: Fact[tuple[str, ...]]
    """By what post lays clips, the first way first, where a device says nothing else."""
    dailies_keep: Fact[tuple[str, ...]]
    """What the dailies keep of the cameras' files: `file timecode`, `reel`, `all tracks` or tracks by name."""
    dailies_read_audio_timecode: Fact[bool]
    """Whether timecode recorded as sound becomes the dailies' file timecode."""
    post_corrects: Fact[Mapping[str, Fact[Offset]]]
    """What post was told to subtract of devices' labels, by device; unknown where nobody told post of any."""
    post_song_timecode_on: Fact[tuple[str, ...]]
    """The devices on which post finds a song's timecode."""
    logged_by: Fact[str]

    @property
    def tolerance_seconds(self) -> Fraction | None:
        """The tolerance in seconds; None where nobody says it, or at which rate its frames are counted."""
        offset, rate = self.tolerance.value, self.rate.value
        if offset is None or (offset.seconds is None and rate is None):
            return None
        return offset.seconds if rate is None else offset.in_seconds(rate.rate)


@dataclass(frozen=True, slots=True)
class Patch:
    """The settings that an event names; what it does not name is unknown here, and stays as it was."""

    timecode: TimecodeSide
    clock: ClockSide
    picture: PictureSide | None
    sound: SoundSide | None
    timecode_on: Fact[tuple[str, ...]]
    trigger: Fact[bool]
    plays_speed: Fact[Fraction]


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happens on a day; `at` and `until` are seconds after that day's midnight."""

    place: Place
    do: Fact[str]
    at: Fact[Fraction]
    until: Fact[Fraction]
    of: tuple[str, ...]
    """Keys of devices, `all` and ranges written out."""
    of_all: bool
    node: Node
    """The event as written, for the keys that only one kind of event has."""

    patch: Patch | None = None
    """What a `set` event changes of its devices."""

    def words(self, key: str) -> tuple[str, ...]:
        """The word, or list of words, that is written under a key of the event."""
        node = self.under(key)
        nodes = node.items if isinstance(node, SequenceNode) else (node,)
        return tuple(each.text for each in nodes if isinstance(each, Scalar))

    def under(self, *keys: str) -> Node | None:
        """What is written under keys of the event, one below the other."""
        return find(self.node, keys)

    @property
    def sync_sound(self) -> bool:
        """Whether sound is recorded to be used with the picture of this roll; so it is where nothing is said."""
        said = self.under("sync_sound")
        return not (isinstance(said, Scalar) and said.value is False)


@dataclass(frozen=True, slots=True)
class Day:
    """A day of the shoot."""

    place: Place
    date: Fact[date]
    zone: Fact[str]
    call: Fact[Fraction]
    wrap: Fact[Fraction]
    longest_take: Fact[Fraction]
    shortest_take: Fact[Fraction]
    clips: Fact[int]
    """How many clips each camera shoots on the day, about."""
    temperature: Fact[tuple[Fraction, Fraction]]
    """From the lowest to the highest, in degrees Celsius."""
    events: tuple[Event, ...]

    @property
    def length(self) -> Fraction | None:
        """Call to wrap in seconds, where both are known."""
        if self.call.value is None or self.wrap.value is None or self.wrap.value <= self.call.value:
            return None
        return self.wrap.value - self.call.value


@dataclass(frozen=True, slots=True)
class Electrics:
    """What a socket does to a signal: what it gives or reads, how it loads a line, and how it is set."""

    place: Place
    connector: Fact[str]
    timecode_at: Fact[str]
    """The contact that carries timecode (`tip`, `ring`, `pin 5`)."""
    channels: Fact[Mapping[str, str]]
    """Which contact goes to which channel, such as `{"tip": "left", "ring": "right"}`."""
    balanced: Fact[bool]
    accepts: Fact[tuple[Fraction, Fraction]]
    """The lowest and the highest level that it reads, in volts peak to peak."""
    level: Fact[Level]
    """What it gives as it is set (`output:` picks one of several named levels)."""
    levels: Fact[Mapping[str, Level]]
    """Its named levels, where it has several to pick from."""
    output: Fact[str]
    """Which of its named levels it is set to."""
    set_at: tuple[Place, tuple[str, ...]]
    """Where settings of this socket are written: the nearest mapping there is, and the keys still missing below it."""
    source_impedance: Fact[Fraction]
    """Ohms, of an output."""
    input_impedance: Fact[Fraction]
    """Ohms, of an input, without the termination that can be switched on."""
    dc_blocked: Fact[bool]
    """Whether an output bears a supply voltage from the other end."""
    able_termination: Fact[str]
    """Whether the 75 ohm at the end of a line can be set here: `switchable`, `automatic`, `always`, `never`."""
    termination: Fact[str]
    """How it is set: `switched on`, `switched off`, or `plugged on` for a terminator on the loop-through socket."""
    plug_in_power: Fact[str]
    """`switched on` or `switched off`, as set or as it always or never is; unknown where it can be set and is not."""
    phantom_power: Fact[str]
    gain: Fact[str]
    """`automatic` or `fixed`, as set or as the only one it has."""
    gain_linked: Fact[bool]
    transformer: Fact[bool]
    """Whether a balanced socket floats on a transformer; else each of its two legs is driven or loaded by itself."""
    set_to: Fact[str]
    """What a socket with several uses is set to, such as `timecode in`, `timecode out`, `microphone`, `headphones`."""
    processing: Fact[tuple[str, ...]]
    """What is done to sound that comes in here, such as `limiter` or `low cut`."""
    recorded_at: Fact[Fraction]
    """The level, in dBFS, at which what comes in here is recorded."""
    pins: Fact[Mapping[str, str]]
    """What each contact of a connector with several does, such as `{"pin 2": "timecode in"}`."""
    compands: Fact[bool]
    """Whether a radio hop for sound squeezes its level and widens it again."""


@dataclass(frozen=True, slots=True)
class Port:
    """A socket, an aerial or a network port of a device."""

    key: str
    device: str
    place: Place
    takes: Fact[tuple[str, ...]]
    """What can come in (`in:`)."""
    gives: Fact[tuple[str, ...]]
    """What can go out (`out:`)."""
    formats: Fact[tuple[str, ...]]
    loop: Fact[str]
    electrics: Electrics
    timing: PortTiming
    sleeps_after: Fact[Fraction]
    """After how many idle seconds a data link to save power stops telling the time; zero where it never does."""


@dataclass(frozen=True, slots=True)
class TimecodeSide:
    """How a device is labelled, and how it can be."""

    place: Place
    source: Fact[str]
    """`own clock` or the key of one of its own ports (`from:`)."""
    mode: Fact[str]
    rate: Fact[LabelRate]
    able_rates: Fact[tuple[LabelRate, ...]]
    able_modes: Fact[tuple[str, ...]]
    loses_time_on: Fact[tuple[str, ...]]
    """What makes it forget the time: `power off`, `rate change`, `mode change`."""
    keeps_time_off: Fact[Fraction]
    """For how many seconds it keeps the time while it is off."""
    at_power_up: Fact[str]
    """What it starts from when it has lost the time: `own calendar clock`, `zero`, `last value`."""
    jam_error: Fact[Offset]
    """How far off a jam may leave it, in seconds or in frames."""


@dataclass(frozen=True, slots=True)
class ClockSide:
    """Which oscillator paces a device's frames and samples, and how good its own one is."""

    place: Place
    source: Fact[str]
    expects: Fact[Rate]
    """The field rate that a sound recorder is set to expect on a video reference."""
    accuracy: Fact[Fraction]
    """Parts per million, of its own oscillator."""
    varying: Fact[Fraction]
    runs: Fact[tuple[Fraction, Fraction]]
    """What its own oscillator was measured to run at, and within how much, both in ppm."""
    tunes_to: Fact[Fraction]
    """How close, in ppm, it sets its own rate to that of what it is jammed from; unknown where it does not."""
    calibrated: Fact[date]
    """When its own oscillator was last calibrated, or measured where what was measured is what counts."""
    phase: Fact[Fraction]
    """How many seconds ahead of its reference its pictures are set to be."""
    on_loss: Fact[str]
    """What it does once its reference has failed and is back: `follows again` or `stays on its own clock`."""


@dataclass(frozen=True, slots=True)
class PowerSide:
    """What a device runs on."""

    place: Place
    source: Fact[str]
    """`own battery`, `mains` or the key of the device that feeds it (`from:`)."""
    runtime: Fact[Fraction]
    """Seconds on a full battery of its own."""
    auto_off: Fact[Fraction]
    """After how many seconds it switches itself off; zero where it never does."""


@dataclass(frozen=True, slots=True)
class PictureSide:
    """What a camera does to time: the rate it shoots at and the rate the file plays at."""

    place: Place
    shot_at: Fact[Rate]
    played_at: Fact[Rate]
    variable: Fact[bool]
    """Whether the rate varies from frame to frame (`shot_at: variable`)."""
    shutter: Fact[Shutter]
    readout: Fact[Fraction]
    """How many seconds after the first row of a picture the last one is read."""


@dataclass(frozen=True, slots=True)
class SoundSide:
    """What a sound recording is made of."""

    place: Place
    sample_rate: Fact[Fraction]
    stamped: Fact[Fraction]
    """What the file header says; the sample rate where nothing else is stated."""
    bit_depth: Fact[int]
    container: Fact[str]
    files: Fact[str]
    """`one per track` or `all tracks in one`."""
    limit: Fact[int]
    """The size in bytes at which a new file is begun."""
    track_count: Fact[int]
    tracks: Fact[Mapping[str, str]]
    """What stands on each track, such as `{"left": "LTC", "right": "scratch"}`."""
    able_sample_rates: Fact[tuple[Fraction, ...]]
    """The sample rates that it can be set to."""
    coding: Fact[str]
    """`PCM`, or the name of a coding with loss."""
    separation: Fact[Fraction]
    """By how many decibels what is on one track is weaker on its neighbour."""
    lag: Fact[Offset]
    """How much later than its picture a camera's own sound lies in its files."""


@dataclass(frozen=True, slots=True)
class Device:
    """A device on set with its settings and its abilities, each from wherever it is stated."""

    key: str
    called: str
    """Its name in the setup's own words, or its key."""
    place: Place
    kind: Fact[str]
    """The kit type (`type:`)."""
    cls: Fact[str]
    """The class that its defaults come from (`class:`)."""
    unit: Fact[str]
    timecode: TimecodeSide
    clock: ClockSide
    power: PowerSide
    picture: PictureSide | None
    sound: SoundSide | None
    timecode_on: Fact[tuple[str, ...]]
    ports: Mapping[str, Port]
    passes: Mapping[str, tuple[str, ...]]
    """A through-thing's inputs with the outputs they feed; empty for a device with a clock."""
    passes_timecode: Fact[tuple[str, ...]]
    passive: Fact[bool]
    """Whether a through-thing only joins its sockets by wire, as a tee does."""
    trigger: Fact[bool]
    offset: Fact[Offset]
    """By how much its labels are ahead at all times."""
    offset_corrected_in: Fact[str]
    """Where that is put right: `camera menu`, `post` or `nowhere`."""
    offset_entered: Fact[Offset]
    """By how much its menu is set to move its labels, + making them later."""
    longest_take: Fact[Fraction]
    offset_tested: Fact[date]
    delay: Fact[Offset]
    """By how much what a through-thing passes, or of a camera the picture that it gives out, comes out later."""
    plays_tracks: Fact[Mapping[str, str]]
    """What stands on each track of what it plays."""
    plays_speed: Fact[Fraction]
    plays_timecode: Fact[str]
    """What timecode it plays beside the music, in words such as `show`."""
    plays_continuous: Fact[bool]
    """Whether that timecode runs on without a stop or a jump."""
    screen_timecode: Fact[bool]
    """Whether its screen shows timecode to a camera."""
    screen_refresh: Fact[Rate]
    """How often its screen is refreshed."""
    screen: Screen
    tracking: Tracking | None
    handover: Handover
    """What post has to know of its recordings."""
    rate_names: Mapping[str, str]
    """What the menu's rounded rate names mean on this type, such as `{"24": "23.976"}`."""
    settings: Node | None
    """The merged settings as written, for what only a later rule reads."""
    abilities: Node | None

    @property
    def through(self) -> bool:
        """Whether it passes signals on and has no clock."""
        return bool(self.passes)

    @property
    def fed_by(self) -> str | None:
        """The device without whose power it goes off at once: the one that feeds it, where it has no battery itself."""
        feeder = self.power.source.value
        return None if feeder in (None, *SUPPLIES) or self.power.runtime.value is not None else feeder

    @property
    def records(self) -> bool:
        """Whether it makes files."""
        return self.picture is not None or self.sound is not None


@dataclass(frozen=True, slots=True)
class End:
    """One end of a link: a port of a device."""

    device: str
    port: str

    def __str__(self) -> str:
        """As written in a setup: `bag.tc_out`."""
        return f"{self.device}.{self.port}"


@dataclass(frozen=True, slots=True)
class Lead:
    """What lies between the two ends of a link that is plugged."""

    kind: Fact[str]
    """The lead in words, such as `BNC to 3.5 mm TRS`."""
    length: Fact[Fraction]
    """Metres."""
    pad: Fact[Fraction]
    """Decibels by which a pad in it lowers a level into a high impedance."""
    cold_leg: Fact[str]
    """What an adaptor does with the cold leg of a balanced end: `open`, `to ground` or `transformer`."""
    wiring: Fact[Mapping[str, str]]
    """Which contact of the output goes to which of the input; what is not named is open."""
    cable: Fact[str]
    """The cable or connector that it shares with other leads, by a name of its own."""
    dc_blocked: Fact[bool]
    """Whether it keeps a supply voltage away from the output."""


@dataclass(frozen=True, slots=True)
class Link:
    """One lead, hop of a radio group or path through a network, from one output to one input."""

    source: End
    target: End
    place: Place
    carries: Fact[str]
    connected: Fact[str]
    format: Fact[str]
    by: str = "lead"
    """`lead`, `radio` or `network`."""
    lead: Lead | None = None
    """What is plugged; None through the air and through a network."""

    @property
    def carries_label(self) -> bool:
        """Whether timecode may come along it."""
        return self.carries.value in LABEL_CARRIERS

    @property
    def only_compares(self) -> bool:
        """Whether it is plugged only to read two clocks against each other."""
        return self.connected.value == "to compare"


@dataclass(frozen=True, slots=True)
class RadioGroup:
    """What the members of a radio group are set to; its links, which stand at the same place, say who they are."""

    key: str
    place: Place
    group: Fact[str]
    channel: Fact[str]
    band: Fact[tuple[Fraction, Fraction]]
    """From where to where, in hertz."""
    resync_every: Fact[Fraction]
    """Seconds from one setting of its members to the next."""
    resync_sets: Fact[str]
    """`time`, or `clock` where the members' rate is steered too."""
    delay: Fact[Offset]
    """By how much what it carries comes out later."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A crew with a master of its own."""

    key: str
    place: Place
    master: Fact[str]
    cut_with: Fact[tuple[str, ...]]
    shares_timecode: Fact[bool]


@dataclass(frozen=True, slots=True)
class Acceptance:
    """A finding that somebody has decided to live with."""

    place: Place
    rule: Fact[str]
    device: Fact[str]
    devices: tuple[str, ...]
    """The keys of the devices named, a range written out; empty where it is about any."""
    at: Fact[str]
    """The path of a finding, where a device does not tell it apart."""
    why: Fact[str]
    by: Fact[str]
    until: Fact[date]


@dataclass(frozen=True, slots=True)
class Setup:
    """A rig and its days."""

    file: str
    place: Place
    title: Fact[str]
    revision: Fact[str]
    project: Project
    days: tuple[Day, ...]
    devices: Mapping[str, Device]
    links: tuple[Link, ...]
    units: Mapping[str, Unit]
    accepted: tuple[Acceptance, ...]
    radio_groups: tuple[RadioGroup, ...] = ()

    def called(self, key: str) -> str:
        """A device's name in the setup's own words."""
        device = self.devices.get(key)
        return device.called if device else key

    @property
    def longest_take(self) -> Fact[Fraction] | None:
        """The longest take of all days that state one."""
        stated = [day.longest_take for day in self.days if day.longest_take.value is not None]
        return max(stated, key=lambda fact: fact.value or Fraction(0), default=None)

    @property
    def longest_day(self) -> Day | None:
        """The day with the most hours between call and wrap."""
        known = [day for day in self.days if day.length is not None]
        return max(known, key=lambda day: day.length or Fraction(0), default=None)

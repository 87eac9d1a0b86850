"""Documents that the schemas take as they stand, and the tree of a text."""

from typing import Any

from synclint.documents.nodes import Document, MappingNode
from synclint.documents.yamltree import parse

SETUP = """\
synclint: setup/1
title: Lighthouse, day 2, on the mole
revision: C
kits: [kits/house.kit.yaml]

project:
  rate: 23.976 NDF
  sample_rate: 48 kHz
  timecode: {as: time of day, zone: Europe/Lisbon}
  tolerance: 1/2 frame
  master: {timecode: bag, clock: none}
  post:
    rate: 23.976
    sample_rate: 48 kHz
    reads_audio_timecode: true
    user_bits: one per device
    second_way: [slate, scratch sound]
    time_stamp_bits: 32
  logged_by: timecode display

days:
  - date: 2026-06-14
    zone: Europe/Lisbon
    radio_region: Europe
    call: 06:30
    wrap: 01:20 +1
    temperature: -2..31 C
    longest_take: 1 h 30 min
    events:
      - {at: 06:50, do: set clock, of: [bag], from: wall clock}
      - {at: 07:00, do: jam, of: all}
      - {at: 07:05:30, do: jam, of: [cam_1..cam_8], from: bag}
      - {at: 07:10, do: compare, of: [box_a], against: bag, read_by: display}
      - {at: 07:20, do: compare, of: [cam_a, cam_b], against: slate, read_by: recorded clip}
      - {at: 11:30, do: roll, of: [cam_a, cam_b, bag], until: 12:05, scene: 14}
      - {at: 12:10, do: power off, of: [cam_b], until: 12:14, why: battery}
      - {at: 12:40, do: break, until: 13:25}
      - {at: 13:30, do: link lost, of: [box_a], until: 13:40}
      - {at: 13:40, do: link lost, from: air_master.radio, to: [box_a.radio]}
      - {at: 13:45, do: arrive, of: cam_5}
      - {at: 13:50, do: leave, of: [cam_6], until: 15:00}
      - {at: 14:00, do: move, to: the harbour, zone: Atlantic/Azores}
      - {at: 15:00, do: set, of: [cam_a], to: {records: {picture: {shot_at: 48}}}}
      - {at: 15:05, do: roll, of: [cam_a], until: 15:20, scene: 22, sync_sound: false}

devices:
  bag:
    type: bag_recorder
    name: Sound bag
    timecode: {from: own clock, mode: free run, rate: 23.976 NDF, user_bits: "01 00 00 00"}
    clock: {from: own clock, expects: 59.94}
    records: {sound: {sample_rate: 48 kHz, track_count: 6, files: one per track, container: RF64}, timecode_on: [file]}
  box_a: {type: timecode_box, timecode: {from: jack, mode: jam, rate: 23.976 NDF}, ports: {jack: {output: line}}}
  box_b: {like: box_a, item: K07-014, firmware: 2.10, serial: 012}
  cam_a:
    type: cinema_camera
    timecode: {from: tc_in, mode: continuous, rate: 23.976 NDF}
    records: {picture: {shot_at: 23.976, played_at: 23.976}, timecode_on: [file]}
    offset: {amount: 0 frames, corrected_in: post, tested: 2026-06-11}
  cam_b:
    class: small camera
    able:
      ports: {mic_in: {in: [sound, LTC], accepts: 1..300 mVpp}}
      clock: {accuracy: 30 ppm}
    ports: {mic_in: {plug_in_power: switched off, gain: fixed, in: [LTC]}}
    records:
      picture: {shot_at: 23.976, played_at: 23.976}
      sound: {sample_rate: 48 kHz, tracks: {left: LTC, right: scratch}}
      timecode_on: [left]
    longest_take: 10 min
    unit: second
  cam_1..cam_8: {type: cinema_camera, power: {runtime: 75 min, from: mains, auto_off: never}}
  drone: {class: drone camera, records: {sound: none, picture: {shot_at: variable}}}
  slate: {type: timecode_slate, timecode: {from: in, mode: jam, rate: 24p}, screen: {timecode: true, refresh: 24}}
  deck: {class: playback device, plays: {speed: 1001/1000, timecode: show, continuous: false}}
  starter: {class: small camera, trigger: true, timecode: {mode: record run, rate: 25 DF}}
  dist_1: {type: ltc_distribution, passes: {in: [out_1..out_12]}}
  conv_1: {type: converter, passes: {sdi_in: [hdmi_out]}, passes_timecode: [SDI VITC], delay: 1 frame}

links:
  - {from: bag.tc_out, to: [box_a.jack, box_b.jack], carries: LTC, connected: to jam, lead: BNC to 3.5 mm TRS}
  - {from: box_a.jack, to: bag.tc_in, carries: LTC, connected: to compare}
  - {from: box_b.jack, to: cam_b.mic_in, carries: LTC, connected: all day, length: 0.6 m, pad: 30 dB}
  - {from: dist_1.out_1..out_8, to: cam_1..cam_8.tc_in, carries: LTC, connected: all day}
  - {from: gen.ref_1, to: cam_5.ref_in, carries: tri-level, format: 1080/23.98 PsF, connected: all day}

radio_groups:
  main:
    sends: air_master.radio
    receives: [box_a.radio, slate.radio]
    carries: timecode
    group: 4
    channel: 3
    band: 865..868 MHz
    resync: {every: 1 s, sets: time}
    distance: {slate: 60 m}
    power: 14 dBm EIRP
networks:
  media:
    carries: PTP
    domain: 127
    profile: ST 2059-2
    members: [gw_1.media, cam_d.media]
    leaders: [gm_a.media]
    switches: boundary clock
units:
  second: {master: bag_2, cut_with: main, shares_timecode: false}

accepted:
  - {rule: single-master-without-spare, device: bag, why: "a spare stays in the van", by: sound, until: 2026-06-30}
"""

KIT = """\
synclint: kit/1
title: House kit
types:
  timecode_box:
    about: battery timecode box with one jack, used in both directions
    class: compensated generator
    ports:
      jack:
        in: [LTC]
        out: [LTC]
        connector: 3.5 mm TRS
        timecode_at: tip
        accepts: 0.3..5 Vpp
        level: {line: 1 Vpp open, mic: 30 mVpp open}
        source_impedance: 1 kohm
        dc_blocked: true
      radio: {in: [timecode], out: [timecode], bands: [865..868 MHz], range: 100 m}
    timecode:
      rates: [23.976, 24, 25, 29.97 NDF, 29.97 DF, 30]
      modes: [jam, continuous, free run]
      jam_error: 0.1 ms
      loses_time_on: [power off]
      keeps_time_off: 2 h
      at_power_up: own calendar clock
      user_bits: settable
    clock: {accuracy: 0.5 ppm, over: 5..40 C, varying: 0.2 ppm, tunes_to: 0.1 ppm, calibrated: 2026-03-02}
    power: {runtime: 24 h}
  small_mirrorless_camera:
    class: small camera
    ports:
      mic_in:
        in: [sound, LTC]
        channels: {tip: left, ring: right}
        accepts: 1..300 mVpp
        plug_in_power: switchable
        gain: switchable
      ref_in: {in: [tri-level, black burst], formats: [1080/23.98 PsF], termination: switchable, loop: ref_loop}
      ref_loop: {out: [tri-level], level: 600 mVpp into 75 ohm}
    timecode: {modes: []}
    records: {sound: {sample_rates: [48 kHz], coding: PCM}}
    power: {runtime: 75 min}
    rate_names: {24: 23.976}
  splitter: {based_on: timecode_box, passes: {in: [out_1..out_4]}, delay: 3 ms}
items:
  - {serial: K07-014, type: timecode_box, runs: {rate: +0.31 ppm, within: 0.05 ppm}, measured: 2026-03-02}
  - {serial: 012, type: splitter, firmware: 2.10, name: box 12}
"""


def tree(text: str, kind: str = "setup/1") -> Document:
    """The document of a text that is good YAML."""
    parsed = parse(text, "rig.setup.yaml")
    assert not parsed.problems
    assert isinstance(parsed.root, MappingNode)
    return Document(kind, "rig.setup.yaml", parsed.root)


def schema_parts(schema: Any, path: tuple[str, ...] = ()) -> "list[tuple[tuple[str, ...], dict[str, Any]]]":
    """Every subschema that stands under a key of `properties` or `$defs`, with its path in the schema."""
    found: list[tuple[tuple[str, ...], dict[str, Any]]] = []
    if isinstance(schema, dict):
        for key, value in schema.items():
            if key in {"properties", "$defs"}:
                found += [((*path, key, name), part) for name, part in value.items()]
            if key not in {"examples", "enum"}:
                found += schema_parts(value, (*path, key))
    elif isinstance(schema, list):
        for index, value in enumerate(schema):
            found += schema_parts(value, (*path, str(index)))
    return found

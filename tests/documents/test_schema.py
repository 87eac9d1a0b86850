"""Documents held against their schema: what is taken, and what is said of the rest, at which place."""

import pytest

from synclint.documents.schema import validate
from synclint.findings import Finding, RenameKey, SetValue
from tests.documents.schema_texts import KIT, SETUP, tree

HEAD = "synclint: setup/1\n"


def told(text: str, kind: str = "setup/1") -> list[tuple[int, int, str, str]]:
    """Line, column, rule and sentence of every finding."""
    return [
        (finding.at.span.line, finding.at.span.column, finding.rule, finding.sentence)
        for finding in validate(tree(text, kind))
    ]


def only(marked: str, kind: str = "setup/1") -> Finding:
    """The one finding of a text, which stands where the text has a `▸` (that is no part of it)."""
    before, _, after = marked.partition("▸")
    (finding,) = validate(tree(before + after, kind))
    assert not finding.fix_sentence[:1].islower()
    line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
    assert (finding.at.span.line, finding.at.span.column) == (line, column)
    return finding


def device(keys: str) -> str:
    """A setup with one device of these keys."""
    return f"{HEAD}devices:\n  cam: {{{keys}}}\n"


def day(keys: str) -> str:
    """A setup with one day of these keys."""
    return f"{HEAD}days:\n  - {{{keys}}}\ndevices: {{}}\n"


def event(keys: str) -> str:
    """A setup with one event of these keys."""
    return f"{HEAD}days:\n  - events:\n      - {{{keys}}}\ndevices: {{}}\n"


@pytest.mark.parametrize(("text", "kind"), [(SETUP, "setup/1"), (KIT, "kit/1")])
def test_every_form_of_the_format_is_taken(text: str, kind: str) -> None:
    assert not told(text, kind)


@pytest.mark.parametrize("rate", ["24p", "25 DF", "23.976 NDF", "30 DF", "24", "60000/1001", "very fast"])
def test_odd_rates_are_left_to_the_rules(rate: str) -> None:
    assert not told(f"{HEAD}project: {{rate: {rate}, post: {{rate: {rate}}}}}\ndevices: {{}}\n")


@pytest.mark.parametrize("rate", ["47952 Hz", "48.048 kHz", "22.05 kHz"])
def test_odd_sample_rates_are_left_to_the_rules(rate: str) -> None:
    assert not told(f"{HEAD}project: {{sample_rate: {rate}}}\ndevices: {{}}\n")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (day("longest_take: ▸45"), "45 has no unit: write a time with its unit, such as 45 min"),
        (day('longest_take: ▸"45"'), "45 has no unit: write a time with its unit, such as 45 min"),
        (day("longest_take: ▸45 mn"), "'45 mn' is not a time with its unit, such as 45 min"),
        (day("temperature: ▸-5..-2.5"), "-5..-2.5 has no unit: write a temperature with its unit, such as 8..31 C"),
        (
            f"{HEAD}project: {{tolerance: ▸1/2}}\ndevices: {{}}\n",
            "1/2 has no unit: write a time or a number of frames with its unit, such as 1 frame",
        ),
        (day("longest_take: ▸45 m"), "'45 m' is not a time with its unit, such as 45 min"),
        (day("temperature: ▸8..31"), "8..31 has no unit: write a temperature with its unit, such as 8..31 C"),
        (
            device("records: {sound: {sample_rate: ▸48000}}"),
            "48000 has no unit: write a frequency with its unit, such as 48 kHz",
        ),
        (device("able: {clock: {accuracy: ▸-0.5}}"), "-0.5 has no unit: write an accuracy in ppm, such as 0.5 ppm"),
        (
            device("able: {ports: {jack: {level: ▸1}}}"),
            "1 has no unit: write a level with its unit, or levels by name, such as 1 Vpp open",
        ),
        (
            device("able: {ports: {jack: {level: {line: ▸1 V}}}}"),
            "'1 V' is not a level with its unit, such as 1 Vpp open",
        ),
    ],
)
def test_a_quantity_without_its_unit_is_shown_the_form(text: str, says: str) -> None:
    finding = only(text)
    assert (finding.rule, finding.sentence) == ("wrong-unit", says)


def test_a_word_where_a_quantity_belongs_is_a_wrong_value() -> None:
    finding = only(day("longest_take: ▸long"))
    assert (finding.rule, finding.sentence) == ("wrong-value", "'long' is not a time with its unit, such as 45 min")


def test_a_word_outside_its_list_is_told_the_list_and_the_nearest() -> None:
    finding = only(device("timecode: {mode: ▸jamm}"))
    assert finding.sentence == (
        "'jamm' is not a way of running; it is one of free run, record run, jam, continuous (did you mean jam?)"
    )
    assert (finding.rule, str(finding.at)) == ("wrong-value", "devices/cam/timecode/mode")
    assert finding.at.span.end_column - finding.at.span.column == len("jamm")
    assert finding.who == ("cam",)
    assert finding.fix
    assert finding.fix.edits == (SetValue(finding.at, "jam"),)


@pytest.mark.parametrize(
    ("keys", "nearest"),
    [
        ("timecode: {mode: ▸free-run}", "free run"),
        ("timecode: {mode: ▸Continuous}", "continuous"),
        ("class: ▸phon", "phone"),
        ("ports: {jack: {plug_in_power: ▸off}}", "switched off"),
        ("ports: {jack: {in: [▸ltc]}}", "LTC"),
        ("trigger: ▸yes", "true"),
        ("trigger: ▸no", "false"),
    ],
)
def test_the_nearest_word_is_offered(keys: str, nearest: str) -> None:
    finding = only(device(keys))
    assert f"(did you mean {nearest}?)" in finding.sentence
    assert finding.fix
    assert finding.fix.edits == (SetValue(finding.at, nearest),)


@pytest.mark.parametrize("keys", ["class: ▸teapot", "trigger: ▸perhaps", "records: {sound: {bit_depth: ▸20}}"])
def test_where_no_word_is_near_none_is_offered(keys: str) -> None:
    finding = only(device(keys))
    assert "did you mean" not in finding.sentence
    assert finding.fix
    assert not finding.fix.edits


def test_an_unknown_key_is_told_the_nearest_at_the_key_itself() -> None:
    finding = only(device("timecode: {▸ratte: 25}"))
    assert finding.sentence == (
        "'ratte' is not a key of timecode settings (did you mean rate?), or this file is newer than this program"
    )
    assert (finding.rule, str(finding.at)) == ("unknown-key", "devices/cam/timecode/ratte")
    assert finding.at.span.end_column - finding.at.span.column == len("ratte")
    assert finding.fix
    assert finding.fix.edits == (RenameKey(finding.at, "rate"),)


def test_a_misspelt_key_is_not_renamed_to_one_that_stands_there_already() -> None:
    finding = only(device("timecode: {rate: 25, ▸ratte: 24}"))
    assert "did you mean rate?" in finding.sentence
    assert finding.fix
    assert (finding.fix.says, finding.fix.edits) == ("Keep one of the two, as rate", ())


def test_an_unknown_key_like_no_other_is_told_what_there_is() -> None:
    assert only(device("clock: {▸zebra: {stripes: 1}}")).sentence == (
        "'zebra' is not a key of clock settings (it takes from, expects, phase and on_loss), or this file is newer "
        "than this program"
    )


def test_several_unknown_keys_are_several_findings() -> None:
    findings = validate(tree(device("zebra: 1, timecode: {okapi: 1, gnu: 2}")))
    assert [str(finding.at) for finding in findings] == [
        "devices/cam/zebra",
        "devices/cam/timecode/okapi",
        "devices/cam/timecode/gnu",
    ]


def test_a_key_of_another_kind_of_event_is_told_what_goes_with_this_one() -> None:
    finding = only(event("at: 07:00, do: jam, of: all, ▸scene: 3"))
    assert (finding.rule, finding.sentence) == (
        "unknown-key",
        "'scene' does not go with jam; such an event takes at, do, of, from, why and note",
    )


def test_a_misspelt_key_of_an_event_is_told_once() -> None:
    assert only(event("at: 07:00, do: roll, of: all, ▸untill: 07:10, until: 07:20")).sentence == (
        "'untill' is not a key of an event (did you mean until?), or this file is newer than this program"
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            f"{HEAD}days:\n  - events:\n      - ▸{{do: jam, of: all}}\ndevices: {{}}\n",
            "'at' is missing: an event cannot do without it",
        ),
        (
            f"{HEAD}days:\n  - events:\n      - ▸{{at: 07:00, do: roll, of: all}}\ndevices: {{}}\n",
            "'until' is missing: the event roll cannot do without it",
        ),
        (
            f"{HEAD}devices: {{}}\nlinks:\n  - ▸{{from: a.b, to: c.d}}\n",
            "'carries' is missing: a link cannot do without it",
        ),
        (f"▸{HEAD}", "'devices' is missing: a setup cannot do without it"),
    ],
)
def test_a_missing_key_is_told_at_its_parent(text: str, says: str) -> None:
    finding = only(text)
    assert (finding.rule, finding.sentence) == ("missing-key", says)


def test_a_missing_key_is_told_with_an_example() -> None:
    text = f"{HEAD}devices: {{}}\nlinks:\n  - ▸{{from: a.b, to: c.d}}\n"
    assert only(text).fix_sentence == "Add carries, such as carries: LTC"


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ("timecode: ▸free run", "'free run' stands where keys with values belong: timecode settings"),
        ("timecode: ▸[a]", "a list stands in the place of timecode settings"),
        ("timecode: ▸", "timecode has no value; it wants timecode settings"),
        ("name: ▸{a: 1}", "keys with values stand in the place of a text"),
        ("longest_take: ▸[45 min]", "a list stands in the place of a time with its unit"),
        ("records: {sound: ▸no}", "'no' is not sound settings or none"),
        ("records: {sound: {track_count: ▸0}}", "'0' is not a number of tracks; it is at least 1"),
        ('records: {sound: {track_count: ▸"6"}}', "'6' is a text, because it stands in quotes"),
        ('trigger: ▸"true"', "'true' is a text, because it stands in quotes"),
        ("timecode: {from: ▸bag.tc_out}", "'bag.tc_out' is not own clock or a port of this device"),
        ("records: {timecode_on: [▸trak 1]}", "'trak 1' is not a place for a label: file, left, right, track N, or"),
        ("offset: {tested: ▸14.6.2026}", "'14.6.2026' is not a date"),
    ],
)
def test_a_value_of_another_form_is_told_what_belongs_there(keys: str, says: str) -> None:
    finding = only(device(keys))
    assert finding.rule == "wrong-value"
    assert finding.sentence.startswith(says)


def test_one_thing_where_a_list_belongs_can_be_put_into_one() -> None:
    finding = only(device("ports: {jack: {in: ▸LTC}}"))
    assert finding.sentence == "'LTC' is not a list"
    assert finding.fix
    assert finding.fix.edits == (SetValue(finding.at, "[LTC]"),)


@pytest.mark.parametrize("name", ["Cam A", "all", "cam-a", "1st", "a.b"])
def test_a_name_that_no_device_can_have_is_told_at_the_name(name: str) -> None:
    finding = only(f"{HEAD}devices:\n  ▸{name}: {{}}\n")
    assert finding.rule == "wrong-value"
    assert finding.sentence.startswith(f"'{name}' is not a device's key")


@pytest.mark.parametrize("time", ["6:30", "24:00", "06.30", "630", "06:61", "01:20 + 1"])
def test_a_time_of_day_has_one_form(time: str) -> None:
    finding = only(day(f"call: ▸{time}"))
    assert (finding.rule, finding.sentence) == ("wrong-value", f"'{time}' is not a time of day")


def test_what_the_word_under_do_makes_of_a_key_decides() -> None:
    assert only(event("at: 07:00, do: set, of: [a], to: ▸fast")).sentence == (
        "'fast' stands where keys with values belong: settings of a device (keys such as timecode, clock, records)"
    )
    assert only(event("at: 07:00, do: set, of: [a], to: {records: {picture: {▸shott_at: 48}}}")).rule == "unknown-key"
    assert not told(event("at: 07:00, do: move, to: fast"))


def test_text_keys_take_whatever_stands_there() -> None:
    assert not told(device("firmware: 2.10, serial: 012, timecode: {user_bits: 01000000}, name: true"))


def test_text_of_the_file_is_cut_in_messages() -> None:
    finding = only(device(f"timecode: {{mode: ▸{'long ' * 500}}}"))
    assert len(finding.sentence) < 250
    finding = only(device(f"▸{'z' * 500}: 1"))
    assert len(finding.sentence) < 400


def test_marks_that_sentences_are_filled_in_at_do_not_come_from_the_file() -> None:
    assert only(device("class: ▸⟪who⟫")).sentence.startswith("'<who>' is not a class of device")


def test_all_is_told_in_one_run_in_the_order_written() -> None:
    text = (
        f"{HEAD}project: {{tolerance: 1, logged_by: wach}}\n"
        "days:\n  - call: 6:30\n    zebra: 1\n"
        "devices:\n  cam: {class: phon}\n"
        "links:\n  - {from: bag, to: cam.tc, carries: LTC}\n"
    )
    assert [finding[:3] for finding in told(text)] == [
        (2, 22, "wrong-unit"),
        (2, 36, "wrong-value"),
        (4, 11, "wrong-value"),
        (5, 5, "unknown-key"),
        (7, 16, "wrong-value"),
        (9, 12, "wrong-value"),
    ]


def test_no_place_is_told_twice() -> None:
    text = event("at: 7, do: compare, of: 5, against: 6, read_by: 7, from: 8, to: 9, zebra: 1")
    places = [finding[:2] for finding in told(text)]
    assert len(places) == len(set(places)) == 7


def test_a_kit_is_held_against_its_own_schema() -> None:
    text = "synclint: kit/1\ntypes:\n  box: {clas: phone}\nitems:\n  - {serial: 1, type: box, runs: {rate: 3}}\n"
    assert told(text, "kit/1") == [
        (
            3,
            9,
            "unknown-key",
            "'clas' is not a key of a type of device (did you mean class?), or this file is newer than this program",
        ),
        (5, 41, "wrong-unit", "3 has no unit: write a rate error in ppm, such as +0.31 ppm"),
    ]

"""What is told of the keys that no rule judges yet."""

from synclint.documents.unjudged import unjudged_patterns
from tests.documents.schema_texts import SETUP, tree

HEAD = "synclint: setup/1\n"


def test_keys_that_no_rule_judges_are_told_once_a_pattern() -> None:
    devices = (f"  cam_{n}: {{firmware: 3, able: {{clock: {{over: 5..40 C}}}}}}\n" for n in range(3))
    assert unjudged_patterns(tree(f"{HEAD}devices:\n{''.join(devices)}")) == [
        (("devices", "cam_0", "firmware"), "devices/*/firmware", 3),
        (("devices", "cam_0", "able", "clock", "over"), "devices/*/able/clock/over", 3),
    ]


def test_what_only_describes_is_never_told() -> None:
    text = f"{HEAD}title: A\nrevision: B\nnote: C\ndevices: {{bag: {{name: Bag, serial: 7, note: old}}}}\n"
    assert not unjudged_patterns(tree(text))


def test_what_rules_use_is_not_told() -> None:
    text = (
        f"{HEAD}project: {{rate: 25, sample_rate: 48 kHz}}\n"
        "days:\n  - events:\n      - {at: 07:00, do: set, of: [cam], to: {timecode: {rate: 24}}}\n"
        "devices: {cam: {able: {clock: {accuracy: 1 ppm}}}}\n"
    )
    assert not unjudged_patterns(tree(text))


def test_settings_that_an_event_makes_are_told_like_those_of_a_device() -> None:
    text = (
        f"{HEAD}days:\n  - events:\n"
        "      - {at: 07:00, do: set, of: [cam], to: {offset: {amount: 1 frame}}}\ndevices: {}\n"
    )
    assert unjudged_patterns(tree(text)) == [(("days", 0, "events", 0, "to", "offset"), "days/*/events/*/to/offset", 1)]


def test_a_kind_of_event_that_no_rule_judges_is_told_by_its_word() -> None:
    text = f"{HEAD}days:\n  - events: [{{at: 07:00, do: move, to: x}}, {{at: 08:00, do: move}}]\ndevices: {{}}\n"
    assert unjudged_patterns(tree(text)) == [(("days", 0, "events", 0), "days/*/events/* (move)", 2)]


def test_unknown_keys_and_odd_shapes_are_passed_over() -> None:
    assert not unjudged_patterns(tree(f"{HEAD}zebra: {{power: 1}}\ndevices: [1, {{}}]\ndays: {{a: 1}}\n"))


def test_the_whole_sample_has_some() -> None:
    patterns = [pattern for _, pattern, _ in unjudged_patterns(tree(SETUP))]
    assert "days/*/events/* (move)" in patterns
    assert len(patterns) == len(set(patterns))

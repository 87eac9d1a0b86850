"""The words that all reports share."""

import json

import pytest

from synclint.findings import Confirmed, Level, Path, Source
from synclint.report import words
from synclint.result import Report
from tests.report import made


@pytest.mark.parametrize(("path", "expected"), list(made.paths().items()))
def test_a_path_in_words(path: Path, expected: tuple[str, ...]) -> None:
    assert words.place_words(path) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("plain [in] é µ", "plain [in] é µ"),
        ("\x1b[31mred\x9b", r"\x1b[31mred\x9b"),
        ("a\nb\r\t\0", r"a\nb\r\t\x00"),
        ("\u202e\u2066\u200f\ufeff\u200b", r"\u202e\u2066\u200f\ufeff\u200b"),
        ("\ud800", r"\ud800"),
        ("a\u00a0b", "a b"),
        ("\ue000", r"\ue000"),
        ("نمی\u200cخواهم", "نمی\u200cخواهم"),
    ],
)
def test_what_hides_in_a_text_is_made_visible(text: str, expected: str) -> None:
    assert words.visible(text) == expected
    assert words.visible(expected) == expected


@pytest.mark.parametrize(
    ("names", "expected"),
    [
        ([], ""),
        (["bag"], "bag"),
        (["cam_1", "cam_2"], "cam_1, cam_2"),
        (["bag", "cam_1", "cam_2", "cam_3", "slate"], "bag, cam_1..cam_3, slate"),
        (["cam_9", "cam_10", "cam_11"], "cam_9..cam_11"),
        (["cam_01", "cam_02", "cam_03"], "cam_01..cam_03"),
        (["a", "b", "c", "d", "e", "f", "g", "h"], "a, b, c, d, e, f, g, h"),
        (["a", "b", "c", "d", "e", "f", "g", "h", "i"], "a, b, c, d, e, f, g, 2 more"),
    ],
)
def test_devices_as_a_bounded_list(names: list[str], expected: str) -> None:
    assert words.named(names) == expected


@pytest.mark.parametrize(
    ("number", "expected"), [(0, "no links"), (1, "1 link"), (2, "2 links"), (1234, "1,234 links")]
)
def test_a_number_agrees_with_its_noun(number: int, expected: str) -> None:
    assert words.counted(number, "link") == expected


@pytest.mark.parametrize(
    ("text", "expected"), [("24", "24"), ("123456", "123456"), ("1234567", "12345…"), ("\x1b[31m", "\\x1b[…")]
)
def test_a_text_for_a_narrow_place(text: str, expected: str) -> None:
    assert words.short(text, 6) == expected


@pytest.mark.parametrize(("text", "expected"), [("It is", "It is."), ("It is.", "It is."), ("", ""), ("a\n b", "a b.")])
def test_a_sentence_has_its_full_stop(text: str, expected: str) -> None:
    assert words.sentence(text) == expected


def test_findings_stand_in_the_order_of_the_work() -> None:
    assert words.shown(made.SMALL.findings, Level.NOTE) == [made.TWO_RATES, made.DRIFT, made.BATTERY, made.LEAD]
    assert words.shown(made.SMALL.findings, Level.ERROR) == [made.TWO_RATES]


@pytest.mark.parametrize(
    ("report", "says"),
    [
        (made.SMALL, "Do not shoot like this"),
        (Report("x", "setup", findings=(made.DRIFT, made.LEAD)), "You can shoot like this, with care"),
        (Report("x", "setup", findings=(made.LEAD,)), "You can shoot like this"),
        (made.SOUND, "You can shoot like this"),
        (made.UNREADABLE, "Could not be checked"),
        (Report("x", "setup", held_back="a kit could not be read"), "Cannot be judged yet"),
        (Report("x", "setup", crashes=made.hostile().crashes), "Nothing speaks against it so far"),
        (Report("x", "kit"), "Fit to plan with"),
        (Report("x", "kit", findings=(made.TWO_RATES,)), "Not fit to plan with"),
        (Report("x", "", findings=(made.TWO_RATES,)), "Not fit to plan with"),
    ],
)
def test_the_verdict(report: Report, says: str) -> None:
    assert words.verdict(report).says == says


def test_the_worst_is_the_worst_level_first_and_then_whom_it_hurts() -> None:
    expected = "cam_c labels at 24, the project at 23.976 NDF – 3.6 s an hour: 45.0 s by wrap at 19:00."
    assert words.verdict(made.SMALL).worst == expected
    assert words.verdict(Report("x", "setup", findings=(made.BATTERY, made.DRIFT))).worst.startswith("cam_b and cam_d")


def test_a_source_that_is_only_its_confirmation_is_told_once() -> None:
    assert words.source_words(Source("common practice, no source", Confirmed.PRACTICE)) == "common practice, no source"
    assert words.source_words(made.ARITHMETIC) == "24 against 24000/1001 (exact arithmetic)"


@pytest.mark.parametrize(
    ("text", "remark", "said"),
    [
        ("a rule", "a source", "a rule (a source)"),
        ("a rule (2014)", "a source", "a rule (2014) – a source"),
        ("a rule", "a source (2014)", "a rule – a source (2014)"),
    ],
)
def test_brackets_never_stand_in_or_beside_brackets(text: str, remark: str, said: str) -> None:
    assert words.aside(text, remark) == said


def test_standard_input_is_called_so() -> None:
    assert words.file_name("-") == "standard input"
    assert words.file_name("") == "''"


def test_visible_text_is_safe_for_strict_readers() -> None:
    json.dumps(words.visible(made.HOSTILE)).encode("utf-8", "strict")

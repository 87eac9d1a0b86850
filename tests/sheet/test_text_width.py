"""How wide a text is, and how it is cut and wrapped by that."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from synclint.sheet.text_width import fitted, measured, surely, wrapped

if TYPE_CHECKING:
    from playwright.sync_api import Page


def test_a_width_is_the_sum_of_its_letters_with_the_margin() -> None:
    # i 278, l 278, m 974 thousandths: 1530; at 10 and with 2 in 100 more 15.606.
    assert measured("ilm", 10) == pytest.approx(15.606)
    # Bold: 343, 343, 1042.
    assert measured("ilm", 10, bold=True) == pytest.approx(17.6256)


def test_an_accent_takes_nothing_and_an_ideograph_a_whole_square() -> None:
    assert measured("é", 10) == measured("e\u0301", 10) == measured("e", 10)
    assert measured("漢", 10) == pytest.approx(10.2)
    assert surely("Ligação 漢 Ж")
    assert not surely("🎬")


def test_a_text_is_cut_with_an_ellipsis_where_it_does_not_fit() -> None:
    # a is 613: ten of them 62.5 wide; with 30 there is room for the ellipsis (10.2) and three (18.8).
    assert fitted("a" * 10, 62.6, 10) == "a" * 10
    assert fitted("a" * 10, 30, 10) == "aaa…"
    assert fitted("  a\n b ", 100, 10) == "a b"


def test_what_an_eye_cannot_see_is_written_out_and_measured_so() -> None:
    assert fitted("a\u202eb", 100, 10) == "a\\u202eb"
    assert fitted("e" + "\u0301" * 40, 100, 10) == "e\u0301\u0301"


def test_a_text_is_wrapped_between_words_and_a_long_word_broken() -> None:
    # Each a 6.25 wide: eight fit into 50, with spaces (3.24) less.
    assert wrapped("aaa aaa aaa", 50, 10) == ["aaa aaa", "aaa"]
    assert wrapped("a" * 20, 51, 10) == ["a" * 8, "a" * 8, "a" * 4]
    assert wrapped("aaa aaa aaa aaa", 25, 10, most=2) == ["aaa", "aa…"]
    assert wrapped("", 50, 10) == [""]


@pytest.mark.parametrize("bold", [False, True])
def test_no_text_is_wider_in_a_browser_than_told(page: Page, bold: bool) -> None:
    says = [
        "The quick brown fox, 23.976 NDF",
        "tc_out → jack",
        "WAVE MOVE",
        "…",
        "Ligação à câmera",
        "Щука Жук",
        "漢字",
    ]
    measure = """([says, bold]) => { const pen = document.createElement('canvas').getContext('2d');
        pen.font = `${bold ? 'bold' : 'normal'} 100px sans-serif`;
        return says.map(each => pen.measureText(each).width); }"""
    page.set_content("<p>")
    for text, wide in zip(says, page.evaluate(measure, [says, bold]), strict=True):
        assert wide <= measured(text, 100, bold=bold), text

import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.documents.nearest import nearest

KEYS = ["timecode", "clock", "records", "ports", "longest_take", "firmware", "offset", "like", "of"]


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("timcode", "timecode"),
        ("timecodes", "timecode"),
        ("Clock", "clock"),
        ("colck", "clock"),
        ("recrods", "records"),
        ("longest take", "longest_take"),
        ("longest-take", "longest_take"),
        ("firmwear", "firmware"),
        ("lik", "like"),
        ("fo", "of"),
    ],
)
def test_misspelt(word: str, meant: str) -> None:
    assert nearest(word, KEYS) == meant


@pytest.mark.parametrize("word", ["", "x", "power", "battery", "tx", "t" * 65])
def test_nothing_near(word: str) -> None:
    assert nearest(word, KEYS) is None


def test_nearer_wins_and_of_equals_the_first() -> None:
    assert nearest("cam_c", ["bag", "cam_ab", "cam_b", "cam_a"]) == "cam_b"
    assert nearest("jamm", ["jams", "jam"]) == "jams"


def test_a_word_is_not_proposed_for_itself() -> None:
    assert nearest("clock", ["clock"]) is None


def test_long_words_and_lists_cost_little() -> None:
    assert nearest("a" * 1_000_000, KEYS) is None
    assert nearest("abc", ["b" * 1_000_000]) is None


@given(st.text(max_size=20), st.lists(st.text(max_size=20), max_size=6))
def test_the_answer_is_legal(word: str, legal: list[str]) -> None:
    assert nearest(word, legal) in {None, *legal}

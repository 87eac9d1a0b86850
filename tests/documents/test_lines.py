from hypothesis import given
from hypothesis import strategies as st

from synclint.documents.lines import Lines
from synclint.findings import Span

TEXT = "é1\r\n😀2\n\r3"


def test_places_count_characters_and_three_kinds_of_line_break() -> None:
    lines = Lines(TEXT, "f")
    assert len(lines) == 4
    assert [lines.line(number) for number in (1, 2, 3, 4)] == ["é1", "😀2", "", "3"]
    assert [lines.place(TEXT.index(char)) for char in "é1😀23"] == [(1, 1), (1, 2), (2, 1), (2, 2), (4, 1)]
    assert lines.span(4, 6) == Span("f", 2, 1, 2, 3)


def test_other_separators_are_no_line_breaks() -> None:
    assert len(Lines("a\x0bb\x0cc\x85d\u2028e", "f")) == 1


def test_offsets_outside_are_taken_as_the_ends() -> None:
    lines = Lines("ab\n", "f")
    assert lines.place(-5) == (1, 1)
    assert lines.place(99) == (2, 1)


@given(st.text(alphabet="ab \r\né😀"), st.data())
def test_an_offset_comes_back(text: str, data: st.DataObject) -> None:
    lines = Lines(text, "f")
    offset = data.draw(st.integers(0, len(text)))
    assert lines.offset(*lines.place(offset)) == offset

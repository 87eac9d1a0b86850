"""The names of video references, and sizes of files."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.trade.quantities import QuantityError
from synclint.trade.references import Reference, ReferenceFormatError, Scan, parse_reference
from synclint.trade.sizes import parse_size, say_size


@pytest.mark.parametrize(
    ("text", "lines", "fps", "scan"),
    [
        ("1080/59.94i", 1080, Fraction(60_000, 1001), Scan.INTERLACED),
        ("1080/23.98 PsF", 1080, Fraction(24_000, 1001), Scan.SEGMENTED),
        ("1080/23.976psf", 1080, Fraction(24_000, 1001), Scan.SEGMENTED),
        ("720/50p", 720, Fraction(50), Scan.PROGRESSIVE),
        ("1080/24p", 1080, Fraction(24), Scan.PROGRESSIVE),
        ("525/59.94", 525, Fraction(60_000, 1001), None),
        ("625/50", 625, Fraction(50), None),
        ("1080i/59.94", 1080, Fraction(60_000, 1001), Scan.INTERLACED),
        ("1080i59.94", 1080, Fraction(60_000, 1001), Scan.INTERLACED),
        ("1080 50i", 1080, Fraction(50), Scan.INTERLACED),
        ("1080p 30000/1001", 1080, Fraction(30_000, 1001), Scan.PROGRESSIVE),
    ],
)
def test_reference_names(text: str, lines: int, fps: Fraction, scan: Scan | None) -> None:
    reference = parse_reference(text)
    assert (reference.lines, reference.rate.fps, reference.scan) == (lines, fps, scan)


@pytest.mark.parametrize(
    "text", ["", "1080", "59.94", "1080/", "1081/50", "1080/0", "1080i/50p", "bars", "1080/50x", "1080/50i" + " " * 60]
)
def test_what_names_no_reference(text: str) -> None:
    with pytest.raises(ReferenceFormatError, match="is not a reference format"):
        parse_reference(text)


@given(st.text(max_size=50))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        reference = parse_reference(text)
    except ReferenceFormatError:
        return
    assert isinstance(reference, Reference)


@pytest.mark.parametrize("text", ["1080/59.94i", "1080/23.976 PsF", "525/59.94", "720/50p"])
def test_a_name_is_read_back(text: str) -> None:
    assert parse_reference(text).name == text


@pytest.mark.parametrize(
    ("text", "size"), [("4 GiB", 2**32), ("2 GB", 2_000_000_000), ("650 MB", 650_000_000), ("1.5 MiB", 1_572_864)]
)
def test_sizes(text: str, size: int) -> None:
    assert parse_size(text) == size


@pytest.mark.parametrize("text", ["4", "4 GiBs", "-4 GiB", "0 GB", ""])
def test_what_is_no_size(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_size(text)


def test_a_size_is_said_as_limits_are() -> None:
    assert (say_size(2**32), say_size(4_907_520_000)) == ("4 GiB", "4.57 GiB")

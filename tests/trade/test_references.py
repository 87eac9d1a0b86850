"""The names of video references, and sizes of files."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.trade.quantities import QuantityError
from synclint.trade.rates import parse_rate
from synclint.trade.references import Reference, ReferenceFormatError, Scan, Sync, parse_reference, places_on
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


@pytest.mark.parametrize(
    ("text", "sync", "fields", "frames", "family"),
    [
        ("525/59.94", Sync.BI_LEVEL, 2, Fraction(30_000, 1001), Fraction(30_000, 1001)),
        ("525/59.94i", Sync.BI_LEVEL, 2, Fraction(30_000, 1001), Fraction(30_000, 1001)),
        ("625/50", Sync.BI_LEVEL, 2, Fraction(25), Fraction(25)),
        ("576/25i", Sync.BI_LEVEL, 2, Fraction(25), Fraction(25)),
        ("1080/59.94i", Sync.TRI_LEVEL, 2, Fraction(30_000, 1001), Fraction(30_000, 1001)),
        ("720/59.94p", Sync.TRI_LEVEL, 1, Fraction(60_000, 1001), Fraction(30_000, 1001)),
        ("1080/23.98 PsF", Sync.TRI_LEVEL, 1, Fraction(24_000, 1001), Fraction(24_000, 1001)),
        ("1080/60i", Sync.TRI_LEVEL, 2, Fraction(30), Fraction(30)),
        ("1080/24p", Sync.TRI_LEVEL, 1, Fraction(24), Fraction(24)),
    ],
)
def test_what_follows_from_a_name(text: str, sync: Sync, fields: int, frames: Fraction, family: Fraction) -> None:
    reference = parse_reference(text)
    assert (reference.sync, reference.fields) == (sync, fields)
    assert (reference.frame_rate.fps, reference.family) == (frames, family)


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ("525/59.94", "525/59.94i", True),
        ("525/59.94", "480/29.97i", True),
        ("625/50", "576/50", True),
        ("1080/23.98 PsF", "1080/23.976psf", True),
        ("1080/59.94", "1080/59.94i", True),
        ("1080/23.98 PsF", "1080/23.98p", False),
        ("1080/59.94i", "720/59.94p", False),
        ("1080/59.94i", "525/59.94", False),
        ("1080/59.94i", "1080/60i", False),
        ("1080/59.94i", "1080/59.94p", False),
        ("625/50", "525/59.94", False),
    ],
)
def test_names_of_one_signal(one: str, other: str, *, alike: bool) -> None:
    first, second = parse_reference(one), parse_reference(other)
    assert first.is_like(second) is alike
    assert second.is_like(first) is alike


@pytest.mark.parametrize(
    ("text", "megahertz"),
    [
        ("1080/50i", Fraction("74.25")),  # 2640 x 1125 x 25
        ("1080/60i", Fraction("74.25")),  # 2200 x 1125 x 30
        ("1080/24p", Fraction("74.25")),  # 2750 x 1125 x 24
        ("1080/59.94i", Fraction(74_250, 1001)),
        ("1080/59.94p", Fraction(148_500, 1001)),
        ("720/50p", Fraction("74.25")),  # 1980 x 750 x 50
        ("720/59.94p", Fraction(74_250, 1001)),  # 1650 x 750 x 60000/1001
        ("525/59.94", Fraction("13.5")),  # 858 x 525 x 30000/1001
        ("625/50", Fraction("13.5")),  # 864 x 625 x 25
        ("2160/59.94p", Fraction(594_000, 1001)),  # 4400 x 2250 x 60000/1001
    ],
)
def test_pixel_clocks(text: str, megahertz: Fraction) -> None:
    assert parse_reference(text).pixel_clock == megahertz * 10**6


def test_a_raster_that_is_not_known_has_no_pixel_clock() -> None:
    assert parse_reference("1080/12p").pixel_clock is None


def test_a_kilometre_of_fibre_there_and_back_in_pixels() -> None:
    # 10 us x 148.3516 MHz = 1483.5, and x 74.1758 MHz = 741.8
    interlaced, progressive = (parse_reference(f"1080/59.94{scan}").pixel_clock for scan in "ip")
    assert progressive is not None
    assert interlaced is not None
    assert round(Fraction(1, 10**5) * progressive) == 1484
    assert round(Fraction(1, 10**5) * interlaced) == 742


@pytest.mark.parametrize(
    ("camera", "reference", "count", "apart_ms"),
    [
        ("23.976", "525/59.94", 5, Fraction(1001, 60)),  # two of five steps of 1001/120 ms
        ("23.976", "1080/59.94i", 5, Fraction(1001, 60)),
        ("24", "1080/60i", 5, Fraction(1000, 60)),
        ("23.976", "1080/23.98 PsF", 1, Fraction(0)),
        ("25", "625/50", 1, Fraction(0)),
        ("29.97", "525/59.94", 1, Fraction(0)),
        ("29.97", "720/59.94p", 2, Fraction(1001, 60)),
    ],
)
def test_places_of_a_frame_on_a_reference(camera: str, reference: str, count: int, apart_ms: Fraction) -> None:
    places = places_on(parse_rate(camera), parse_reference(reference))
    assert (places.count, places.farthest * 1000) == (count, apart_ms)
    assert places.count * places.spacing == parse_rate(camera).frame


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

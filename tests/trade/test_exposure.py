"""Cameras before screens: exposures, seams and rows that see two pictures."""

from fractions import Fraction as Fr

import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.trade.exposure import Shutter, Window, parse_shutter, pictures_a_frame, seam_travel
from synclint.trade.quantities import QuantityError
from synclint.trade.rates import Rate, parse_rate

MS = Fr(1, 1000)
FILM = parse_rate("23.976")


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("180 deg", Fr(1001, 48_000)),  # half of 1001/24000 s
        ("172.8 deg", Fr(1728, 3600) * Fr(1001, 24_000)),
        ("360°", Fr(1001, 24_000)),
        ("1/48 s", Fr(1, 48)),
        ("1/59.94 s", Fr(100, 5994)),
    ],
)
def test_shutters(text: str, seconds: Fr) -> None:
    assert parse_shutter(text).seconds(FILM) == seconds


@pytest.mark.parametrize("text", ["", "180", "0 deg", "361 deg", "1/0 s", "1 / 48 s", "half", "1/48", "9" * 70])
def test_what_is_no_shutter(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_shutter(text)


@given(st.text(max_size=80))
def test_any_text_is_a_shutter_or_refused(text: str) -> None:
    try:
        assert isinstance(parse_shutter(text), Shutter)
    except QuantityError:
        return


def test_an_exposure_is_said_as_the_shutter_was_written_and_never_longer() -> None:
    # 1/50 s at 24 is 360 x 24/50 = 172.8 degrees; 9 ms are 1/111.1 s, so 1/112 s is the next shorter
    assert Shutter(angle=Fr(180)).as_angle(Fr(1, 50), Rate(Fr(24))) == "172.8 deg"
    assert Shutter(time=Fr(1, 48)).as_angle(9 * MS, Rate(Fr(24))) == "1/112 s"


@pytest.mark.parametrize(
    ("refresh", "camera", "seconds"),
    [
        ("24", "23.976", Fr(1001, 24)),  # 24 - 24000/1001 = 24/1001
        ("23.976", "24", Fr(1001, 24)),
        ("60", "59.94", Fr(1001, 60)),
        ("60", "29.97", Fr(1001, 60)),  # twice 29.97 is 59.94
        ("48", "23.976", Fr(1001, 48)),  # 48 - 2 x 24000/1001 = 48/1001
        ("60", "25", Fr(1, 10)),  # 60 is nearest to 2 x 25, as far as from 3 x 25 is more
        ("24", "24", None),
        ("119.88", "23.976", None),  # five to a frame
    ],
)
def test_seams(refresh: str, camera: str, seconds: Fr | None) -> None:
    assert seam_travel(parse_rate(refresh), parse_rate(camera)) == seconds


def test_there_is_always_a_picture_to_a_frame() -> None:
    assert pictures_a_frame(parse_rate("24"), parse_rate("96")) == 1


def test_rows_that_are_open_at_the_change() -> None:
    # rows open 0..10 ms, each for 20 ms; a change at 5 ms falls into rows that open before 5 ms: half of them
    window = Window(Fr(0), 20 * MS, 10 * MS)
    assert window.length == 30 * MS
    assert window.shared_rows(5 * MS, 40 * MS) == Fr(1, 2)
    # at 25 ms: open since 5 ms at the earliest: rows that open after 5 ms
    assert window.shared_rows(25 * MS, 40 * MS) == Fr(1, 2)
    assert window.shared_rows(15 * MS, 40 * MS) == 1
    # at 0 the first row opens on the new picture, at 30 ms the last closes on the old one
    assert window.shared_rows(Fr(0), 40 * MS) == 0
    assert window.shared_rows(30 * MS, 40 * MS) == 0
    # it comes again each period: 45 ms is 5 ms again
    assert window.shared_rows(45 * MS, 40 * MS) == Fr(1, 2)
    assert window.shared_rows(-35 * MS, 40 * MS) == Fr(1, 2)


def test_a_shutter_for_all_rows_at_once_sees_it_or_not() -> None:
    window = Window(Fr(0), 20 * MS, Fr(0))
    assert window.shared_rows(5 * MS, 40 * MS) == 1
    assert window.shared_rows(Fr(0), 40 * MS) == 0
    assert window.shared_rows(20 * MS, 40 * MS) == 0


def test_a_row_open_for_a_whole_picture_always_sees_two() -> None:
    assert Window(Fr(0), 20 * MS, 5 * MS).shared_rows(Fr(0), 20 * MS) == 1
    assert Window(Fr(0), 20 * MS, 5 * MS).free_from(Fr(0), 20 * MS) is None


def test_where_there_is_room() -> None:
    # 40 - 30 = 10 ms of room after the change at 5 ms
    window = Window(Fr(0), 20 * MS, 10 * MS)
    assert window.free_from(45 * MS, 40 * MS) == (5 * MS, 15 * MS)


def test_no_number_takes_long() -> None:
    assert Window(Fr(0), Fr(1, 10**6), Fr(10**12)).shared_rows(Fr(0), Fr(1, 10_000)) == Fr(1, 100)
    with pytest.raises(ValueError, match="never changes"):
        Window(Fr(0), MS, MS).shared_rows(Fr(0), Fr(0))


short = st.fractions(min_value=0, max_value=Fr(1, 10), max_denominator=5000)


@given(short, short, short, short, st.fractions(min_value=Fr(1, 200), max_value=Fr(1, 10), max_denominator=5000))
def test_where_there_is_room_no_row_sees_two(opens: Fr, exposure: Fr, readout: Fr, changes: Fr, period: Fr) -> None:
    window = Window(opens, exposure, readout)
    assert 0 <= window.shared_rows(changes, period) <= 1
    free = window.free_from(changes, period)
    if free is not None:
        for at in (*free, (free[0] + free[1]) / 2):
            assert Window(at, exposure, readout).shared_rows(changes, period) == 0
    elif exposure:
        assert window.shared_rows(changes, period) > 0

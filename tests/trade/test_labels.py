"""Labels: which frame bears which, and how two counts part."""

from fractions import Fraction as Fr

import pytest

from synclint.trade.labels import (
    Label,
    LabelError,
    divergence,
    divergence_frames,
    exact_divergence,
    frame_of,
    is_valid,
    label_of,
    label_speed,
    labels_per_day,
    parse_label,
    second_aligned,
    seconds_per_slip,
)
from synclint.trade.rates import parse_label_rate

HOUR = Fr(3600)


@pytest.mark.parametrize(
    ("rate", "frame", "label"),
    [
        ("29.97 DF", 0, "00:00:00;00"),
        ("29.97 DF", 1799, "00:00:59;29"),
        ("29.97 DF", 1800, "00:01:00;02"),
        ("29.97 DF", 3598, "00:02:00;02"),
        ("29.97 DF", 10_789, "00:05:59;29"),
        ("29.97 DF", 10_790, "00:06:00;02"),
        ("29.97 DF", 17_981, "00:09:59;29"),
        ("29.97 DF", 17_982, "00:10:00;00"),
        ("29.97 DF", 53_946, "00:30:00;00"),
        ("29.97 DF", 107_892, "01:00:00;00"),
        ("29.97 DF", 1_078_920, "10:00:00;00"),
        ("29.97 DF", 1_084_319, "10:03:00;05"),
        ("29.97 DF", 2_589_407, "23:59:59;29"),
        ("59.94 DF", 3600, "00:01:00;04"),
        ("59.94 DF", 35_964, "00:10:00;00"),
        ("59.94 DF", 215_784, "01:00:00;00"),
        ("59.94 DF", 1_084_319, "05:01:30;03"),
        ("29.97 NDF", 10_789, "00:05:59:19"),
        ("29.97 NDF", 17_982, "00:09:59:12"),
        ("29.97 NDF", 1_084_319, "10:02:23:29"),
    ],
)
def test_labels_of_frames(rate: str, frame: int, label: str) -> None:
    """From OpenTimelineIO's tests and libavutil's source as far as they go; the rest is arithmetic, ST 12-1's rule.

    10:00:00;00 = 1,078,920 is the check of the QuickTime File Format's counter too.
    """
    assert str(label_of(frame, parse_label_rate(rate))) == label
    assert frame_of(parse_label(label), parse_label_rate(rate)) == frame


def test_same_frame_in_both_counts() -> None:
    """01:00:02;05 DF is 00:59:58:17 NDF: OpenTimelineIO's tests."""
    frame = frame_of(parse_label("01:00:02;05"), parse_label_rate("29.97 DF"))
    assert str(label_of(frame, parse_label_rate("29.97 NDF"))) == "00:59:58:17"


@pytest.mark.parametrize(
    ("rate", "count"),
    [
        ("29.97 DF", 2_589_408),
        ("59.94 DF", 5_178_816),
        ("29.97 NDF", 2_592_000),
        ("29.97", 2_592_000),
        ("23.976 NDF", 2_073_600),
        ("24", 2_073_600),
        ("25", 2_160_000),
        ("50", 4_320_000),
    ],
)
def test_labels_in_a_day_and_the_wrap(rate: str, count: int) -> None:
    """By hand: 30 x 86,400 - 2 x (1440 - 144) = 2,589,408, and twice that; else 86,400 x the whole rate."""
    label_rate = parse_label_rate(rate)
    assert labels_per_day(label_rate) == count
    assert label_of(count, label_rate) == label_of(0, label_rate)
    assert label_of(-1, label_rate) == label_of(count - 1, label_rate)
    assert str(label_of(-1, label_rate)).startswith("23:59:59")


def test_a_day_of_labels_in_real_seconds() -> None:
    """24 h of DF labels take 86,399.9136 s, of NDF labels over 1.001 86,486.4 s: arithmetic from ST 12-1's rule."""
    drop = parse_label_rate("29.97 DF")
    assert labels_per_day(drop) * drop.rate.frame == Fr("86399.9136")
    for name in ("23.976 NDF", "29.97 NDF", "59.94 NDF"):
        rate = parse_label_rate(name)
        assert labels_per_day(rate) * rate.rate.frame == Fr("86486.4")
        assert label_speed(rate) == Fr(1000, 1001)
    # 86,400 / 86,399.9136 = 1 / 0.999999
    assert label_speed(drop) == label_speed(parse_label_rate("59.94 DF")) == Fr(1_000_000, 999_999)
    assert label_speed(parse_label_rate("25")) == 1


@pytest.mark.parametrize(
    ("label", "rate", "valid"),
    [
        ("00:01:00;00", "29.97 DF", False),
        ("00:01:00;01", "29.97 DF", False),
        ("00:01:00;02", "29.97 DF", True),
        ("00:10:00;00", "29.97 DF", True),
        ("00:01:00;03", "59.94 DF", False),
        ("00:01:00;04", "59.94 DF", True),
        ("00:01:00:00", "29.97 NDF", True),
        ("00:01:00:00", "29.97", True),
        ("00:01:00:00", "29.97 DF", False),
        ("00:01:00;02", "29.97 NDF", False),
        ("00:01:00;02", "25 DF", False),
        ("00:01:00:02", "25 DF", True),
        ("00:00:00:24", "25", True),
        ("00:00:00:25", "25", False),
        ("00:00:00:24", "24", False),
        ("00:00:00:23", "23.976 NDF", True),
        ("23:59:59:49", "50", True),
    ],
)
def test_which_labels_exist(label: str, rate: str, valid: bool) -> None:
    """The rule of ST 12-1 as tabulated in secondary texts: ;00 and ;01 are skipped but in each tenth minute."""
    assert is_valid(parse_label(label), parse_label_rate(rate)) is valid
    if not valid:
        with pytest.raises(LabelError):
            frame_of(parse_label(label), parse_label_rate(rate))


def test_a_label_out_of_the_day_does_not_exist() -> None:
    for label in (Label(24, 0, 0, 0), Label(-1, 0, 0, 0), Label(0, 60, 0, 0), Label(0, 0, 60, 0), Label(0, 0, 0, -1)):
        assert not is_valid(label, parse_label_rate("25"))


def test_a_count_that_is_not_said_is_ndf() -> None:
    assert label_of(1800, parse_label_rate("29.97")) == label_of(1800, parse_label_rate("29.97 NDF"))


def test_drop_frame_where_it_does_not_exist_drops_nothing() -> None:
    """DF exists at 29.97 and 59.94 alone: libavutil's and OpenTimelineIO's source."""
    assert label_of(1500, parse_label_rate("25 DF")) == Label(0, 1, 0, 0)
    assert label_speed(parse_label_rate("23.976 DF")) == label_speed(parse_label_rate("23.976 NDF"))


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("01:00:00:00", Label(1, 0, 0, 0)),
        ("01:00:00;00", Label(1, 0, 0, 0, drop=True)),
        ("01:00:00.00", Label(1, 0, 0, 0, drop=True)),
        ("23:59:59:119", Label(23, 59, 59, 119)),
    ],
)
def test_reads_labels(text: str, label: Label) -> None:
    """A semicolon or a point means DF: libavutil's source."""
    assert parse_label(text) == label


@pytest.mark.parametrize(
    "text", ["", "1:00:00:00", "01:00:00", "24:00:00:00", "00:60:00:00", "00:00:60:00", "01:00:00,00", "0" * 99]
)
def test_refuses_labels(text: str) -> None:
    with pytest.raises(LabelError, match="is not a label"):
        parse_label(text)


def test_ndf_parts_from_the_wall_clock() -> None:
    """At rates over 1.001 an hour of labels lasts 3603.6 s and labels lag 3.5964 s each real hour: arithmetic.

    By hand: 3600 x (1 - 1000/1001) = 3600/1001 = 3.596404 s.
    """
    for name, frames in (("23.976 NDF", "86.3137"), ("29.97 NDF", "107.8921")):
        rate = parse_label_rate(name)
        assert divergence(parse_label_rate("24"), rate, HOUR) == Fr(3600, 1001)
        assert divergence(parse_label_rate("24"), rate, Fr("3603.6")) == Fr("3.6")
        assert round(-divergence_frames(rate, parse_label_rate("30"), HOUR), 4) == Fr(frames)
    # counted at 59.94 itself these are 216 frames an hour of labels; on a cable, where pairs count, 108
    assert divergence_frames(parse_label_rate("59.94 NDF"), parse_label_rate("60"), Fr("3603.6")) == -108


def test_24_against_23_976() -> None:
    """Out by a frame of 24 in 41.7 s: arithmetic, 1/24 s over 1/1001 = 41.708 s."""
    slip = seconds_per_slip(parse_label_rate("24"), parse_label_rate("23.976 NDF"))
    assert slip == Fr(1001, 24)
    assert seconds_per_slip(parse_label_rate("24"), parse_label_rate("30")) is None


def test_drop_frame_runs_ahead_by_86_ms_a_day() -> None:
    """DF labels gain 86.4 ms in a label day, 3.6 ms in a label hour: arithmetic."""
    drop, wall = parse_label_rate("29.97 DF"), parse_label_rate("30")
    assert divergence(drop, wall, Fr("86399.9136")) == Fr("0.0864")
    assert divergence(drop, wall, Fr("3599.9964")) == Fr("0.0036")


def test_drop_against_non_drop() -> None:
    """Same frames; labels part by 2 after a minute, 18 after ten, 108 each hour of DF labels: arithmetic."""
    drop, non_drop = parse_label_rate("29.97 DF"), parse_label_rate("29.97 NDF")
    for frame, labels in ((1799, 0), (1800, 2), (17_982, 18), (107_892, 108), (24 * 107_892, 24 * 108)):
        assert exact_divergence(drop, non_drop, frame * drop.rate.frame) * 30 == labels
    assert divergence_frames(drop, non_drop, 107_892 * drop.rate.frame) == 108


def test_drop_frame_inside_ten_minutes() -> None:
    """Label minus real time: from -59.97 ms at 00:00:59;29 to +60.53 ms at 00:09:00;02: arithmetic.

    By hand: 1799/30 - 1799 x 1.001/30 = -0.0599667; 540 + 2/30 - 16,184 x 1.001/30 = 0.0605333.
    """
    drop = parse_label_rate("29.97 DF")
    apart = {}
    for frame in range(17_982):
        label = label_of(frame, drop)
        apart[str(label)] = (60 * label.minutes + label.seconds + Fr(label.frames, 30)) - frame * drop.rate.frame
    least, most = min(apart, key=apart.__getitem__), max(apart, key=apart.__getitem__)
    assert (least, round(apart[least] * 1000, 2)) == ("00:00:59;29", Fr("-59.97"))
    assert (most, round(apart[most] * 1000, 2)) == ("00:09:00;02", Fr("60.53"))


@pytest.mark.parametrize(
    ("a", "b", "aligned"),
    [
        ("23.976 NDF", "29.97 NDF", True),
        ("23.976 NDF", "59.94", True),
        ("24", "25", True),
        ("25", "30", True),
        ("25", "50", True),
        ("29.97 DF", "59.94 DF", True),
        ("29.97 DF", "29.97 NDF", False),
        ("24", "23.976 NDF", False),
        ("29.97 DF", "30", False),
    ],
)
def test_second_aligned(a: str, b: str, aligned: bool) -> None:
    """Rates over 1.001 are one family and whole rates another: arithmetic."""
    assert second_aligned(parse_label_rate(a), parse_label_rate(b)) is aligned

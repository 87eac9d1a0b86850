"""Frame rates and their names."""

from fractions import Fraction as Fr

import pytest

from synclint.trade.rates import (
    AmbiguousRateError,
    Count,
    LabelRate,
    Rate,
    RateError,
    UnreadableRateError,
    parse_label_rate,
    parse_rate,
)

EXACT = {
    "23.976": Fr(24_000, 1001),
    "24": Fr(24),
    "25": Fr(25),
    "29.97": Fr(30_000, 1001),
    "30": Fr(30),
    "47.952": Fr(48_000, 1001),
    "48": Fr(48),
    "50": Fr(50),
    "59.94": Fr(60_000, 1001),
    "60": Fr(60),
    "95.904": Fr(96_000, 1001),
    "96": Fr(96),
    "100": Fr(100),
    "119.88": Fr(120_000, 1001),
    "120": Fr(120),
}


@pytest.mark.parametrize(("name", "fps"), EXACT.items())
def test_trade_names_are_exact_rates_and_back(name: str, fps: Fr) -> None:
    """The exact rates are whole numbers or whole numbers over 1.001: ST 2059-1 uses 30/1.001; else arithmetic."""
    assert parse_rate(name) == Rate(fps)
    assert Rate(fps).name == name


@pytest.mark.parametrize(
    "text", ["23.97", "23.98", "23.976", "23.97602", "24000/1001", "23.976p", "23.98 fps", " 23.98 "]
)
def test_names_of_one_rate_pass_in_silence(text: str) -> None:
    """OpenTimelineIO's source takes 23.97, 23.976, 23.98, 24000/1001 for one rate; suffixes are common practice."""
    assert parse_rate(text).fps == Fr(24_000, 1001)


@pytest.mark.parametrize(
    ("text", "fps"),
    [
        ("29.970", Fr(30_000, 1001)),
        ("30000/1001", Fr(30_000, 1001)),
        ("47.95", Fr(48_000, 1001)),
        ("59.94p", Fr(60_000, 1001)),
        ("95.9", Fr(96_000, 1001)),
        ("119.88", Fr(120_000, 1001)),
        ("24.0", Fr(24)),
        ("24.000", Fr(24)),
        ("25p", Fr(25)),
        ("50P", Fr(50)),
        ("25FPS", Fr(25)),
        ("22", Fr(22)),
        ("33", Fr(33)),
        ("150", Fr(150)),
        ("12.5", Fr(25, 2)),
        ("0.5", Fr(1, 2)),
        ("10000", Fr(10_000)),
    ],
)
def test_reads(text: str, fps: Fr) -> None:
    """47.95 is the name in ST 12-1:2014, quoted; off-speed rates are plain numbers, common practice, no source."""
    assert parse_rate(text).fps == fps


@pytest.mark.parametrize(
    ("text", "slow", "fast"),
    [
        ("24p", "23.976", "24"),
        ("30p", "29.97", "30"),
        ("60P", "59.94", "60"),
        ("48p", "47.952", "48"),
        ("120p", "119.88", "120"),
    ],
)
def test_asks_which_is_meant(text: str, slow: str, fast: str) -> None:
    """24p is said of 23.976 and of 24: common practice, no source."""
    with pytest.raises(AmbiguousRateError, match=f"{slow} and of {fast}") as caught:
        parse_rate(text)
    assert caught.value.text == text
    assert tuple(rate.name for rate in caught.value.candidates) == (slow, fast)


@pytest.mark.parametrize(
    "text",
    [
        *(
            "",
            " ",
            "p",
            "fps",
            "film",
            "-24",
            "+24",
            "0",
            "0.0",
            "0/1",
            "24/0",
            "10001",
            "10000.1",
            "1e2",
            "nan",
            "inf",
            "24,5",
        ),
        *(
            "50i",
            "24pp",
            "24 p fps",
            "25 DF",
            "٢٤",
            "24\n",
            "\t24",
            "9" * 41,
            "1" * 10_000,
            "0x18",
            "1_0",
            "24000/1001/1",
        ),
    ],
)
def test_refuses(text: str) -> None:
    with pytest.raises(UnreadableRateError) as caught:
        parse_rate(text)
    assert len(caught.value.text) <= 40
    assert len(str(caught.value)) < 200


def test_a_rate_is_above_zero() -> None:
    with pytest.raises(RateError):
        Rate(Fr(0))


def test_properties_of_a_rate() -> None:
    """Counts per second of label: 24 for 23.976 and 30 for 29.97 in the QuickTime File Format, quoted."""
    assert [Rate(fps).nominal for fps in EXACT.values()] == [
        24,
        24,
        25,
        30,
        30,
        48,
        48,
        50,
        60,
        60,
        96,
        96,
        100,
        120,
        120,
    ]
    assert [name for name, fps in EXACT.items() if Rate(fps).fractional] == [
        *("23.976", "29.97", "47.952", "59.94", "95.904", "119.88")
    ]
    assert Rate(Fr(24_000, 1001)).frame == Fr(1001, 24_000)
    assert sorted(Rate(fps) for fps in (Fr(25), Fr(24), Fr(24_000, 1001))) == [
        Rate(Fr(24_000, 1001)),
        Rate(Fr(24)),
        Rate(Fr(25)),
    ]


@pytest.mark.parametrize(
    ("fps", "name"), [(Fr(25, 2), "12.5"), (Fr(22, 7), "22/7"), (Fr(33_000, 1001), "3000/91"), (Fr(1000), "1000")]
)
def test_other_rates_have_a_name_that_reads_back(fps: Fr, name: str) -> None:
    """By hand: 33000/1001 = 3000/91, as 1001 = 7 x 11 x 13 and 33000 = 11 x 3000."""
    assert Rate(fps).name == name
    assert parse_rate(name).fps == fps


@pytest.mark.parametrize(
    ("name", "counted"),
    [
        *(("23.976", "23.976"), ("24", "24"), ("25", "25"), ("29.97", "29.97"), ("30", "30")),
        *(("47.952", "23.976"), ("48", "24"), ("50", "25"), ("59.94", "29.97"), ("60", "30")),
        *(("95.904", "23.976"), ("96", "24"), ("100", "25"), ("119.88", "29.97"), ("120", "30"), ("72", "24")),
        *(("12.5", "12.5"), ("33", "16.5")),
    ],
)
def test_labels_count_up_to_thirty(name: str, counted: str) -> None:
    """Pairs up to 60: ST 12-1:2014 12, cited in libavutil; larger groups above that: ST 12-3, from memory."""
    assert parse_rate(name).counted == parse_rate(counted)


def test_families() -> None:
    """50 goes with 25 and 59.94 with 29.97, 25 not with 59.94: pairs as in ST 12-1:2014 12, cited in libavutil."""
    pairs = [("25", "50"), ("24", "48"), ("30", "60"), ("29.97", "59.94"), ("23.976", "47.952")]
    assert all(parse_rate(a).family == parse_rate(b).family for a, b in pairs)
    assert len({parse_rate(a).family for a, _ in pairs}) == len(pairs)
    assert parse_rate("25").family != parse_rate("59.94").family


@pytest.mark.parametrize(
    ("text", "rate", "count", "name"),
    [
        ("23.976 NDF", "23.976", Count.NDF, "23.976 NDF"),
        ("23.98 ndf", "23.976", Count.NDF, "23.976 NDF"),
        ("29.97 DF", "29.97", Count.DF, "29.97 DF"),
        ("29.97DF", "29.97", Count.DF, "29.97 DF"),
        ("29.97 fps df", "29.97", Count.DF, "29.97 DF"),
        ("30000/1001 DF", "29.97", Count.DF, "29.97 DF"),
        ("59.94p DF", "59.94", Count.DF, "59.94 DF"),
        ("29.97", "29.97", None, "29.97"),
        ("25", "25", None, "25"),
        ("25 DF", "25", Count.DF, "25 DF"),
    ],
)
def test_reads_rate_and_count(text: str, rate: str, count: Count | None, name: str) -> None:
    assert parse_label_rate(text) == LabelRate(parse_rate(rate), count)
    assert parse_label_rate(text).name == name


@pytest.mark.parametrize(
    "text", ["DF 29.97", "DF", "", "29.97 DF NDF", "29.97 drop", "29.97 D Fr", "29.97-DF", "2" * 41]
)
def test_refuses_rate_and_count(text: str) -> None:
    with pytest.raises(UnreadableRateError):
        parse_label_rate(text)


def test_asks_which_is_meant_with_a_count_too() -> None:
    with pytest.raises(AmbiguousRateError):
        parse_label_rate("24p NDF")


def test_where_a_count_exists_and_is_needed() -> None:
    """DF exists at 30000/1001 and 60000/1001 alone: libavutil's and OpenTimelineIO's source."""
    drop = {name for name, fps in EXACT.items() if LabelRate(Rate(fps), Count.DF).count_allowed}
    assert drop == {"29.97", "59.94"}
    assert {name for name, fps in EXACT.items() if LabelRate(Rate(fps)).count_needed} == drop
    assert all(LabelRate(Rate(fps), count).count_allowed for fps in EXACT.values() for count in (None, Count.NDF))


def test_a_label_rate_folds_with_its_count() -> None:
    """LTC counts pairs: ST 12-1:2014 12, cited in libavutil."""
    assert parse_label_rate("59.94 DF").counted == parse_label_rate("29.97 DF")
    assert parse_label_rate("50").counted == parse_label_rate("25")
    assert parse_label_rate("59.94 DF").drop
    assert not parse_label_rate("59.94").drop

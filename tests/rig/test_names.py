"""Names and ranges of devices and ports."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.rig.names import LONGEST_RANGE, NameFormError, read_reference, written_out


@pytest.mark.parametrize(
    ("name", "names"),
    [
        ("cam_a", ("cam_a",)),
        ("cam_1", ("cam_1",)),
        ("cam_1..cam_3", ("cam_1", "cam_2", "cam_3")),
        ("cam_8..cam_8", ("cam_8",)),
        ("cam1..cam3", ("cam1", "cam2", "cam3")),
        ("cam_9..cam_11", ("cam_9", "cam_10", "cam_11")),
        ("cam_08..cam_11", ("cam_08", "cam_09", "cam_10", "cam_11")),
        ("cam_00..cam_02", ("cam_00", "cam_01", "cam_02")),
        ("cam_000001..cam_000002", ("cam_000001", "cam_000002")),
        ("cam_30001..cam_30002", ("cam_30001", "cam_30002")),
        ("cam_0..cam_2", ("cam_0", "cam_1", "cam_2")),
        ("a2_cam_1..a2_cam_2", ("a2_cam_1", "a2_cam_2")),
    ],
)
def test_a_name_or_range_written_out(name: str, names: tuple[str, ...]) -> None:
    assert written_out(name) == names


@pytest.mark.parametrize(
    "name",
    [
        "cam_8..cam_1",
        "cam_1..box_3",
        "cam_1..3",
        "cam_a..cam_c",
        "cam_1..",
        "..cam_3",
        "..",
        "cam_1...cam_3",
        "cam_1..cam_2..cam_3",
        "1..3",
        "cam_1..cam_99999999999999999999",
        f"cam_1..cam_{LONGEST_RANGE + 1}",
        "cam_1..cam_20001",
        "cam_" + "1" * 5000 + "..cam_" + "2" * 5000,
        "cam_" + "1" * 5000 + "..cam_3",
        "cam_" + "0" * 5000 + "1..cam_3",
        "cam_١..cam_٣",  # digits of another script
        "cam_1..cam_²",
    ],
)
def test_what_is_no_range(name: str) -> None:
    with pytest.raises(NameFormError):
        written_out(name)


def test_the_longest_range() -> None:
    names = written_out(f"cam_1..cam_{LONGEST_RANGE}")
    assert (len(names), names[0], names[-1]) == (LONGEST_RANGE, "cam_1", f"cam_{LONGEST_RANGE}")


@given(st.integers(0, 5000), st.integers(0, 50), st.sampled_from(["cam_", "a", "box_2_"]))
def test_a_range_holds_every_number_from_first_to_last(first: int, more: int, stem: str) -> None:
    names = written_out(f"{stem}{first}..{stem}{first + more}")
    assert [int(name.removeprefix(stem)) for name in names] == list(range(first, first + more + 1))


@given(st.text(max_size=40) | st.from_regex(r"[a-z_0-9.]{1,30}", fullmatch=True))
def test_any_text_is_read_or_refused(text: str) -> None:
    for read in (written_out, read_reference):
        with suppress(NameFormError):
            assert read(text)


@pytest.mark.parametrize(
    ("text", "devices", "ports"),
    [
        ("bag.tc_out", ("bag",), ("tc_out",)),
        ("cam_1..cam_3.tc_in", ("cam_1", "cam_2", "cam_3"), ("tc_in",)),
        ("dist.out_1..out_2", ("dist",), ("out_1", "out_2")),
        ("cam_1..cam_1.out_1..out_2", ("cam_1",), ("out_1", "out_2")),
    ],
)
def test_an_end_of_a_link(text: str, devices: tuple[str, ...], ports: tuple[str, ...]) -> None:
    reference = read_reference(text)
    assert (reference.devices, reference.ports) == (devices, ports)


@pytest.mark.parametrize(
    "text",
    ["bag", "bag.", ".tc_out", "bag.tc.out", "Bag.tc_out", "cam_1..cam_2.out_1..out_2", "bag tc_out", "bag.tc_out "],
)
def test_what_is_no_end_of_a_link(text: str) -> None:
    with pytest.raises(NameFormError):
        read_reference(text)

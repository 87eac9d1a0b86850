"""How rates are said; the numbers are exact arithmetic on 1000/1001 unless a source is named."""

import pytest

from synclint.findings import Level, SetValue
from synclint.rules.rate_names import (
    drop_frame_at_a_rate_without_it,
    drop_frame_not_said,
    rate_name_rounded_on_the_menu,
    unclear_rate,
)
from synclint.rules.rates import RULES as RATES
from tests.rules.running import Came, came_of, rig

DAY = "call: 07:00, wrap: 19:00, longest_take: 10 min"  # 12 h


def camera(rate: str, *, project: str = "rate: 24", more: str = "", day: str = "") -> str:
    timecode = f"timecode: {{from: own clock, mode: free run, rate: {rate}}}"
    cam = f"  cam: {{{timecode}, records: {{timecode_on: [file]}}{more}}}"
    return rig(cam, project=project, day=day)


# --- names for two rates ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "slow", "fast"), [("24p", "23.976", "24"), ("30p", "29.97", "30"), ("60P", "59.94", "60")]
)
def test_which_rate_is_meant(name: str, slow: str, fast: str) -> None:
    came = came_of(unclear_rate, camera(name))
    assert came.one.level is Level.ERROR
    assert came.one.sentence == f"cam gives {name}, which is said of {slow} and of {fast}"
    assert came.one.fix is not None
    assert came.one.fix.edits == ()  # nobody chooses for them
    # 3600/1001 s an hour
    assert came.amounts["labels apart"] == pytest.approx(3.5964, abs=1e-4)


def test_the_project_and_its_cameras_give_one_name_in_one_finding() -> None:
    came = came_of(unclear_rate, camera("24p", project="rate: 24p", day=DAY))
    assert came.one.sentence == "the project and cam give 24p, which is said of 23.976 and of 24"
    # 12 h: 43,200/1001 = 43.157 s
    assert came.amounts["apart over the day"] == pytest.approx(43.157, abs=1e-3)


@pytest.mark.parametrize("picture", ["{shot_at: 24p, played_at: 24}", "{shot_at: 24, played_at: 24p}"])
def test_pictures_have_names_too(picture: str) -> None:
    text = rig(f"  cam: {{records: {{picture: {picture}, timecode_on: [left]}}}}", project="rate: 24")
    assert "gives 24p" in came_of(unclear_rate, text).one.sentence


@pytest.mark.parametrize("name", ["23.98", "23.976", "24000/1001", "24", "25p", "50p", "29.97 DF"])
def test_silence_about_names_of_one_rate(name: str) -> None:
    assert came_of(unclear_rate, camera(name)).silent


# --- rounded names ---------------------------------------------------------------------------------------------


def rounded(text: str) -> Came:
    assert not any(came_of(rule, text).findings for rule in RATES)  # one fault, one rule
    return came_of(rate_name_rounded_on_the_menu, text)


def test_a_small_camera_gets_a_note() -> None:
    came = rounded(camera("24", more=", class: small camera"))
    assert came.one.level is Level.NOTE
    assert "if it is 23.976" in came.one.cost_sentence


def test_a_small_camera_without_labels_parts_from_the_sound() -> None:
    cam = "  cam: {able: {class: small camera}, records: {picture: {shot_at: 24}, timecode_on: [left]}}"
    came = came_of(rate_name_rounded_on_the_menu, rig(cam, project="rate: 24", day="longest_take: 20 min"))
    # 23.976 played at 24: 1 - 1000/1001 of an hour is 3600/1001 = 3.596 s, of 20 min 1.2 s (exact arithmetic)
    assert came.one.cost_sentence == (
        "if it is 23.976, played at 24 its picture parts from the sound by 3.596 s an hour, 1.2 s over the longest "
        "take of 20 min"
    )


@pytest.mark.parametrize("cls", ["action camera", "drone camera", "phone"])
@pytest.mark.parametrize(("agreed", "name"), [("24", "24"), ("30", "30"), ("30", "60"), ("30", "60 fps")])
def test_every_class_that_rounds(cls: str, agreed: str, name: str) -> None:
    assert len(rounded(camera(name, project=f"rate: {agreed}", more=f", class: {cls}")).findings) == 1


@pytest.mark.parametrize(
    ("rate", "cls"),
    [("24.000", "small camera"), ("24/1", "small camera"), ("23.976", "small camera"), ("24", "cinema camera")],
)
def test_silence_where_somebody_looked(rate: str, cls: str) -> None:
    assert came_of(rate_name_rounded_on_the_menu, camera(rate, more=f", class: {cls}")).silent


def test_silence_where_rates_are_compared() -> None:
    text = camera("24", project="rate: 23.976", more=", class: small camera")
    assert came_of(rate_name_rounded_on_the_menu, text).silent
    assert sum(len(came_of(rule, text).findings) for rule in RATES) == 1


def test_silence_about_25() -> None:
    assert came_of(rate_name_rounded_on_the_menu, camera("25", project="rate: 25", more=", class: phone")).silent


def test_a_kit_makes_it_certain() -> None:
    came = rounded(camera("24", more=", able: {class: small camera, rate_names: {24: 23.976}}"))
    assert came.one.level is Level.ERROR
    assert came.one.sentence == "cam is set to 24, which its menu says of 23.976, where the project counts true 24"
    assert came.amounts["labels apart"] == pytest.approx(3.5964, abs=1e-4)


def test_a_kit_makes_it_right() -> None:
    text = camera("24", project="rate: 23.976", more=", able: {class: small camera, rate_names: {24: 23.976}}")
    assert rounded(text).silent


def test_a_kit_that_rounds_other_names_leaves_this_one_exact() -> None:
    assert rounded(camera("24", more=", able: {class: small camera, rate_names: {30: 29.97}}")).silent


# --- drop frame ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("rate", ["29.97", "59.94", "30000/1001"])
def test_the_count_has_to_be_said(rate: str) -> None:
    came = came_of(drop_frame_not_said, camera(rate, project="rate: 29.97 NDF"))
    assert came.one.level is Level.ERROR
    # ST 12-1:2014 as tabulated in secondary texts: 108 labels an hour of labels, 3.6 s at 30 a second
    assert came.amounts["labels apart"] == 108
    assert "108 after an hour (3.6 s)" in came.one.cost_sentence


def test_the_project_says_it_for_nobody_else() -> None:
    came = came_of(drop_frame_not_said, camera("29.97", project="rate: 29.97"))
    assert came.one.sentence == "the project and cam say 29.97 without DF or NDF"


@pytest.mark.parametrize("rate", ["29.97 DF", "29.97 NDF", "59.94 DF", "23.976", "25", "50", "30"])
def test_silence_where_there_is_one_count(rate: str) -> None:
    assert came_of(drop_frame_not_said, camera(rate, project="rate: 25")).silent


def test_silence_about_a_picture_which_has_no_count() -> None:
    cam = "  cam: {records: {picture: {shot_at: 29.97, played_at: 29.97}, timecode_on: [left]}}"
    assert came_of(drop_frame_not_said, rig(cam, project="rate: 29.97 DF")).silent


@pytest.mark.parametrize(
    ("rate", "seconds", "plain"),
    [
        ("25 DF", 108 / 25, "25"),
        ("23.976 DF", 108 / 24, "23.976 NDF"),
        ("24 DF", 108 / 24, "24"),
        ("50 DF", 4.32, "50"),
    ],
)
def test_a_flag_where_there_is_none(rate: str, seconds: float, plain: str) -> None:
    # DF at 30000/1001 and 60000/1001 only: libavutil
    came = came_of(drop_frame_at_a_rate_without_it, camera(rate, day=DAY))
    assert came.one.level is Level.ERROR
    assert came.amounts["labels left out"] == 108
    assert came.amounts["apart over the day"] == pytest.approx(12 * seconds)
    assert came.one.fix is not None
    assert [edit.value for edit in came.one.fix.edits if isinstance(edit, SetValue)] == [plain]


@pytest.mark.parametrize(("project", "edits"), [("rate: 29.97 DF", ["29.97 DF"]), ("rate: 25", [])])
def test_30_df_is_asked_about(project: str, edits: list[str]) -> None:
    one = came_of(drop_frame_at_a_rate_without_it, camera("30 DF", project=project)).one
    assert one.fix is not None
    assert [edit.value for edit in one.fix.edits if isinstance(edit, SetValue)] == edits
    assert "29.97 DF nearly always" in one.fix_sentence


def test_silence_about_drop_frame_where_it_is() -> None:
    assert came_of(drop_frame_at_a_rate_without_it, camera("29.97 DF")).silent
    assert came_of(drop_frame_at_a_rate_without_it, camera("59.94 DF")).silent

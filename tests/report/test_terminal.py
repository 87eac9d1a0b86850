"""The report for a person: its layout, and what it keeps away from the terminal."""

import io
import os
import re
import unicodedata
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from synclint.findings import Fix, Level
from synclint.overview import Overview, RateRow
from synclint.report import terminal
from synclint.report.page import wide
from synclint.result import Crash, Report
from tests.report import made

ESCAPE = re.compile(r"\x1b\[[0-9;]*m")

AT_80_COLUMNS = """\
tideline.setup.yaml  Tideline, day 4

  Do not shoot like this: 1 error, 2 warnings and 1 note.
  The worst: cam_c labels at 24, the project at 23.976 NDF – 3.6 s an hour:
  45.0 s by wrap at 19:00.

RATES
                             timecode     picture   sound
  bag, slate, box_1..box_3   23.976 NDF   -         48 kHz
  cam_a, cam_b, cam_d        23.976 NDF   23.976    48 kHz
  cam_c                      24           24        -
    unlike the project: timecode and picture

WHO LABELS WHOM
  bag              own clock, free run
  ├ box_1..box_3   jam by lead, LTC
  │ └ cam_a        continuous, LTC
  └ slate          jam by lead, LTC
  hangs on nothing: cam_d

WHO PACES WHOM
  bag            own clock
  cam_a, cam_b   own clock

STOPS THE DAY

  At the rental house

   1    ERROR  cam_c labels at 24, the project at 23.976 NDF.
        where  tideline.setup.yaml:41:17  cam_c · timecode · rate
        costs  3.6 s an hour: 45.0 s by wrap at 19:00.
          fix  Set 23.976 NDF in the menu of cam_c, then jam again.
         rule  labels-part: 24 against 24000/1001 (exact arithmetic)

COSTS POST

  On the test day

   2  WARNING  cam_b and cam_d may drift past the tolerance of 1 frame within
               the longest take of 45 min.
        where  tideline.setup.yaml:30:3  cam_b
        costs  up to 84 ms, 2 frames, at the end of a take.
          fix  Keep the box plugged, or clap at the tail of long takes.
         also  tideline.setup.yaml:36:3  cam_d
      assumes  cam_b · clock · accuracy (class small camera); so at most a
               warning
         rule  long-take-drift: Common sum (common practice, no source)

COSTS TIME

  On set

   3  WARNING  cam_b is switched off at 12:10 and not jammed again.
        where  tideline.setup.yaml:22:9  day 1 · event 6
          fix  Jam cam_b after the battery and film the slate.
         rule  no-jam-after-swap: 24 against 24000/1001 (exact arithmetic)

GOOD HABITS

  At the rental house

   4     NOTE  No spare for the one lead BNC to 3.5 mm TRS.
        where  tideline.setup.yaml:58:40  link 3 · lead
         rule  no-spare-lead: Common habit (common practice, no source)

TO LOOK AT ON THE DAY
  At the rental house
    [ ] Set date and time on every device
  Before the first take
    [ ] Look at the display of cam_a beside the slate

ACCEPTED
  - no-spare-lead, by sound, until 2026-06-30: a spare lies in the van

ASSUMED
  - clock accuracy 30 ppm: cam_b, cam_d (class small camera)

NOT JUDGED, FOR WANT OF A FACT
  - the fixed offset (cam_a, cam_b): long-take-drift, 2 times

READ, AND JUDGED BY NO RULE YET
  devices/power/runtime (3) and devices/note

LOOKED AT
  9 devices and 7 links, with 42 rules
"""


def written(
    *reports: Report, stream: io.StringIO | None = None, show: Level = Level.NOTE, color: str = "auto", skipped: int = 0
) -> str:
    stream = stream or io.StringIO()
    terminal.write(reports, stream, show=show, color=color, skipped=skipped)
    return stream.getvalue()


def on_screen(monkeypatch: pytest.MonkeyPatch, width: int, *reports: Report, color: str = "never") -> str:
    made.columns(monkeypatch, width)
    return written(*reports, stream=made.Screen(), color=color)


def section(text: str, heading: str) -> list[str]:
    """The lines under a heading, up to the next."""
    lines = text.splitlines()
    start = lines.index(heading) + 1
    ends = (number for number, line in enumerate(lines) if number >= start and line and line == line.lstrip())
    return [line for line in lines[start : next(ends, len(lines))] if line]


# --- layout ----------------------------------------------------------------------------------------------------


def test_the_whole_report_at_80_columns(monkeypatch: pytest.MonkeyPatch) -> None:
    assert on_screen(monkeypatch, 80, made.SMALL) == AT_80_COLUMNS


def test_the_trees_stand_beside_each_other_where_there_is_room(monkeypatch: pytest.MonkeyPatch) -> None:
    lines = on_screen(monkeypatch, 160, made.SMALL).splitlines()
    assert "WHO LABELS WHOM" + " " * 67 + "WHO PACES WHOM" in lines
    assert "  bag              own clock, free run" + " " * 46 + "bag            own clock" in lines
    narrow = on_screen(monkeypatch, 129, made.SMALL).splitlines()
    assert {"WHO LABELS WHOM", "WHO PACES WHOM"} <= set(narrow)


@pytest.mark.parametrize("width", [40, 80, 100, 130, 160, 240])
@pytest.mark.parametrize("report", [made.SMALL, made.hostile(), made.large(300)], ids=["small", "hostile", "large"])
def test_no_line_is_wider_than_the_terminal(monkeypatch: pytest.MonkeyPatch, width: int, report: Report) -> None:
    lines = on_screen(monkeypatch, width, report).splitlines()
    limit = max(width, 80)  # below 80 columns the tables keep their form
    assert not [line for line in lines if wide(line) > limit]


def test_a_pipe_gets_every_sentence_on_one_line() -> None:
    long = replace(made.TWO_RATES, says="word " * 60 + "end")
    lines = written(replace(made.SMALL, findings=(long,))).splitlines()
    assert f"   1    ERROR  {'word ' * 60}end." in lines


def test_a_number_is_not_torn_from_its_unit(monkeypatch: pytest.MonkeyPatch) -> None:
    for width in range(60, 100):
        text = on_screen(monkeypatch, width, made.SMALL)
        assert not re.search(r"45\.0\n|\b3\.6\n|23\.976\n", text)


def test_no_line_ends_in_blanks_and_no_two_are_empty(monkeypatch: pytest.MonkeyPatch) -> None:
    text = on_screen(monkeypatch, 160, made.SMALL, made.SOUND, made.UNREADABLE)
    assert not re.search(r"[ \t]\n|\n\n\n", text)


# --- what is said ----------------------------------------------------------------------------------------------


def test_what_is_odd_is_said_in_words() -> None:
    (odd,) = [line for line in section(written(made.SMALL), "RATES") if "unlike" in line]
    assert (
        odd == "  cam_c                      24           24        -        unlike the project: timecode and picture"
    )


def test_like_lacks_fold_with_their_count() -> None:
    lines = section(written(made.SMALL), "NOT JUDGED, FOR WANT OF A FACT")
    assert lines == ["  - the fixed offset (cam_a, cam_b): long-take-drift, 2 times"]


def test_a_finding_decided_by_an_assumption_says_so() -> None:
    text = written(made.SMALL)
    assert "assumes  cam_b · clock · accuracy (class small camera); so at most a warning" in text


def test_the_places_of_a_merged_finding_are_bounded() -> None:
    many = replace(made.DRIFT, also=made.DRIFT.also * 12, who=tuple(f"cam_{number}" for number in range(1, 13)))
    text = written(replace(made.SMALL, findings=(many,)))
    assert text.count("tideline.setup.yaml:36:3") == 5
    assert "               and 7 places more\n" in text.replace("and 7 places more", "and 7 places more")
    assert "      devices  cam_1..cam_12\n" in text


@pytest.mark.parametrize(
    ("show", "numbers", "left_out"),
    [
        (Level.NOTE, ["1", "2", "3", "4"], ""),
        (Level.WARNING, ["1", "2", "3"], "1 milder finding not shown, by your --show warning."),
        (Level.ERROR, ["1"], "3 milder findings not shown, by your --show error."),
    ],
)
def test_show_leaves_out_the_milder_and_says_so(show: Level, numbers: list[str], left_out: str) -> None:
    text = written(made.SMALL, show=show)
    assert re.findall(r"^ +(\d+) +(?:ERROR|WARNING|NOTE)", text, re.MULTILINE) == numbers
    assert left_out in text
    assert "1 error, 2 warnings and 1 note" in text


def test_many_findings_of_a_rule_are_bounded() -> None:
    text = written(made.large(300))
    assert text.count("ERROR") == terminal.MOST_OF_A_RULE
    assert "and 275 more of labels-part; --report json has them all" in text


def test_a_large_rig_stays_readable() -> None:
    text = written(made.large(2000))
    assert len(text.splitlines()) < 300
    rates = section(text, "RATES")
    assert "and 1,960 rows more" in rates[-1]
    assert rates[-2].split()[0] == "cam_2000", "the odd one is shown however many there are"
    assert "and 1,987 devices more, not drawn" in text
    assert "  cam_1..cam_2000   own clock" in text.splitlines()


def test_a_tree_of_equal_branches_ends_once() -> None:
    branch = made.OVERVIEW.clock_tree[0]
    tree = replace(made.OVERVIEW, timecode_tree=(replace(branch, below=(branch, branch)),))
    assert [line[2] for line in section(written(replace(made.SOUND, overview=tree)), "WHO LABELS WHOM")[:3]] == [
        "b",
        "├",
        "└",
    ]


def test_rules_that_failed_or_did_not_run_are_told() -> None:
    crashed = written(replace(made.SMALL, crashes=made.hostile().crashes))
    assert "The rule labels-part failed (" in crashed
    assert "secret" not in crashed
    held_back = written(replace(made.SMALL, held_back="a kit could not be read"))
    assert "The rules did not run, for a kit could not be read. Mend that first." in held_back


def test_a_file_that_could_not_be_checked_takes_a_line_and_its_fix() -> None:
    assert written(made.UNREADABLE) == "gone.setup.yaml: There is no such file.\n"
    (missing,) = made.UNREADABLE.findings
    hinted = replace(made.UNREADABLE, findings=(replace(missing, fix=Fix("Did you mean `gong.setup.yaml`?")),))
    assert written(hinted) == "gone.setup.yaml: There is no such file.\n  fix  Did you mean `gong.setup.yaml`?\n"


def test_a_fault_outside_of_a_rule_is_told_as_one() -> None:
    failed = Report("x.setup.yaml", "", crashes=(Crash("", "LookupError: x", "trace"),), could_not_check=True)
    assert written(failed) == "x.setup.yaml: LookupError: x. That is a fault of synclint, and not of the file.\n"
    assert "  x.setup.yaml      Could not be checked; 1 fault of synclint" in written(failed, made.SOUND).splitlines()


def test_a_rig_without_rates_or_trees_has_no_empty_headings() -> None:
    text = written(Report("x.setup.yaml", "setup", overview=Overview("Bare")))
    assert [line for line in text.splitlines() if line.isupper()] == ["LOOKED AT"]


# --- several files ---------------------------------------------------------------------------------------------


def test_several_files_end_in_a_line_each() -> None:
    text = written(made.SMALL, made.SOUND, made.UNREADABLE, skipped=2)
    assert section(text, "ALL FILES") == [
        "  tideline.setup.yaml  Do not shoot like this: 1 error, 2 warnings and 1 note; 1 accepted; 2 not judged",
        "  quiet.setup.yaml     You can shoot like this: nothing found",
        "  gone.setup.yaml      Could not be checked: 1 error",
    ]
    assert text.endswith("\n2 files in the folders left out, for want of a suffix that says what kind it is.\n")


def test_a_file_in_which_nothing_is_found_takes_one_line_among_several() -> None:
    assert [line for line in written(made.SOUND, made.SMALL).splitlines() if "quiet" in line] == [
        "  quiet.setup.yaml     You can shoot like this: nothing found"
    ]
    assert "RATES" in written(made.SOUND)


def test_a_long_name_has_a_line_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    name = "setups/" * 8 + "day4.setup.yaml"
    text = on_screen(monkeypatch, 80, replace(made.SOUND, file=name), made.SOUND)
    assert section(text, "ALL FILES") == [
        f"  {name}",
        " " * 28 + "You can shoot like this: nothing found",
        f"  {'quiet.setup.yaml':<24}  You can shoot like this: nothing found",
    ]


# --- safety ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [80, 160])
def test_nothing_hidden_reaches_the_terminal(monkeypatch: pytest.MonkeyPatch, width: int) -> None:
    text = on_screen(monkeypatch, width, made.hostile(), made.SMALL, color="always")
    plain = ESCAPE.sub("", text).replace("\n", "")
    assert {unicodedata.category(character) for character in plain} & {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"} == set()
    assert "[in]" in plain
    assert "[/out]" in plain
    assert r"\x1b[31m" in plain
    assert len(plain) < 40_000


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "latin-1", "utf-8"])
def test_every_encoding_can_be_written(encoding: str) -> None:
    stream = io.TextIOWrapper(io.BytesIO(), encoding=encoding, errors="strict", newline="")
    terminal.write([made.SMALL, made.hostile()], stream, show=Level.NOTE, color="never", skipped=0)
    stream.flush()
    text = stream.buffer.getvalue().decode(encoding)
    assert ("├" in text) == (encoding == "utf-8")
    assert ("cam_c > timecode > rate" in text) == (encoding != "utf-8")


def test_wide_characters_keep_the_columns() -> None:
    rows = (RateRow(("カメラ",), "24", "24", "-"), RateRow(("abcdef",), "25", "25", "-"))
    lines = section(written(replace(made.SOUND, overview=replace(made.OVERVIEW, rates=rows))), "RATES")
    assert lines[1:] == ["  カメラ   24         24        -", "  abcdef   25         25        -"]


# --- colour ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("color", "screen", "environment", "colored"),
    [
        ("auto", True, {}, True),
        ("auto", False, {}, False),
        ("auto", True, {"NO_COLOR": "1"}, False),
        ("auto", True, {"NO_COLOR": ""}, True),
        ("auto", True, {"TERM": "dumb"}, False),
        ("auto", False, {"FORCE_COLOR": "1"}, False),
        ("always", False, {}, True),
        ("always", False, {"NO_COLOR": "1"}, True),
        ("never", True, {"FORCE_COLOR": "1"}, False),
    ],
)
def test_when_there_is_colour(
    monkeypatch: pytest.MonkeyPatch, color: str, screen: bool, environment: dict[str, str], colored: bool
) -> None:
    for name in ("NO_COLOR", "FORCE_COLOR", "CLICOLOR_FORCE", "TTY_COMPATIBLE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm")
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    text = written(made.SMALL, stream=made.Screen() if screen else io.StringIO(), color=color)
    assert ("\x1b[" in text) == colored


def test_colour_carries_no_meaning_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    colored = on_screen(monkeypatch, 80, made.SMALL, color="always")
    assert ESCAPE.sub("", colored) == on_screen(monkeypatch, 80, made.SMALL, color="never")


def test_only_one_module_imports_rich() -> None:
    package = Path(terminal.__file__).parents[1]
    importers = {
        path.relative_to(package).as_posix()
        for path in package.rglob("*.py")
        if re.search(r"^\s*(?:from|import) rich\b", path.read_text(encoding="utf-8"), re.MULTILINE)
    }
    assert importers == {"report/page.py"}


def test_the_same_reports_give_the_same_text() -> None:
    reports: Sequence[Report] = [made.SMALL, made.hostile()]
    assert written(*reports) == written(*reports)
    assert os.linesep == "\n" or "\r" not in written(*reports)

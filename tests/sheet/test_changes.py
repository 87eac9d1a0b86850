"""Which findings came, went and stayed between two versions of a setup."""

from pathlib import Path

from synclint.checker import Choice, Examined, examine
from synclint.rig.compare import Version
from synclint.sheet.changes import since
from synclint.sheet.values import Since

SAMPLES = Path(__file__).parents[2] / "sample_setups"


def version(examined: Examined) -> Version:
    assert examined.case is not None
    assert examined.root is not None
    return Version(examined.case.setup, examined.root)


def between(old: Path, new: Path) -> Since:
    before, after = (examine(str(path), Choice(drift=True)) for path in (old, new))
    return since(version(before), before.report, version(after), after.report)


def test_what_a_jam_after_each_battery_solves() -> None:
    found = between(SAMPLES / "broken/tideline_battery.setup.yaml", SAMPLES / "tideline_battery.setup.yaml")
    assert [change.says for change in found.changes] == [
        "new at 09:56: jam of [cam_b]",
        "new at 12:38: jam of all",
        "new at 15:26: jam of [cam_b]",
    ]
    assert found.new == ()
    assert sorted(each.rule for each in found.solved) == ["jam-holds-too-short", *["time-lost-with-power"] * 3]


def test_the_other_way_round_they_are_new() -> None:
    found = between(SAMPLES / "tideline_battery.setup.yaml", SAMPLES / "broken/tideline_battery.setup.yaml")
    assert len(found.new) == 4
    assert found.solved == ()


def test_a_file_beside_itself_has_no_change() -> None:
    path = SAMPLES / "broken/tideline_battery.setup.yaml"
    found = between(path, path)
    assert (found.changes, found.new, found.solved, found.still) == ((), (), (), 4)


def test_findings_are_known_again_when_events_are_moved_down(tmp_path: Path) -> None:
    """One more event before them: their places in the list and the file are others, and they are the same."""
    old = SAMPLES / "broken/tideline_battery.setup.yaml"
    text = old.read_text(encoding="utf-8").replace("kits: [../kits/", f"kits: [{SAMPLES}/kits/")
    one, other = tmp_path / "a.setup.yaml", tmp_path / "b.setup.yaml"
    one.write_text(text, encoding="utf-8")
    line = "      - {at: 07:30, do: jam, of: all}"
    other.write_text(
        text.replace(line, f"      - {{at: 07:25, do: compare, of: [slate], against: bag, read_by: display}}\n{line}"),
        encoding="utf-8",
    )
    found = between(one, other)
    assert (found.new, found.solved, found.still) == ((), (), 4)
    assert found.digest == examine(str(one)).report.digest != examine(str(other)).report.digest

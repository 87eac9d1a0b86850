"""The samples that come with the program: sound ones stay quiet, broken ones give what stands beside their lines."""

import re
from collections import Counter
from pathlib import Path

import pytest

from synclint.checker import Choice, check_file
from synclint.cli.main import main
from synclint.findings import Level
from synclint.records import RECORDS
from synclint.result import Report

SAMPLES = Path(__file__).parents[2] / "sample_setups"
BROKEN = sorted((SAMPLES / "broken").glob("*.setup.yaml"))
SOUND = sorted(SAMPLES.glob("*.setup.yaml"))
LOGS = sorted(SAMPLES.glob("*.log.yaml"))
DAYS = sorted((SAMPLES / "days").glob("*.setup.yaml"))
"""Days for `drift`; what it says of them stands in a test of its own."""
KITS = sorted((SAMPLES / "kits").glob("*.kit.yaml"))
README = (SAMPLES / "README.md").read_text(encoding="utf-8")

EXPECTED = re.compile(r"\S  # expect: ((?:error|warning|note) [a-z0-9-]+(?:; (?:error|warning|note) [a-z0-9-]+)*)")
"""What is expected stands at the very end of a line that holds something."""


def named(path: Path) -> str:
    return str(path.relative_to(SAMPLES))


def expected(path: Path) -> Counter[tuple[str, str, int]]:
    """Level, rule and line of every finding that a file announces."""
    found: Counter[tuple[str, str, int]] = Counter()
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if "expect:" not in line:
            continue
        match = EXPECTED.search(line)
        assert match is not None, f"{named(path)}:{number} announces findings in another form"
        assert match.end() == len(line), f"{named(path)}:{number} goes on after what is expected"
        for announced in match[1].split("; "):
            level, rule = announced.split(" ")
            assert rule in RECORDS, f"{named(path)}:{number} expects {rule}, and there is no such rule"
            found[level, rule, number] += 1
    return found


def judged(report: Report) -> Counter[tuple[str, str, int]]:
    """Level, rule and line of every finding of a report."""
    return Counter((finding.level.value, finding.rule, finding.at.span.line) for finding in report.findings)


def test_every_file_is_visited() -> None:
    visited = {*SOUND, *BROKEN, *KITS, *LOGS, *DAYS, SAMPLES / "README.md"}
    assert {path for path in SAMPLES.rglob("*") if path.is_file()} == visited


def test_every_file_is_told_of_in_the_readme_and_no_other() -> None:
    told = set(re.findall(r"`([a-z0-9_/]+\.(?:setup|kit|log)\.yaml)`", README))
    assert told == {named(path) for path in (*SOUND, *BROKEN, *KITS, *LOGS, *DAYS)}


@pytest.mark.parametrize("path", [*SOUND, *KITS], ids=named)
def test_a_sound_sample_has_nothing_above_a_note(path: Path) -> None:
    report = check_file(str(path))
    assert not report.crashes
    assert not report.rules_held_back
    assert [finding.sentence for finding in report.findings if finding.level is not Level.NOTE] == []


@pytest.mark.parametrize("path", [*SOUND, *KITS], ids=named)
def test_the_program_passes_a_sound_sample(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--color", "never", str(path)]) == 0, capsys.readouterr().out


@pytest.mark.parametrize("log", LOGS, ids=named)
def test_a_sound_setup_passes_with_its_log_and_what_was_compared_is_used(log: Path) -> None:
    setup = log.with_name(log.name.replace(".log.", ".setup."))
    report = check_file(str(setup), Choice(log=str(log)))
    assert not report.crashes
    assert not report.rules_held_back
    assert [finding.sentence for finding in report.findings if finding.level is not Level.NOTE] == []
    assert report.log == str(log)


TWINS = [path for path in SOUND if SAMPLES / "broken" / path.name in BROKEN]
"""The sound ones that are a broken one put right, under the same name."""


@pytest.mark.parametrize("path", TWINS, ids=named)
def test_a_twin_differs_from_its_broken_one_in_what_happens_alone(path: Path) -> None:
    sound, broken = (
        [line.partition("  # expect:")[0] for line in each.read_text(encoding="utf-8").splitlines()]
        for each in (path, SAMPLES / "broken" / path.name)
    )
    mine, theirs = set(sound) - set(broken), set(broken) - set(sound)
    for line in (*mine, *theirs):
        assert line.startswith(("# Tideline", "kits:", "      - {at: ")), line
    assert len(mine) <= 5


@pytest.mark.parametrize("path", [path for path in SOUND if path not in TWINS], ids=named)
def test_every_sound_setup_is_broken_in_several_ways(path: Path) -> None:
    name = path.name.removesuffix(".setup.yaml")
    longer = tuple(f"{other.name.removesuffix('.setup.yaml')}_" for other in SOUND if other.name.startswith(f"{name}_"))
    own = [each for each in BROKEN if each.name.startswith(f"{name}_")]
    assert len([each for each in own if not (longer and each.name.startswith(longer))]) >= 5


@pytest.mark.parametrize("path", BROKEN, ids=named)
def test_a_broken_sample_gives_what_stands_beside_its_lines(path: Path) -> None:
    report = check_file(str(path))
    assert not report.crashes
    assert not report.could_not_check
    assert expected(path)
    assert judged(report) == expected(path)
    assert {finding.at.span.file for finding in report.findings} == {str(path)}


@pytest.mark.parametrize("path", BROKEN, ids=named)
def test_the_program_stops_a_broken_sample(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--color", "never", str(path)]) == 1
    printed = capsys.readouterr()
    assert not printed.err
    for _, rule, number in expected(path):
        assert rule in printed.out
        assert f"{path.name}:{number}:" in printed.out


@pytest.mark.parametrize("path", BROKEN, ids=named)
def test_every_finding_of_a_rule_says_what_it_costs_and_what_to_do(path: Path) -> None:
    for finding in check_file(str(path)).findings:
        if finding.record.answers:  # one of a rule; what is wrong with a file has no cost
            assert finding.cost_sentence, finding.sentence
            assert finding.fix_sentence, finding.sentence
        assert not set("⟪⟫|").intersection(finding.sentence + finding.cost_sentence + finding.fix_sentence)


@pytest.mark.parametrize("path", [*SOUND, *BROKEN], ids=named)
def test_a_setup_opens_with_what_it_is(path: Path) -> None:
    first = path.read_text(encoding="utf-8").splitlines()[0]
    assert first.startswith("# ")
    assert "expect:" not in first


def test_the_whole_folder_at_once_is_stopped(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--color", "never", str(SAMPLES)]) == 1
    printed = capsys.readouterr().out
    assert all(path.name in printed for path in (*SOUND, *BROKEN, *KITS))

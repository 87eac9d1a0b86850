"""Every failure of the trade is found, with its number, and what looks alike and is right stays quiet.

See `pairs` for how a failure is written down. One whose rule is not built yet is expected to fail, and must.
"""

import shutil
from collections import Counter
from pathlib import Path

import pytest

from synclint.checker import Choice, check_file
from synclint.documents.edits import apply_edits
from synclint.documents.reading import read_text
from synclint.findings import Edit, Finding, Level
from synclint.result import Report
from synclint.rules.catalogue import RULES
from synclint.rules.framework import Rule
from tests.failures.pairs import MOST_LINES, Announced, Pair, pairs
from tests.failures.table import DOCUMENT, written

PAIRS = pairs()
NAMES = {rule.name for rule in RULES}
BUILT = [pair for pair in PAIRS if pair.broken.is_file() and pair.rule in NAMES]
WAITING = [pair for pair in PAIRS if pair not in BUILT]

NO_FAILURE: dict[str, str] = {
    "events-contradict": "the day as written cannot be; a slip of the pen and no failure of a rig",
    "done-before-the-call": "what is written before the call is done all the same; a habit of sheets and no failure",
    "comparison-off-the-line": "reads the log of a day that is over, and no plan",
    "clock-outside-its-accuracy": "reads the log of a day that is over, and no plan",
}
"""Rules that answer no failure of the trade, and why they are there all the same."""

MOST_ROUNDS = 10
"""How often edits are applied, each time those of one finding, until nothing is left to mend."""


def named(pair: Pair) -> str:
    return pair.name


def checked(setup: Path) -> Report:
    """The report on a setup, with the log beside it where there is one."""
    log = setup.with_name(setup.name.replace(".setup.", ".log."))
    report = check_file(str(setup), Choice(log=str(log) if log.is_file() else None))
    assert not report.crashes, report.crashes[0].trace
    assert not report.could_not_check
    assert not report.rules_held_back, [finding.sentence for finding in report.findings]
    return report


def judged(findings: list[Finding]) -> Counter[Announced]:
    return Counter((Path(each.at.span.file).name, each.at.span.line, each.level.value, each.rule) for each in findings)


def grave(report: Report) -> list[Finding]:
    return [finding for finding in report.findings if finding.level is not Level.NOTE]


def lines_of_checklist(pair: Pair, report: Report) -> list[str]:
    return [line.sentence for line in report.checklist if line.record.name == pair.rule]


def assert_found(pair: Pair) -> None:
    """The broken setup gives what it announces, and the failure its number or its line of the checklist."""
    report = checked(pair.broken)
    notes = [each for each in report.findings if each.level is Level.NOTE and each.rule in {pair.rule, *_notes(pair)}]
    assert judged([*grave(report), *notes]) == pair.announced, [each.sentence for each in report.findings]
    if pair.is_checklist:
        assert lines_of_checklist(pair, report)
        return
    amounts = [
        (amount.name, amount.unit, amount.value)
        for finding in report.findings
        if finding.rule == pair.rule and finding.costs
        for amount in finding.costs.amounts
    ]
    for number in pair.numbers:
        told = [value for name, unit, value in amounts if (name, unit) == (number.name, number.unit)]
        assert any(map(number.is_told_by, told)), f"{number} is not among {amounts}"


def _notes(pair: Pair) -> set[str]:
    return {rule for _, _, level, rule in pair.announced if level == Level.NOTE.value}


def assert_told_apart(pair: Pair) -> None:
    """The near miss gets neither an error nor a warning; where a note finds the failure, none of that rule either."""
    report = checked(pair.near_miss)
    assert [f"{each.rule}: {each.sentence}" for each in grave(report)] == []
    if (Level.NOTE.value, pair.rule) in {(level, rule) for _, _, level, rule in pair.announced}:
        assert [each.sentence for each in report.findings if each.rule == pair.rule] == []
    if pair.is_checklist:
        assert lines_of_checklist(pair, report) == []
    else:
        assert [each.lacks for each in report.unjudged if each.record.name == pair.rule] == [], (
            "quiet for want of facts"
        )


def assert_mended(pair: Pair, folder: Path) -> None:
    """The edits that the findings carry make the broken setup quiet; without edits it says what is done on set."""
    shutil.copytree(pair.folder, folder, dirs_exist_ok=True)
    copy = Pair(folder)
    report = checked(copy.broken)
    mine = [finding for finding in report.findings if finding.rule == pair.rule]
    assert pair.said("deed") or all(finding.fix and finding.fix.edits for finding in mine), "no edit and no deed"
    for _ in range(MOST_ROUNDS):
        edits = next((each.fix.edits for each in to_mend(pair, report) if each.fix and each.fix.edits), None)
        if edits is None:
            break
        write(edits)
        report = checked(copy.broken)
    left = to_mend(pair, report)
    if pair.said("deed"):
        assert not any(finding.fix and finding.fix.edits for finding in left)
        assert {finding.rule for finding in left} <= {rule for _, _, _, rule in pair.announced}
    else:
        assert [finding.sentence for finding in left] == []


def to_mend(pair: Pair, report: Report) -> list[Finding]:
    return [each for each in report.findings if each.rule == pair.rule or each.level is not Level.NOTE]


def write(edits: tuple[Edit, ...]) -> None:
    """Apply edits to the files that their places are in."""
    for file in dict.fromkeys(edit.place.span.file for edit in edits):
        text = apply_edits(read_text(file), file, [edit for edit in edits if edit.place.span.file == file])
        Path(file).write_text(text, encoding="utf-8", newline="")


# --- the pairs -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("pair", PAIRS, ids=named)
def test_a_pair_is_written_as_agreed(pair: Pair) -> None:
    assert list(pair.faults()) == []


@pytest.mark.parametrize("pair", PAIRS, ids=named)
def test_a_near_miss_differs_by_three_lines_at_most(pair: Pair) -> None:
    assert 0 < pair.apart <= MOST_LINES


@pytest.mark.parametrize("pair", BUILT, ids=named)
def test_a_broken_setup_gives_what_it_announces_with_its_number(pair: Pair) -> None:
    assert_found(pair)


@pytest.mark.parametrize("pair", BUILT, ids=named)
def test_a_near_miss_stays_quiet(pair: Pair) -> None:
    assert_told_apart(pair)


@pytest.mark.parametrize("pair", [pair for pair in BUILT if not pair.is_checklist], ids=named)
def test_the_edits_of_a_finding_mend_it(pair: Pair, tmp_path: Path) -> None:
    assert_mended(pair, tmp_path)


@pytest.mark.parametrize(
    "pair",
    [
        pytest.param(pair, marks=pytest.mark.xfail(strict=True, reason=f"the rule `{pair.rule}` is not built yet"))
        for pair in WAITING
    ],
    ids=named,
)
def test_a_pair_whose_rule_is_not_built_yet(pair: Pair, tmp_path: Path) -> None:
    assert_found(pair)
    assert_told_apart(pair)
    if not pair.is_checklist:
        assert_mended(pair, tmp_path)


# --- the catalogue ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_a_rule_answers_a_failure_that_is_written_down(rule: Rule) -> None:
    answering = {pair.rule for pair in PAIRS}
    assert (rule.name in answering) is not (rule.name in NO_FAILURE)


def test_the_list_of_rules_without_a_failure_is_short_and_true() -> None:
    assert set(NO_FAILURE) <= NAMES
    assert len(NO_FAILURE) <= 5


def test_the_table_of_failures_is_that_of_this_folder() -> None:
    document = DOCUMENT.read_text(encoding="utf-8")
    assert document == written(document, PAIRS), "run `python tests/failures/table.py`"

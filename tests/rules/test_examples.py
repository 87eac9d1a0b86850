"""Every rule has its record, a broken example with its finding and nothing else, and a sound one that gives none."""

from pathlib import Path

import pytest

import synclint.rules
from synclint.checker import Choice, check_file
from synclint.findings import Confirmed, Level
from synclint.records import RECORDS
from synclint.result import Report
from synclint.rules.catalogue import GROUPS, RULES
from synclint.rules.framework import Rule

EXAMPLES = Path(synclint.rules.__file__).with_name("examples")


def checked(rule: Rule, which: str) -> Report:
    """The report on an example, with the log beside it where there is one."""
    log = EXAMPLES / rule.name / f"{which}.log.yaml"
    return check_file(str(log.with_name(f"{which}.setup.yaml")), Choice(log=str(log) if log.exists() else None))


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_the_broken_example_gives_its_finding_and_no_other_error_or_warning(rule: Rule) -> None:
    report = checked(rule, "broken")
    assert not report.crashes
    assert not report.could_not_check
    assert not report.rules_held_back
    assert rule.name in {finding.rule for finding in report.findings}
    assert {finding.rule for finding in report.findings if finding.level is not Level.NOTE} <= {rule.name}


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_the_sound_example_gives_no_finding(rule: Rule) -> None:
    report = checked(rule, "sound")
    assert not report.crashes
    assert not report.rules_held_back
    assert [finding.sentence for finding in report.findings] == []


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_every_finding_says_what_it_costs_and_what_to_do(rule: Rule) -> None:
    report = checked(rule, "broken")
    for finding in report.findings:
        assert finding.sentence
        assert finding.cost_sentence, finding.sentence
        assert finding.fix_sentence, finding.sentence
        assert "⟪" not in finding.sentence + finding.cost_sentence + finding.fix_sentence


def test_every_record_is_complete() -> None:
    for record in RECORDS.values():
        assert record.summary
        assert record.why
        assert record.sources, record.name
        assert not record.summary.endswith(".")
        assert all(
            source.confirmed is not Confirmed.PRACTICE or "no source" in source.text for source in record.sources
        ), record.name
    for rule in RULES:
        assert rule.record.answers, rule.name


def test_names_are_plain_words_and_unique() -> None:
    names = [rule.name for rule in RULES]
    assert len(set(names)) == len(names)
    assert all(name.replace("-", "").isalnum() and name == name.lower() for name in names)


def test_no_example_lacks_its_rule() -> None:
    assert {folder.name for folder in EXAMPLES.iterdir() if folder.is_dir()} == {rule.name for rule in RULES}
    assert sum(map(len, GROUPS.values())) == len(RULES)

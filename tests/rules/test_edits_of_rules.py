"""The edits that a finding carries: they can be made, and they make it go away."""

import shutil
from pathlib import Path

import pytest

import synclint.rules
from synclint.checker import Choice, check_file
from synclint.documents.edits import apply_edits
from synclint.documents.reading import read_text
from synclint.findings import Finding
from synclint.rules.catalogue import RULES
from synclint.rules.framework import Rule

EXAMPLES = Path(synclint.rules.__file__).with_name("examples")


DEED = "a deed on set, for which somebody has to choose the time or the piece"
LEAD = "another lead, socket or piece is needed, and the file cannot say which there is"
ASKED = "only post, the crew or the menus know what is meant"
TOLD = "nothing in the rig is wrong, and it is told on the sheet or to post"

WITHOUT_EDITS = {
    "events-contradict": ASKED,
    "done-before-the-call": ASKED,
    "unclear-rate": ASKED,
    "rate-name-rounded-on-the-menu": ASKED,
    "drop-frame-not-said": ASKED,
    "time-stamp-past-32-bits": ASKED,
    "nobody-reads-the-timecode-track": ASKED,
    "nobody-says-where-the-timecode-is": ASKED,
    "same-group-and-channel": ASKED,
    "half-locked-rig": LEAD,
    "nothing-arrives": LEAD,
    "cameras-in-a-chain": LEAD,
    "reader-does-not-take-this-rate": LEAD,
    "timecode-into-the-loudspeakers": LEAD,
    "show-code-as-jam-source": LEAD,
    "word-clock-from-box-to-box": LEAD,
    "unlocked-camera-in-a-locked-show": LEAD,
    "timecode-over-a-sound-radio": LEAD,
    "pictures-late-by-different-delays": LEAD,
    "converter-drops-the-timecode": LEAD,
    "converter-changes-the-rate": LEAD,
    "single-master-without-spare": DEED,
    "tied-to-nothing": DEED,
    "set-by-the-clock-apart": DEED,
    "master-goes-away": DEED,
    "rate-changed-for-some": DEED,
    "jam-holds-too-short": DEED,
    "take-drifts-apart": DEED,
    "no-link-for-too-long": DEED,
    "calibration-out-of-date": DEED,
    "sound-and-picture-apart": DEED,
    "battery-shorter-than-the-day": DEED,
    "comparison-off-the-line": DEED,
    "clock-outside-its-accuracy": DEED,
    "two-pictures-share-a-label": TOLD,
    "timecode-on-different-sides": TOLD,
}
"""The rules whose broken example is not mended by an edit, and why; with any other one it is."""


def findings(setup: Path, rule: str) -> list[Finding]:
    log = setup.with_name("broken.log.yaml")
    report = check_file(str(setup), Choice(log=str(log) if log.exists() else None))
    assert not report.crashes
    assert not report.rules_held_back
    return [finding for finding in report.findings if finding.rule == rule]


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_the_edits_of_the_broken_example_take_its_finding_away(rule: Rule, tmp_path: Path) -> None:
    shutil.copytree(EXAMPLES / rule.name, tmp_path, dirs_exist_ok=True)
    setup = tmp_path / "broken.setup.yaml"
    found = findings(setup, rule.name)
    edits = [edit for finding in found for edit in (finding.fix.edits if finding.fix else ())]
    for file in dict.fromkeys(edit.place.span.file for edit in edits):
        text = apply_edits(read_text(file), file, [edit for edit in edits if edit.place.span.file == file])
        Path(file).write_text(text, encoding="utf-8", newline="")
    assert found
    mended = all(finding.fix and finding.fix.edits for finding in found)
    assert mended is (rule.name not in WITHOUT_EDITS)
    if mended:
        assert [finding.sentence for finding in findings(setup, rule.name)] == []


def test_what_is_listed_as_without_edits_is_a_rule() -> None:
    assert set(WITHOUT_EDITS) <= {rule.name for rule in RULES}

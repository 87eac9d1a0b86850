"""From a file to its Report: what is held back, what fails, what could not be done, and that it is always the same."""

from __future__ import annotations

import io
import re
import subprocess
import sys
from collections.abc import Iterator
from datetime import date, datetime
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import synclint.rules
from synclint import checker
from synclint.checker import Choice, Kits, check_all, check_file, check_text
from synclint.documents.lines import Lines
from synclint.documents.reading import identity, load_text
from synclint.documents.records import (
    CLASHING_NAMES,
    MEASUREMENT_TOO_OLD,
    MISSING_KEY,
    UNKNOWN_NAME,
    UNREADABLE_FILE,
    WRONG_UNIT,
    WRONG_VALUE,
)
from synclint.findings import STDIN, Confirmed, Hurts, Level, Mended, Record, Source
from synclint.result import Report
from synclint.rules.framework import Case, Rule, Yielded

SAMPLES = Path(__file__).parents[1] / "sample_setups"
SETUP = "synclint: setup/1\ntitle: T\nproject: {rate: 25}\n"
KIT = "synclint: kit/1\ntitle: K\ntypes:\n  camera: {class: cinema camera, ports: {tc_in: {in: [LTC]}}}\n"


def told(report: Report) -> list[tuple[str, str]]:
    return [(finding.rule, str(finding.at)) for finding in report.findings]


# --- what is held back -----------------------------------------------------------------------------------------


def test_rules_are_held_back_when_names_do_not_resolve() -> None:
    report = check_text(SETUP + "devices:\n  cam: {like: nobody, timecode: {from: tc_in}}\n")
    assert told(report) == [(UNKNOWN_NAME.name, "devices/cam/like")]
    assert report.held_back == "names in the file lead nowhere"
    assert report.overview is None
    assert not report.unjudged
    assert not report.checklist
    assert not report.accepted
    assert not report.could_not_check


def test_rules_run_in_spite_of_other_problems() -> None:
    report = check_text(SETUP + "devices:\n  cam: {timecode: {from: tc_in}, longest_take: 45}\n")
    assert (WRONG_UNIT.name, "devices/cam/longest_take") in told(report)
    assert not report.rules_held_back
    assert report.overview is not None
    assert "nobody-makes-timecode" in {rule for rule, _ in told(report)}


def test_one_fault_of_a_file_is_told_once() -> None:
    report = check_text(SETUP + "devices:\n  cam_1..cam_8: {longest_take: 45}\n")
    assert told(report) == [(WRONG_UNIT.name, "devices/cam_1..cam_8/longest_take")]


# --- what fails ------------------------------------------------------------------------------------------------

RECORD = Record(
    "a-fault", "A fault", Level.ERROR, Hurts.POST, Mended.SET, "Because.", (Source("x", Confirmed.ARITHMETIC),)
)


def failing(case: Case) -> Iterator[Yielded]:
    """A rule that finds one thing and then fails."""
    yield RECORD.finding(at=case.setup.place, says="first")
    raise ZeroDivisionError("one by nought")


def working(case: Case) -> Iterator[Yielded]:
    """A rule that finds one thing."""
    yield RECORD.finding(at=case.setup.project.place, says="second")


def test_a_rule_that_fails_is_told_and_the_others_go_on(monkeypatch: pytest.MonkeyPatch) -> None:
    other = Record("b-fault", "B", Level.ERROR, Hurts.POST, Mended.SET, "Because.", RECORD.sources)
    monkeypatch.setattr(checker, "RULES", (Rule(other, failing), Rule(RECORD, working)))
    report = check_text(SETUP + "devices: {}\n")
    (crash,) = report.crashes
    assert (crash.rule, crash.error) == ("b-fault", "ZeroDivisionError: one by nought")
    assert "in failing" in crash.trace
    assert [finding.sentence for finding in report.findings] == ["first", "second"]
    assert report.overview is not None
    assert not report.could_not_check


def test_a_fault_outside_a_rule_leaves_the_other_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    good, bad = tmp_path / "good.setup.yaml", tmp_path / "bad.setup.yaml"
    for path in (good, bad):
        path.write_text(SETUP + "devices: {}\n", encoding="utf-8")
    whole = checker.check_file

    def failing_on_bad(path: str, choice: Choice, kits: Kits) -> Report:
        if path == str(bad):
            raise LookupError("no such thing")
        return whole(path, choice, kits)

    monkeypatch.setattr(checker, "check_file", failing_on_bad)
    reports = list(check_all([str(good), str(bad), str(good)]))
    assert [report.could_not_check for report in reports] == [False, True, False]
    (crash,) = reports[1].crashes
    assert (reports[1].file, crash.rule, crash.error) == (str(bad), "", "LookupError: no such thing")
    assert "failing_on_bad" in crash.trace


def test_only_and_without() -> None:
    every = Choice().rules()
    one, two = every[0].name, every[1].name
    assert [rule.name for rule in Choice(only=frozenset({one})).rules()] == [one]
    assert [rule.name for rule in Choice(without=frozenset({one})).rules()] == [rule.name for rule in every[1:]]
    assert Choice(only=frozenset({one, two}), without=frozenset({two})).rules() == (every[0],)


# --- what could not be done ------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["a: [1\n", "", "a: 1\n  b: 2\n", "\t\n: :", "&a [*a]"])
def test_what_is_not_yaml_could_not_be_checked(text: str) -> None:
    report = check_text(text)
    assert report.kind == ""
    assert report.findings
    assert report.could_not_check is any(finding.record is UNREADABLE_FILE for finding in report.findings)


def test_a_file_that_is_missing_could_not_be_checked(tmp_path: Path) -> None:
    report = check_file(str(tmp_path / "none.setup.yaml"))
    assert report.could_not_check
    assert [finding.record for finding in report.findings] == [UNREADABLE_FILE]
    assert report.file == str(tmp_path / "none.setup.yaml")


@pytest.mark.parametrize(("text", "record"), [("title: T\n", MISSING_KEY), ("synclint: kit/7\n", WRONG_VALUE)])
def test_yaml_that_is_no_document_of_ours_is_a_finding(text: str, record: Record) -> None:
    report = check_text(text)
    assert [finding.record for finding in report.findings] == [record]
    assert not report.could_not_check


@pytest.mark.parametrize("kind", ["log", "house"])
def test_a_log_and_a_house_are_not_checked_by_themselves(kind: str) -> None:
    report = check_text(f"synclint: {kind}/1\n")
    assert report.kind == kind
    assert [finding.sentence for finding in report.findings] == [
        f"a {kind} is not checked by itself; setups and kits are"
    ]


# --- kits ------------------------------------------------------------------------------------------------------


def with_kit(folder: Path, kits: str, devices: str = "cam: {type: camera}", **files: str) -> Report:
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    setup = folder / "rig.setup.yaml"
    setup.write_text(f"{SETUP}kits: {kits}\ndevices: {{{devices}}}\n", encoding="utf-8")
    return check_file(str(setup))


def test_a_kit_is_found_beside_the_setup(tmp_path: Path) -> None:
    report = with_kit(tmp_path, "[kit.yaml]", kit=KIT)
    assert report.findings == ()
    assert report.overview is not None


@pytest.mark.parametrize(
    ("name", "record", "words"),
    [
        ("none.yaml", UNKNOWN_NAME, "there is no such file"),
        (".", UNKNOWN_NAME, "this is a folder"),
        (
            "broken.kit.yaml",
            UNKNOWN_NAME,
            "the kit broken.kit.yaml cannot be read: the `[` opened on line 1 is not closed",
        ),
        ("empty.kit.yaml", UNKNOWN_NAME, "the kit empty.kit.yaml cannot be read: the file is empty"),
        ("newer.yaml", WRONG_VALUE, "newer.yaml is no kit: kit/7: this file is newer"),
        ("another.yaml", WRONG_VALUE, "is a setup, and a kit is wanted here"),
        ('"' + "x" * 5000 + '"', UNKNOWN_NAME, "x… cannot be read: file name too long"),
        ('"-"', UNKNOWN_NAME, "there is no such file"),  # never standard input
    ],
)
def test_a_kit_that_cannot_be_had_is_told_once_where_it_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, record: Record, words: str
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("good.yaml").write_text(KIT, encoding="utf-8")
    for other, text in {
        "broken.kit": "a: [1\n",
        "empty.kit": "",
        "another": SETUP,
        "newer": "synclint: kit/7\n",
    }.items():
        Path(f"{other}.yaml").write_text(text, encoding="utf-8")
    Path("rig.setup.yaml").write_text(f"{SETUP}kits:\n  - good.yaml\n  - {name}\ndevices: {{cam: {{type: other}}}}\n")
    report = check_file("rig.setup.yaml")
    (finding,) = report.findings
    assert (finding.record, str(finding.at)) == (record, "kits/1")
    assert (finding.at.span.line, finding.at.span.column) == (6, 5)
    assert words in finding.sentence
    assert len(finding.sentence) < 400
    assert report.held_back == "a kit could not be read"
    assert not report.could_not_check


def test_a_broken_kit_keeps_the_place_of_its_mistake(tmp_path: Path) -> None:
    report = with_kit(tmp_path, "[kit.yaml]", kit="synclint: kit/1\ntypes: {a: [1\n")
    (finding,) = report.findings
    (mention,) = finding.also
    assert (mention.place.span.file, mention.place.span.line) == (str(tmp_path / "kit.yaml"), 2)
    assert mention.says == "here"
    missing = with_kit(tmp_path, "[none.yaml]").findings[0]
    assert missing.also == ()  # there is no place in a file that is not there


@pytest.mark.parametrize(
    "text", ["root:x:0:0\n", "root: [secret\n", "password: secret\n", "synclint: secret\n", "- secret\n"]
)
def test_what_is_meant_as_no_kit_is_told_where_it_is_named_and_not_quoted(tmp_path: Path, text: str) -> None:
    report = with_kit(tmp_path, "[other.yaml]", other=text)
    (finding,) = report.findings
    assert (finding.record, str(finding.at)) == (WRONG_VALUE, "kits/0")
    assert finding.at.span.file == str(tmp_path / "rig.setup.yaml")
    assert finding.sentence == "other.yaml is no kit; the first line of one is `synclint: kit/1`"
    assert [mention.place.span.file for mention in finding.also] == [str(tmp_path / "other.yaml")]
    assert not any(word in f"{finding.sentence} {finding.fix_sentence}" for word in ("secret", "root", "password"))


@pytest.mark.parametrize("entry", ["~", "3", "{a: b}", "[kit.yaml]"])
def test_an_entry_that_names_no_file_is_told_once(tmp_path: Path, entry: str) -> None:
    report = with_kit(tmp_path, f"[{entry}]", kit=KIT)
    assert len(report.findings) == 1
    assert report.findings[0].at.path[:2] == ("kits", 0)
    assert report.held_back == "a kit could not be read"


def test_kits_that_are_no_list_are_told_once(tmp_path: Path) -> None:
    report = with_kit(tmp_path, "kit.yaml", kit=KIT)
    assert told(report) == [(WRONG_VALUE.name, "kits")]
    assert report.held_back == "a kit could not be read"


def test_all_reasons_why_rules_are_held_back_are_told(tmp_path: Path) -> None:
    report = with_kit(tmp_path, "[none.yaml]", "cam: {like: nobody}")
    assert report.held_back == "a kit could not be read and names in the file lead nowhere"


def test_the_kits_that_a_setup_names_are_known(tmp_path: Path) -> None:
    report = with_kit(tmp_path, "[kit.yaml, none.yaml]", kit=KIT)
    assert report.kits == (str(tmp_path / "kit.yaml"), str(tmp_path / "none.yaml"))


def test_what_is_wrong_in_a_kit_is_told_in_the_kit(tmp_path: Path) -> None:
    report = with_kit(tmp_path, "[kit.yaml]", kit=KIT + "  box: {clas: phone}\n")
    (finding,) = report.findings
    assert finding.at.span.file == str(tmp_path / "kit.yaml")
    assert str(finding.at) == "types/box/clas"


def test_a_kit_that_is_named_twice(tmp_path: Path) -> None:
    report = with_kit(tmp_path, "[kit.yaml, ./kit.yaml]", kit=KIT)
    assert told(report) == [(CLASHING_NAMES.name, "kits/1")]


def test_kits_that_several_setups_share_are_read_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with_kit(tmp_path, "[kit.yaml]", kit=KIT)
    read: list[str] = []

    def reading(name: str | Path) -> str:
        path = Path(name)
        read.append(str(path))
        return path.read_text(encoding="utf-8")

    monkeypatch.setattr(checker, "read_text", reading)
    setup = str(tmp_path / "rig.setup.yaml")
    reports = list(check_all([setup, setup]))
    assert [len(report.findings) for report in reports] == [0, 0]
    assert read.count(str(tmp_path / "kit.yaml")) == 1


def test_a_kit_by_itself() -> None:
    report = check_text(KIT + "  box: {based_on: camra}\nitems:\n  - {serial: 1, type: bxo}\n", "a.kit.yaml")
    assert report.kind == "kit"
    assert told(report) == [(UNKNOWN_NAME.name, "types/box/based_on"), (UNKNOWN_NAME.name, "items/0/type")]
    assert report.overview is None
    assert check_text(KIT, "a.kit.yaml").findings == ()


MEASURED = """\
synclint: kit/1
title: K
types:
  box: {class: compensated generator, clock: {accuracy: 1 ppm}}
items:
  - {serial: 1, type: box, measured: 2025-02-28}
  - {serial: 2, type: box, measured: 2024-02-29}
  - {serial: 3, type: box}
"""


@pytest.mark.parametrize(
    ("today", "says"),
    [
        ("2025-02-28", []),
        ("2025-03-01", ["2 was last measured"]),
        ("2026-02-28", ["2 was last measured"]),
        ("2026-03-01", ["1 and 2 were last measured"]),
        ("1999-01-01", []),
    ],
)
def test_a_kit_is_judged_on_the_day_that_is_given(today: str, says: list[str]) -> None:
    report = check_text(MEASURED, "a.kit.yaml", Choice(today=date.fromisoformat(today)))
    assert [finding.sentence.partition(" more ")[0] for finding in report.findings] == says
    assert {finding.record for finding in report.findings} <= {MEASUREMENT_TOO_OLD}
    assert not [key for key, _ in report.unread_keys if "measured" in key]


def test_a_kit_is_judged_against_the_clock() -> None:
    this_year = MEASURED.replace("2025-0", f"{datetime.now().astimezone().year}-0").replace("2024-02-29", "2000-01-01")
    (finding,) = check_text(this_year, "a.kit.yaml").findings
    assert finding.sentence.startswith("2 was last measured more than 12 months before")


def test_odd_dates_in_a_kit_are_left_to_the_schema() -> None:
    text = "synclint: kit/1\nitems: [1, {serial: 2, measured: never}, {serial: 3, measured: 9999-12-31}, {serial: 4}]\n"
    assert MEASUREMENT_TOO_OLD not in {finding.record for finding in check_text(text, "a.kit.yaml").findings}


# --- standard input --------------------------------------------------------------------------------------------


def test_standard_input(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "kit.yaml").write_text(KIT, encoding="utf-8")
    text = f"{SETUP}kits: [kit.yaml]\ndevices: {{cam: {{type: camra}}}}\n"
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
    report = check_file("-")
    assert told(report) == [(UNKNOWN_NAME.name, "devices/cam/type")]
    assert report.findings[0].at.span.file == STDIN


def test_a_text_with_a_name(tmp_path: Path) -> None:
    (tmp_path / "kit.yaml").write_text(KIT, encoding="utf-8")
    name = str(tmp_path / "rig.setup.yaml")
    report = check_text(f"{SETUP}kits: [kit.yaml]\ndevices: {{cam: {{type: camera}}}}\n", name)
    assert (report.file, report.findings) == (name, ())


# --- the same each time ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.setup.yaml")), ids=lambda path: path.name)
def test_the_same_file_gives_the_same_report(sample: Path) -> None:
    assert check_file(str(sample)) == check_file(str(sample))


def test_the_same_report_whatever_way_names_are_hashed(tmp_path: Path) -> None:
    keys = [f"d{n}" for n in range(9)]
    devices = "".join(
        f"  {key}: {{timecode: {{from: in, mode: continuous, rate: 2{n % 5}}}}}\n" for n, key in enumerate(keys)
    )
    links = "".join(
        f"  - {{from: {one}.out, to: {other}.in, carries: LTC}}\n" for one in keys for other in keys if one != other
    )
    setup = tmp_path / "knot.setup.yaml"
    setup.write_text(f"{SETUP}devices:\n{devices}links:\n{links}", encoding="utf-8")
    program = "import sys; from synclint.checker import check_file; print(check_file(sys.argv[1]))"
    said = {
        subprocess.run(
            [sys.executable, "-c", program, str(setup)],
            env={"PYTHONHASHSEED": str(seed), "PYTHONPATH": ":".join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in range(4)
    }
    assert len(said) == 1


# --- large and hostile rigs ------------------------------------------------------------------------------------

BOX = "  b{n}: {{timecode: {{from: jack, mode: {mode}, rate: 25}}}}\n"
LEAD = "  - {{from: b{one}.jack, to: b{other}.jack, carries: LTC, connected: all day}}\n"


def boxes(size: int, pairs: Iterator[tuple[int, int]], mode: str, first: str = "") -> str:
    devices = first + "".join(BOX.format(n=n, mode=mode) for n in range(1 if first else 0, size))
    return f"{SETUP}devices:\n{devices}links:\n" + "".join(LEAD.format(one=one, other=other) for one, other in pairs)


def test_a_chain_of_thousands() -> None:
    first = "  b0: {able: {clock: {accuracy: 1 ppm}}, timecode: {from: own clock, rate: 25}}\n"
    report = check_text(boxes(2000, pairwise(range(2000)), "jam", first))
    assert report.crashes == ()
    assert report.overview is not None


@pytest.mark.parametrize(("mode", "rule"), [("continuous", "timecode-loop"), ("jam", "master-follows-its-follower")])
def test_a_circle_of_two_thousand(mode: str, rule: str) -> None:
    report = check_text(boxes(2000, iter((n, (n + 1) % 2000) for n in range(2000)), mode))
    assert report.crashes == ()
    assert rule in {finding.rule for finding in report.findings}


def test_sixty_that_all_feed_each_other() -> None:
    every = ((one, other) for one in range(60) for other in range(60) if one != other)
    report = check_text(boxes(60, every, "continuous"))
    assert report.crashes == ()
    assert [finding.rule for finding in report.findings].count("timecode-loop") == 1


# --- mangled samples -------------------------------------------------------------------------------------------

EXAMPLES = Path(synclint.rules.__file__).with_name("examples")
TEXTS = {
    str(path): path.read_text(encoding="utf-8")
    for folder in (SAMPLES, EXAMPLES)
    for path in sorted(folder.rglob("*.setup.yaml"))
}
KITS = {str(path): path.read_text(encoding="utf-8") for path in sorted(SAMPLES.rglob("*.kit.yaml"))}
WORD = re.compile(r"(\w+|[^\w\s]|\s+)")
VALUE = re.compile(r"(?<=: )([^,{}\[\]\n]+)")
VALUES = sorted({value.strip() for text in TEXTS.values() for value in VALUE.findall(text)})
ODD = [
    *("", " ", "\n", "\t", "{", "}", "[", "]", ":", ": ", "- ", "&a ", "*a", "!!x ", "#", "'", '"', "|", "..", "~"),
    *(
        "null",
        "true",
        "-1",
        "0",
        "1e99",
        "99999999999999999999",
        ".inf",
        ".nan",
        "0/0",
        "1/0",
        "29.97",
        "25 +1",
        "25:61",
    ),
    *("own clock", "cam_1..cam_3", "cam_3..cam_1", "{}", "[]", "{a: {b: [c]}}", "2026-02-30", "⟪who⟫"),
    *("\0", "\ufeff", "é", "\U0001f3ac"),
]


@st.composite
def mangled(draw: st.DrawFn, *, kit: bool = False) -> tuple[str, str]:
    """A sample with some of its lines, characters and values dropped, doubled or replaced."""
    texts = KITS if kit else TEXTS
    name = draw(st.sampled_from(sorted(texts)))
    text = texts[name]
    for _ in range(draw(st.integers(1, 4))):
        by = draw(st.sampled_from(["line", "word", "value", "value"]))
        parts = text.splitlines(keepends=True) if by == "line" else (WORD if by == "word" else VALUE).split(text)
        if not parts:
            break
        at = draw(st.integers(0, len(parts) - 1))
        if by == "value" and len(parts) > 1:
            at = at // 2 * 2 + 1 if at < len(parts) - 1 else 1  # what was split at stands between what was not
        how = draw(st.sampled_from(["drop", "double", "value", "value", "odd", "swap", "cut"]))
        match how:
            case "drop":
                parts[at : at + draw(st.integers(1, 3))] = []
            case "double":
                parts.insert(at, parts[at])
            case "value":
                parts[at] = draw(st.sampled_from(VALUES))
            case "odd":
                parts[at] = draw(st.sampled_from(ODD))
            case "swap":
                other = draw(st.integers(0, len(parts) - 1))
                parts[at], parts[other] = parts[other], parts[at]
            case _:
                parts[at] = parts[at][: draw(st.integers(0, len(parts[at])))]
        text = "".join(parts)
    return name, text


def check_spans(report: Report, texts: dict[str, str]) -> None:
    """Every place of a report lies inside the text that it points to."""
    places = [finding.at for finding in report.findings]
    places += [mention.place for finding in report.findings for mention in finding.also]
    places += [edit.place for finding in report.findings if finding.fix for edit in finding.fix.edits]
    places += [waived.finding.at for waived in report.accepted]
    places += [each.at for each in report.unjudged]
    for place in places:
        span = place.span
        name = span.file if span.file in texts else str(Path(span.file).resolve())  # broken/../kits is kits
        text = Lines(texts[name], name) if name in texts else None
        assert text is not None, span
        assert (span.line, span.column) <= (span.end_line, span.end_column), span
        for line, column in ((span.line, span.column), (span.end_line, span.end_column)):
            assert 1 <= line <= len(text), span
            assert 1 <= column <= len(text.line(line)) + 1, span


@settings(max_examples=60)
@given(mangled())
def test_a_mangled_sample_always_gives_a_report(sample: tuple[str, str]) -> None:
    name, text = sample
    report = check_text(text, name)
    assert report.crashes == ()
    check_spans(report, {**KITS, name: text})
    for finding in report.findings:
        assert finding.sentence
        assert finding.cost_sentence is not None
        assert finding.fix_sentence is not None


@settings(max_examples=25)
@given(mangled(kit=True))
def test_a_setup_with_a_mangled_kit_always_gives_a_report(sample: tuple[str, str]) -> None:
    kit, text = sample
    setup = str(SAMPLES / "tideline.setup.yaml")
    kits = Kits()
    kits.loaded[identity(Path(kit))] = load_text(text, kit)
    report = check_file(setup, kits=kits)
    assert report.crashes == ()
    check_spans(report, {kit: text, setup: TEXTS[setup]})


@given(st.text(max_size=200))
def test_any_text_gives_a_report(text: str) -> None:
    report = check_text(text)
    assert report.findings
    assert report.crashes == ()

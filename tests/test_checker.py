"""From a file to its Report: what is held back, what fails, what could not be done, and that it is always the same."""

from __future__ import annotations

import io
import random
import re
import subprocess
import sys
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import synclint.rules
from synclint import checker
from synclint.checker import Choice, Kits, check_all, check_file, check_text, ordered
from synclint.documents.lines import Lines
from synclint.documents.reading import load_text
from synclint.documents.records import (
    CLASHING_NAMES,
    MISSING_KEY,
    UNKNOWN_NAME,
    UNREADABLE_FILE,
    WRONG_UNIT,
    WRONG_VALUE,
)
from synclint.findings import Confirmed, Finding, Hurts, Level, Mended, Place, Record, Source, Span
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
    assert report.rules_held_back
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
        ("broken.yaml", UNKNOWN_NAME, "cannot be read"),
        ("empty.yaml", UNKNOWN_NAME, "empty"),
        ("another.yaml", WRONG_VALUE, "is a setup, and a kit is wanted here"),
        ('"' + "x" * 5000 + '"', UNKNOWN_NAME, "cannot be read"),
        ('"-"', UNKNOWN_NAME, "there is no such file"),  # never standard input
    ],
)
def test_a_kit_that_cannot_be_had_is_told_once_where_it_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, record: Record, words: str
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("good.yaml").write_text(KIT, encoding="utf-8")
    for other, text in {"broken": "a: [1\n", "empty": "", "another": SETUP}.items():
        Path(f"{other}.yaml").write_text(text, encoding="utf-8")
    Path("rig.setup.yaml").write_text(f"{SETUP}kits:\n  - good.yaml\n  - {name}\ndevices: {{cam: {{type: other}}}}\n")
    report = check_file("rig.setup.yaml")
    (finding,) = report.findings
    assert (finding.record, str(finding.at)) == (record, "kits/1")
    assert (finding.at.span.line, finding.at.span.column) == (6, 5)
    assert words in finding.sentence
    assert len(finding.sentence) < 400
    assert report.rules_held_back
    assert not report.could_not_check


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


# --- standard input --------------------------------------------------------------------------------------------


def test_standard_input(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "kit.yaml").write_text(KIT, encoding="utf-8")
    text = f"{SETUP}kits: [kit.yaml]\ndevices: {{cam: {{type: camra}}}}\n"
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
    report = check_file("-")
    assert told(report) == [(UNKNOWN_NAME.name, "devices/cam/type")]
    assert report.findings[0].at.span.file == "<stdin>"


def test_a_text_with_a_name(tmp_path: Path) -> None:
    (tmp_path / "kit.yaml").write_text(KIT, encoding="utf-8")
    name = str(tmp_path / "rig.setup.yaml")
    report = check_text(f"{SETUP}kits: [kit.yaml]\ndevices: {{cam: {{type: camera}}}}\n", name)
    assert (report.file, report.findings) == (name, ())


# --- order, and the same each time -----------------------------------------------------------------------------


def test_findings_come_in_the_order_of_the_work() -> None:
    def finding(hurts: Hurts, level: Level, mended: Mended, line: int) -> Finding:
        record = Record("x", "X", level, hurts, mended, "y", RECORD.sources)
        return record.finding(at=Place((), Span("f", line, 1, line, 2)), says="z")

    wanted = [
        finding(Hurts.DAY, Level.ERROR, Mended.RENTAL, 9),
        finding(Hurts.DAY, Level.ERROR, Mended.SET, 1),
        finding(Hurts.DAY, Level.NOTE, Mended.RENTAL, 1),
        finding(Hurts.POST, Level.ERROR, Mended.RENTAL, 1),
        finding(Hurts.POST, Level.WARNING, Mended.RENTAL, 2),
        finding(Hurts.POST, Level.WARNING, Mended.RENTAL, 10),
        finding(Hurts.HABIT, Level.ERROR, Mended.RENTAL, 1),
    ]
    assert ordered(random.Random(1).sample(wanted, len(wanted))) == wanted


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
        text = Lines(texts[span.file], span.file) if span.file in texts else None
        assert text is not None, span
        assert (span.line, span.column) <= (span.end_line, span.end_column), span
        for line, column in ((span.line, span.column), (span.end_line, span.end_column)):
            assert 1 <= line <= len(text), span
            assert 1 <= column <= len(text.line(line)) + 1, span


@settings(max_examples=300)
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


@settings(max_examples=100)
@given(mangled(kit=True))
def test_a_setup_with_a_mangled_kit_always_gives_a_report(sample: tuple[str, str]) -> None:
    kit, text = sample
    setup = str(SAMPLES / "tideline.setup.yaml")
    kits = Kits()
    kits.loaded[checker.identity(Path(kit))] = load_text(text, kit)
    report = check_file(setup, kits=kits)
    assert report.crashes == ()
    check_spans(report, {kit: text, setup: TEXTS[setup]})


@given(st.text(max_size=200))
def test_any_text_gives_a_report(text: str) -> None:
    report = check_text(text)
    assert report.findings
    assert report.crashes == ()

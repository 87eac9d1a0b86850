"""Checks a file: loads it, builds the Case, runs the rules, and makes the Report; prints nothing and exits never."""

from __future__ import annotations

import re
import traceback
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from hashlib import sha256
from pathlib import Path

from synclint.documents.collector import collector_paused
from synclint.documents.nodes import Document, MappingNode, Scalar, SequenceNode, at
from synclint.documents.reading import CannotReadError, Loaded, identity, load_document, load_text, read_text
from synclint.documents.records import CLASHING_NAMES, UNKNOWN_NAME, UNREADABLE_FILE, WRONG_VALUE
from synclint.documents.schema import validate
from synclint.documents.unjudged import unjudged_patterns
from synclint.drift.table import drift_of
from synclint.drift.values import Drift
from synclint.findings import STDIN, CheckLine, Finding, Fix, Mention, Place, Unjudged, shortened
from synclint.merging import in_order, merged
from synclint.overview import look_over
from synclint.policy import accept
from synclint.records import RECORDS
from synclint.result import Crash, Report, Waived
from synclint.rig.build import build, check_kit
from synclint.rig.log import Log, read_log
from synclint.rig.measured import old_calibrations, old_measurements
from synclint.rig.model import Setup
from synclint.rules.calibration import calibration_out_of_date
from synclint.rules.catalogue import RULES
from synclint.rules.framework import Case, Rule

CHECKED_KINDS = ("setup", "kit")
_CALIBRATION = calibration_out_of_date.record


@dataclass(frozen=True, slots=True)
class Choice:
    """Which rules run (all where `only` is empty)."""

    only: frozenset[str] = frozenset()
    without: frozenset[str] = frozenset()
    today: date | None = None
    """The day that kits by themselves, and setups without a dated day, are judged on; the clock's where None."""

    log: str | None = None
    """The path of a log of the day, for the one setup that is checked."""
    drift: bool = False
    """Whether the report is to tell of drift, too; that is work which findings do not need."""

    @property
    def day(self) -> date:
        """The day on which what has no day of its own is judged."""
        return self.today or datetime.now().astimezone().date()

    def rules(self) -> tuple[Rule, ...]:
        """The chosen rules."""
        return tuple(
            rule for rule in RULES if rule.name not in self.without and (not self.only or rule.name in self.only)
        )


@dataclass
class Kits:
    """The kits that several setups share, each loaded once."""

    loaded: dict[object, Loaded] = field(default_factory=dict)

    def load(self, path: Path) -> Loaded:
        """A kit and its problems."""
        key = identity(path)
        if key not in self.loaded:
            loaded = _loaded(path)
            wrong = validate(loaded.document) if loaded.document and loaded.document.kind.startswith("kit/") else []
            self.loaded[key] = replace(loaded, problems=(*loaded.problems, *wrong))
        return self.loaded[key]


def _loaded(path: str | Path) -> Loaded:
    """The document in a file, `-` being standard input and no path; why there is none stands in its problems."""
    try:
        return load_document(path) if path == STDIN else load_text(read_text(path), str(path))
    except CannotReadError as error:
        return Loaded(None, (error.finding,))


def check_file(path: str, choice: Choice = Choice(), kits: Kits | None = None) -> Report:
    """The report on one file (`-` is standard input)."""
    with collector_paused():
        return _check(_loaded(path), path, choice, kits or Kits())


@dataclass(frozen=True, slots=True)
class Examined:
    """A file with its report, and with the case that the rules were run over, where they could be run."""

    report: Report
    case: Case | None
    root: MappingNode | None = None
    """The mapping at the root of the file."""


def examine(path: str, choice: Choice = Choice(), kits: Kits | None = None) -> Examined:
    """The report on one setup and what it was made from, for who draws up more than a report."""
    cases: list[Case] = []
    with collector_paused():
        loaded = _loaded(path)
        report = _check(loaded, path, choice, kits or Kits(), cases)
    root = loaded.document.root if loaded.document is not None else None
    return Examined(report, cases[0] if cases and not report.rules_held_back else None, root)


def check_text(text: str, name: str = "text.setup.yaml", choice: Choice = Choice()) -> Report:
    """The report on a document given as text; kits are looked for beside `name`."""
    with collector_paused():
        return _check(load_text(text, name), name, choice, Kits())


def check_all(paths: Iterable[str], choice: Choice = Choice()) -> Iterator[Report]:
    """The reports on files, in the order given; kits that they share are read once, and no file hinders another."""
    kits = Kits()
    for path in paths:
        try:
            report = check_file(path, choice, kits)
        except Exception as error:  # noqa: BLE001 - a fault outside a rule is told too, with exit status 2
            report = Report(path, "", crashes=(_crash("", error),), could_not_check=True)
        yield report


def _check(loaded: Loaded, path: str, choice: Choice, kits: Kits, cases: list[Case] | None = None) -> Report:
    """The report on a document of any kind; the case of a setup is put into `cases`."""
    document = loaded.document
    if document is None:
        unreadable = any(problem.record is UNREADABLE_FILE for problem in loaded.problems)
        return Report(path, "", findings=loaded.problems, could_not_check=unreadable)
    kind = document.kind.partition("/")[0]
    if kind not in CHECKED_KINDS:
        says = f"a {kind} is not checked by itself; {' and '.join(f'{each}s' for each in CHECKED_KINDS)} are"
        fix = Fix(f"Check the setup with it: --log {shortened(path)}") if kind == "log" else None
        return Report(path, kind, findings=(WRONG_VALUE.finding(at=at(document.root, ()), says=says, fix=fix),))
    problems = [*loaded.problems, *validate(document)]
    if kind == "kit":
        problems = _once(problems, check_kit(document))
        old = (*old_measurements(document, choice.day), *old_calibrations(document, choice.day, _CALIBRATION))
        problems += merged(old)
        return Report(path, kind, findings=tuple(in_order(problems)), unread_keys=_unread(document))
    case, report = _check_setup(document, problems, path, choice, kits)
    if cases is not None:
        cases.append(case)
    return replace(report, digest=_digest(loaded.text, report, kits))


def _digest(text: str, report: Report, kits: Kits) -> str:
    """Sixteen hexadecimal digits of the texts that a setup is made of."""
    texts = [text, *(kits.load(Path(kit)).text for kit in report.kits)]
    texts += [_loaded(report.log).text] if report.log else []
    return sha256("\0".join(texts).encode("utf-8", "surrogatepass")).hexdigest()[:16]


def _check_setup(
    document: Document, problems: list[Finding], path: str, choice: Choice, kits: Kits
) -> tuple[Case, Report]:
    """The case and report of a setup: problems of its files, then what the rules find in the rig."""
    shelf = _kits_of(document, path, kits)
    built = build(document, shelf.read, kits_complete=shelf.complete)
    problems = _once([*problems, *shelf.problems], built.problems)
    logged = _log_of(choice.log, built.setup) if choice.log is not None else _Logged()
    problems += logged.problems
    rules = choice.rules()
    case = Case(built.setup, logged.log)
    obstacles = ["" if shelf.complete else "a kit could not be read"]
    obstacles += ["" if built.names_resolve else "names in the file lead nowhere", logged.obstacle]
    held_back = " and ".join(filter(None, obstacles))
    sound = not held_back
    found = run_rules(case, rules) if sound else Ran()
    findings = found.findings
    waived: list[Waived] = []
    if sound:
        judged = {rule.name for rule in rules} - found.undecided
        findings, waived = accept(findings, built.setup, RECORDS, _last_day(built.setup), judged, choice.day)
    return case, Report(
        file=path,
        kind="setup",
        findings=tuple(in_order([*problems, *merged(findings)])),
        accepted=tuple(waived),
        unjudged=tuple(found.unjudged),
        checklist=tuple(found.checklist),
        crashes=tuple(found.crashes),
        unread_keys=_unread(document),
        overview=look_over(case.setup, case.timecode, case.clock, len(rules), case.run) if sound else None,
        drift=_drift(case) if sound and choice.drift else None,
        could_not_check=logged.missing,
        held_back=held_back,
        kits=tuple(shelf.paths),
        log=choice.log or "",
    )


@dataclass
class _Logged:
    """A log of the day, if one is given and can be read against its setup."""

    log: Log | None = None
    problems: list[Finding] = field(default_factory=list)
    obstacle: str = ""
    """Why the rules cannot be run with it."""
    missing: bool = False
    """Whether there is no text to be had."""


def _log_of(path: str, setup: Setup) -> _Logged:
    """The log in a file, read against its setup."""
    loaded = _loaded(path)
    document = loaded.document
    if document is None:
        missing = any(problem.record is UNREADABLE_FILE for problem in loaded.problems)
        return _Logged(None, [*loaded.problems], "the log could not be read", missing)
    if not document.kind.startswith("log/"):
        says = f"this is a {document.kind.partition('/')[0]}, and a log is wanted; one begins with `synclint: log/1`"
        return _Logged(None, [WRONG_VALUE.finding(at=at(document.root, ()), says=says)], "there is no log to read")
    built = read_log(document, setup)
    problems = _once([*loaded.problems, *validate(document)], built.problems)
    obstacle = "" if built.names_resolve else "names in the log lead nowhere"
    return _Logged(built.log, problems, obstacle)


def _drift(case: Case) -> Drift:
    """What is to be told of the drift of a case."""
    return drift_of(case.forecast, case.timecode, case.clock, case.log, case.measured)


@dataclass
class _Shelf:
    """The kits that a setup names: their paths, those that could be read, what is wrong, and whether all are there."""

    paths: list[str] = field(default_factory=list)
    read: list[Document] = field(default_factory=list)
    problems: list[Finding] = field(default_factory=list)
    complete: bool = True


def _kits_of(document: Document, path: str, kits: Kits) -> _Shelf:
    """The kits that a setup names."""
    named = document.root.get("kits")
    shelf = _Shelf(complete=named is None or isinstance(named, SequenceNode))
    seen: set[object] = set()
    for index, node in enumerate(named.items if isinstance(named, SequenceNode) else ()):
        if not isinstance(node, Scalar) or not isinstance(node.value, str):
            shelf.complete = False  # the schema has told what is wrong with it
            continue
        where = at(node, ("kits", index))
        kit = Path(node.text) if path == STDIN else Path(path).parent / node.text
        shelf.paths.append(str(kit))
        if identity(kit) in seen:
            says = f"the kit {shortened(node.text)} is named twice"
            shelf.problems.append(CLASHING_NAMES.finding(at=where, says=says))
            continue
        seen.add(identity(kit))
        loaded = kits.load(kit)
        if loaded.document is None:
            shelf.problems += _about_no_kit(loaded, node.text, where)
            shelf.complete = False
        elif not loaded.document.kind.startswith("kit/"):
            says = f"{shortened(node.text)} is a {loaded.document.kind.partition('/')[0]}, and a kit is wanted here"
            shelf.problems.append(WRONG_VALUE.finding(at=where, says=says))
            shelf.complete = False
        else:
            shelf.read.append(loaded.document)
            shelf.problems += loaded.problems
    return shelf


_MEANT_AS_KIT = re.compile(r"^\s*synclint\s*:\s*kit\b", re.MULTILINE)


def _about_no_kit(loaded: Loaded, name: str, where: Place) -> Iterator[Finding]:
    """Why there is no kit to be had from a file, told where the setup names it.

    Nothing of its text is told where nothing says that it is meant as a kit: it may be any file of this computer.
    """
    of_a_kit = bool(_MEANT_AS_KIT.search(loaded.text)) or name.endswith((".kit.yaml", ".kit.yml"))
    for problem in loaded.problems:
        also = (Mention(problem.at, "here"),) if problem.at.span.line else ()
        if problem.record is UNREADABLE_FILE and (of_a_kit or not loaded.text):
            says = f"the kit {shortened(name)} cannot be read: {problem.says}"
            yield UNKNOWN_NAME.finding(at=where, says=says, fix=problem.fix, also=also)
        elif of_a_kit:
            says = f"{shortened(name)} is no kit: {problem.says}"
            yield problem.record.finding(at=where, says=says, fix=problem.fix, also=also)
        else:
            says = f"{shortened(name)} is no kit; the first line of one is `synclint: kit/1`"
            yield WRONG_VALUE.finding(at=where, says=says, also=also, fix=Fix("Name a kit, or take the line out"))
            return


def _unread(document: Document) -> tuple[tuple[str, int], ...]:
    """The keys of a document that no rule judges yet, with how often each is written."""
    return tuple((pattern, times) for _, pattern, times in unjudged_patterns(document))


def _last_day(setup: Setup) -> date | None:
    """The last day of a setup, on which dates in it are judged."""
    return max((day.date.value for day in setup.days if day.date.value is not None), default=None)


@dataclass
class Ran:
    """What came of running rules."""

    findings: list[Finding] = field(default_factory=list)
    unjudged: list[Unjudged] = field(default_factory=list)
    checklist: list[CheckLine] = field(default_factory=list)
    crashes: list[Crash] = field(default_factory=list)

    @property
    def undecided(self) -> set[str]:
        """The rules that failed, or lacked a fact somewhere: what they do not tell may yet be so."""
        return {crash.rule for crash in self.crashes} | {each.record.name for each in self.unjudged}


def run_rules(case: Case, rules: Iterable[Rule]) -> Ran:
    """Run rules over a case; one that fails is told and the others go on."""
    ran = Ran()
    for rule in rules:
        try:
            for item in rule(case):
                if isinstance(item, Finding):
                    ran.findings.append(item.capped())
                elif isinstance(item, Unjudged):
                    ran.unjudged.append(item)
                else:
                    ran.checklist.append(item)
        except Exception as error:  # noqa: BLE001 - whatever a rule does wrong is told, with exit status 2
            ran.crashes.append(_crash(rule.name, error))
    return ran


def _crash(rule: str, error: Exception) -> Crash:
    """A fault of the program, with what a person who mends it needs to see."""
    return Crash(rule, f"{type(error).__name__}: {error}", "".join(traceback.format_exception(error)))


def _once(told: list[Finding], more: Iterable[Finding]) -> list[Finding]:
    """Problems of a file: what one has told of a place is not told of it again by the next that reads it."""
    spans = {problem.at.span for problem in told}
    return [*told, *(problem for problem in more if problem.at.span not in spans)]

"""Checks a file: loads it, builds the Case, runs the rules, and makes the Report; prints nothing and exits never."""

from __future__ import annotations

import gc
import traceback
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from synclint.documents.nodes import Document, Scalar, SequenceNode, at
from synclint.documents.reading import CannotReadError, Loaded, load_document, load_text, read_text
from synclint.documents.records import CLASHING_NAMES, UNKNOWN_NAME, UNREADABLE_FILE, WRONG_VALUE
from synclint.documents.schema import validate
from synclint.documents.unjudged import unjudged_patterns
from synclint.findings import CheckLine, Crash, Finding, Hurts, Mended, Place, Unjudged, merged
from synclint.overview import look_over
from synclint.policy import accept
from synclint.records import RECORDS
from synclint.result import Report, Waived
from synclint.rig.build import build, check_kit
from synclint.rig.model import Setup
from synclint.rules.catalogue import RULES
from synclint.rules.framework import Case, Rule

STDIN = "-"
CHECKED_KINDS = ("setup", "kit")


@dataclass(frozen=True, slots=True)
class Choice:
    """Which rules run (all where `only` is empty)."""

    only: frozenset[str] = frozenset()
    without: frozenset[str] = frozenset()
    today: date | None = None
    """The day that kits by themselves are judged on; a setup is judged on its last day."""

    def rules(self) -> tuple[Rule, ...]:
        """The chosen rules."""
        return tuple(
            rule for rule in RULES if rule.name not in self.without and (not self.only or rule.name in self.only)
        )


def identity(path: Path) -> Path:
    """What tells whether two paths lead to one file; for one that leads nowhere, the path itself."""
    try:
        return path.resolve()
    except (OSError, RuntimeError, ValueError):
        return path  # reading it will say what is wrong with it


@dataclass
class Kits:
    """The kits that several setups share, each loaded once."""

    loaded: dict[Path, Loaded] = field(default_factory=dict)

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
    with _without_collecting():
        return _check(_loaded(path), path, choice, kits or Kits())


def check_text(text: str, name: str = "text.setup.yaml", choice: Choice = Choice()) -> Report:
    """The report on a document given as text; kits are looked for beside `name`."""
    with _without_collecting():
        return _check(load_text(text, name), name, choice, Kits())


def check_all(paths: Iterable[str], choice: Choice = Choice()) -> Iterator[Report]:
    """The reports on files, in the order given; kits that they share are read once."""
    kits = Kits()
    for path in paths:
        yield check_file(path, choice, kits)


@contextmanager
def _without_collecting() -> Iterator[None]:
    """No search for garbage meanwhile: a check builds much and drops little, and searching costs it a fifth more."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _check(loaded: Loaded, path: str, choice: Choice, kits: Kits) -> Report:
    """The report on a document of any kind."""
    document = loaded.document
    if document is None:
        unreadable = any(problem.record is UNREADABLE_FILE for problem in loaded.problems)
        return Report(path, "", findings=loaded.problems, could_not_check=unreadable)
    kind = document.kind.partition("/")[0]
    if kind not in CHECKED_KINDS:
        says = f"a {kind} is not checked by itself; {' and '.join(f'{each}s' for each in CHECKED_KINDS)} are"
        return Report(path, kind, findings=(WRONG_VALUE.finding(at=at(document.root, ()), says=says),))
    problems = [*loaded.problems, *validate(document)]
    if kind == "kit":
        problems = _once(problems, check_kit(document))
        return Report(path, kind, findings=tuple(ordered(problems)), unread_keys=_unread(document))
    return _check_setup(document, problems, path, choice, kits)


def _check_setup(document: Document, problems: list[Finding], path: str, choice: Choice, kits: Kits) -> Report:
    """The report on a setup: problems of its files, then what the rules find in the rig."""
    read, kit_problems, all_kits = _kits_of(document, path, kits)
    built = build(document, read, kits_complete=all_kits)
    problems = _once([*problems, *kit_problems], built.problems)
    rules = choice.rules()
    case = Case(built.setup)
    sound = built.names_resolve and all_kits
    found = run_rules(case, rules) if sound else Ran()
    findings = found.findings
    waived: list[Waived] = []
    if sound:
        judged = {rule.name for rule in rules} - found.undecided
        findings, waived = accept(findings, built.setup, RECORDS, _last_day(built.setup), judged)
    return Report(
        file=path,
        kind="setup",
        findings=tuple(ordered([*problems, *merged(findings)])),
        accepted=tuple(waived),
        unjudged=tuple(found.unjudged),
        checklist=tuple(found.checklist),
        crashes=tuple(found.crashes),
        unread_keys=_unread(document),
        overview=look_over(case.setup, case.timecode, case.clock, len(rules)) if sound else None,
        rules_held_back=not sound,
    )


def _kits_of(document: Document, path: str, kits: Kits) -> tuple[list[Document], list[Finding], bool]:
    """The kits that a setup names, their problems, and whether all could be read."""
    read: list[Document] = []
    problems: list[Finding] = []
    complete = True
    seen: set[Path] = set()
    named = document.root.get("kits")
    for index, node in enumerate(named.items if isinstance(named, SequenceNode) else ()):
        if not isinstance(node, Scalar):
            continue
        where = at(node, ("kits", index))
        kit = Path(node.text) if path == STDIN else Path(path).parent / node.text
        if identity(kit) in seen:
            problems.append(CLASHING_NAMES.finding(at=where, says=f"the kit {node.text[:60]} is named twice"))
            continue
        seen.add(identity(kit))
        loaded = kits.load(kit)
        if loaded.document is None:
            problems += (_about_kit(problem, node.text, where) for problem in loaded.problems)
            complete = False
        elif not loaded.document.kind.startswith("kit/"):
            says = f"{node.text[:60]} is a {loaded.document.kind.partition('/')[0]}, and a kit is wanted here"
            problems.append(WRONG_VALUE.finding(at=where, says=says))
            complete = False
        else:
            read.append(loaded.document)
            problems += loaded.problems
    return read, problems, complete


def _about_kit(problem: Finding, name: str, where: Place) -> Finding:
    """A problem of a kit that cannot be read, told where the setup names it."""
    if problem.record is not UNREADABLE_FILE:
        return problem
    return UNKNOWN_NAME.finding(at=where, says=f"the kit {name[:60]} cannot be read: {problem.says}", fix=problem.fix)


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
            ran.crashes.append(Crash(rule.name, f"{type(error).__name__}: {error}", traceback.format_exc()))
    return ran


def ordered(findings: Iterable[Finding]) -> list[Finding]:
    """Findings in the order of the work: whom they hurt, how badly, where they are mended, where they stand."""
    hurts, mended = list(Hurts), list(Mended)
    return sorted(
        findings,
        key=lambda finding: (
            hurts.index(finding.record.hurts),
            finding.level.rank,
            mended.index(finding.record.mended),
            finding.at.order,
        ),
    )


def _once(told: list[Finding], more: Iterable[Finding]) -> list[Finding]:
    """Problems of a file: what one has told of a place is not told of it again by the next that reads it."""
    spans = {problem.at.span for problem in told}
    return [*told, *(problem for problem in more if problem.at.span not in spans)]

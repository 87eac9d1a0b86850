"""What a setup makes of its findings: accepted ones are set aside with their reasons, and nothing is lost."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from datetime import date
from itertools import compress

from synclint.documents.nearest import nearest
from synclint.documents.records import (
    ALL,
    EXPIRED_ACCEPTANCE,
    MISSING_KEY,
    NEEDLESS_ACCEPTANCE,
    UNKNOWN_NAME,
    WRONG_VALUE,
)
from synclint.findings import Finding, Fix, Record, Remove, SetValue, shortened
from synclint.merging import merged
from synclint.result import Waived
from synclint.rig.model import Acceptance, Setup


def accept(
    findings: Iterable[Finding],
    setup: Setup,
    records: Mapping[str, Record],
    last_day: date | None,
    judged: Container[str],
    today: date,
) -> tuple[list[Finding], list[Waived]]:
    """Set the accepted findings aside.

    It is given the findings before like ones merge, so that naming one device takes that one out and leaves the
    others; a fault that several devices make together, such as a loop, is answered by naming any of them.

    An acceptance is judged against the last day of the setup, or today where no day of it has a date; it needs a
    reason, and one that answers nothing is told as needless where its rule has `judged` the rig. Returns what is left,
    with what is wrong with the acceptances, and what is set aside, like ones merged.
    """
    on = last_day or today
    left = list(findings)
    waived: list[Waived] = []
    for acceptance in setup.accepted:
        problem = _problem(acceptance, records)
        if problem is not None:
            left.append(problem)
        if problem is not None or acceptance.rule.value is None or acceptance.why.value is None:
            continue  # without a rule or a reason, which the schema has told, it accepts nothing
        answered = [_answers(acceptance, finding, setup) for finding in left]
        if not any(answered):
            if acceptance.rule.value in judged:
                twice = any(_answers(acceptance, each.finding, setup) for each in waived)
                left.append(_needless(acceptance, twice=twice))
        elif acceptance.until.value is not None and acceptance.until.value < on:
            which = "the last day of this setup is" if last_day else "no day of this setup has a date, and today is"
            left.append(_expired(acceptance, f"{which} {on.isoformat()}"))
        else:
            why, by, until = acceptance.why.text, acceptance.by.text, acceptance.until.text
            waived += (Waived(each, why, by, until) for each in merged(compress(left, answered)))
            left = [finding for finding, is_answered in zip(left, answered, strict=True) if not is_answered]
    return left, waived


def _answers(acceptance: Acceptance, finding: Finding, setup: Setup) -> bool:
    """Whether an acceptance is for this finding: by rule, and by device and path where it names them."""
    if finding.rule != acceptance.rule.value:
        return False
    if acceptance.at.value is not None and str(finding.at) != acceptance.at.value:
        return False
    return not acceptance.devices or any(setup.called(key) in finding.who for key in acceptance.devices)


def _problem(acceptance: Acceptance, records: Mapping[str, Record]) -> Finding | None:
    """What is wrong with the acceptance itself."""
    rule, why = acceptance.rule, acceptance.why
    if rule.value is None:
        return None
    if rule.value not in records:
        close = nearest(rule.value, records)
        hint = f" (did you mean {close}?)" if close else ""
        fix = Fix(f"Write {close}", (SetValue(rule.place, close),)) if close else None
        return UNKNOWN_NAME.finding(at=rule.place, says=f"there is no rule {shortened(rule.value)}{hint}", fix=fix)
    if records[rule.value] in ALL:
        says = f"{rule.value} is a fault of the file itself, which cannot be accepted"
        return WRONG_VALUE.finding(at=rule.place, says=says, fix=Fix("Mend the file, and take this line out"))
    if why.value is not None and not why.value.strip():
        says = f"{rule.value} is accepted without a reason"
        return MISSING_KEY.finding(at=why.place, says=says, fix=Fix("Say why it can be lived with"))
    return None


def _needless(acceptance: Acceptance, *, twice: bool) -> Finding:
    """The note on an acceptance that answers nothing, or nothing that another has not answered."""
    return NEEDLESS_ACCEPTANCE.finding(
        at=acceptance.place,
        says=f"{acceptance.rule.value} is accepted here and "
        + ("also by a line above" if twice else _where_not(acceptance)),
        fix=Fix("Take the line out", (Remove(acceptance.place),)),
    )


def _where_not(acceptance: Acceptance) -> str:
    """That a finding does not occur, and where it was looked for."""
    where = [f"of {acceptance.device.text}"] if acceptance.devices else []
    where += [f"at {acceptance.at.text}"] if acceptance.at.value is not None else []
    return " ".join(["does not occur", *where])


def _expired(acceptance: Acceptance, day: str) -> Finding:
    """The warning on an acceptance past its date."""
    until = acceptance.until
    return EXPIRED_ACCEPTANCE.finding(
        at=until.place,
        says=f"{acceptance.rule.value} was accepted until {until.text}; {day}",
        fix=Fix("Mend it, or decide anew and set a later date"),
    )

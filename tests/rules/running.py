"""Runs one rule over a setup given as text."""

from __future__ import annotations

from dataclasses import dataclass

from synclint.documents.reading import load_text
from synclint.documents.schema import validate
from synclint.findings import CheckLine, Finding, Unjudged
from synclint.merging import merged
from synclint.rig.build import build
from synclint.rules.framework import Case, Rule


@dataclass(frozen=True)
class Came:
    """What came of it."""

    findings: list[Finding]
    unjudged: list[Unjudged]
    checklist: list[CheckLine]

    @property
    def one(self) -> Finding:
        """The finding, where there must be just one and nothing else."""
        assert (len(self.findings), self.unjudged) == (1, [])
        return self.findings[0]

    @property
    def silent(self) -> bool:
        """Whether the rule says nothing at all."""
        return not (self.findings or self.unjudged or self.checklist)

    @property
    def amounts(self) -> dict[str, float]:
        """The numbers of the one finding, by what they measure."""
        costs = self.one.costs
        return {amount.name: amount.value for amount in costs.amounts} if costs else {}

    @property
    def lacks(self) -> list[str]:
        """What could not be judged, where there must be no finding."""
        assert not self.findings
        return [each.lacks for each in self.unjudged]


def came_of(rule: Rule, text: str) -> Came:
    """Run a rule over a setup that is right as a document."""
    loaded = load_text(text, "rig.setup.yaml")
    assert loaded.document is not None
    built = build(loaded.document, ())
    told = [*loaded.problems, *validate(loaded.document), *built.problems]
    assert [problem.sentence for problem in told] == []
    made = list(rule(Case(built.setup)))
    return Came(
        merged(each.capped() for each in made if isinstance(each, Finding)),
        [each for each in made if isinstance(each, Unjudged)],
        [each for each in made if isinstance(each, CheckLine)],
    )


def rig(devices: str, *, project: str = "rate: 25", day: str = "", links: str = "", units: str = "") -> str:
    """A setup of these devices; each part is YAML in flow or block form, indented by two."""
    parts = ["synclint: setup/1", "title: Rig of a test", f"project: {{{project}}}"]
    parts += [f"days: [{{date: 2026-06-14, {day}}}]"] if day else []
    parts += [f"devices:\n{devices.rstrip()}"]
    parts += [f"links:\n{links.rstrip()}"] if links else []
    parts += [f"units:\n{units.rstrip()}"] if units else []
    return "\n".join(parts) + "\n"

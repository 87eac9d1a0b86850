"""No rule is written and then forgotten: what the modules define is what the catalogue lists."""

import pkgutil
from importlib import import_module

import synclint.rules
from synclint.rules.catalogue import GROUPS, RULES
from synclint.rules.framework import Rule


def defined() -> list[Rule]:
    """Every rule that any module of the package holds, each once."""
    names = [each.name for each in pkgutil.walk_packages(synclint.rules.__path__, "synclint.rules.")]
    values = [value for name in names for value in vars(import_module(name)).values()]
    return list({id(value): value for value in values if isinstance(value, Rule)}.values())


def test_every_rule_that_is_written_is_in_the_catalogue() -> None:
    listed = {rule.name for rule in RULES}
    forgotten = [f"{rule.check.__module__}: {rule.name}" for rule in defined() if rule.name not in listed]
    assert not forgotten, "\n".join(forgotten)


def test_nothing_else_is_in_the_catalogue() -> None:
    assert {rule.name for rule in RULES} <= {rule.name for rule in defined()}


def test_every_rule_stands_there_once() -> None:
    assert len({rule.name for rule in RULES}) == len(RULES) == sum(map(len, GROUPS.values()))

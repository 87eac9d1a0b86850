"""Every rule of the program, listed by hand."""

from __future__ import annotations

from collections.abc import Mapping

from synclint.rules import (
    file_sizes,
    listening,
    loops,
    masters,
    off_speed,
    pacing,
    rate_names,
    rates,
    sample_rates,
    speed,
    stamps,
    unit_rates,
)
from synclint.rules.framework import Rule

GROUPS: Mapping[str, tuple[Rule, ...]] = {
    "masters": (*masters.RULES, *listening.RULES, *loops.RULES),
    "rates": (*rate_names.RULES, *rates.RULES, *unit_rates.RULES, *off_speed.RULES),
    "speed": (
        *sample_rates.RULES,
        *speed.RULES,
        *pacing.RULES,
        *stamps.RULES,
        *file_sizes.RULES,
    ),
}
"""The rules by group, in the order they run."""

RULES: tuple[Rule, ...] = tuple(rule for group in GROUPS.values() for rule in group)

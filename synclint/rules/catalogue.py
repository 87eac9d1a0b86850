"""Every rule of the program, listed by hand."""

from __future__ import annotations

from collections.abc import Mapping

from synclint.rules import (
    batteries,
    calibration,
    camera_chains,
    changed_settings,
    changes,
    comparing,
    contradictions,
    drift,
    file_sizes,
    fixed_delays,
    generations,
    hand_set,
    holdover,
    jamming,
    listening,
    loops,
    lost_time,
    masters,
    measured,
    off_speed,
    pacing,
    plugs,
    power,
    radio_clash,
    rate_changes,
    rate_names,
    rates,
    record_run,
    sample_rates,
    speed,
    stamps,
    take_drift,
    take_steps,
    time_lines,
    unit_rates,
    units_meet,
    watch,
)
from synclint.rules.framework import Rule

GROUPS: Mapping[str, tuple[Rule, ...]] = {
    "days": contradictions.RULES,
    "masters": (*masters.RULES, *listening.RULES, *loops.RULES),
    "jamming": (
        *jamming.RULES,
        *lost_time.RULES,
        *changed_settings.RULES,
        *hand_set.RULES,
        *record_run.RULES,
        *camera_chains.RULES,
        *comparing.RULES,
        *generations.RULES,
        *time_lines.RULES,
        *units_meet.RULES,
        *take_steps.RULES,
        *changes.RULES,
        *rate_changes.RULES,
    ),
    "rates": (*rate_names.RULES, *rates.RULES, *watch.RULES, *unit_rates.RULES, *off_speed.RULES),
    "speed": (
        *sample_rates.RULES,
        *speed.RULES,
        *pacing.RULES,
        *stamps.RULES,
        *file_sizes.RULES,
    ),
    "drift": (*drift.RULES, *take_drift.RULES, *holdover.RULES, *calibration.RULES),
    "signal": (
        *plugs.RULES,
    ),
    "recording": (
        *fixed_delays.RULES,
    ),
    "power": (*batteries.RULES, *power.RULES),
    "radio": radio_clash.RULES,
    "log": measured.RULES,
}
"""The rules by group, in the order they run."""

RULES: tuple[Rule, ...] = tuple(rule for group in GROUPS.values() for rule in group)

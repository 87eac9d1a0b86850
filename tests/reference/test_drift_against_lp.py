"""Worst cases of random days against a linear program that another library solves, and against draws of the unknowns.

The program is told the story as a setup. The equations are made of the story itself, step by step, without anything of
the program under test: every counter at every moment is a variable of the linear program, as is every unknown.
"""

from __future__ import annotations

import random
from collections.abc import Hashable
from fractions import Fraction
from typing import Any

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog
from scipy.sparse import coo_array

from synclint.day.clocktime import day_clocks
from synclint.documents.schema import validate
from synclint.rig.build import build
from synclint.rules.framework import Case
from tests.reference.courses import MICRO, Courses, Sum
from tests.reference.stories import Story, kit_of, setup_of, story
from tests.rig.building import document

DRAWS = 40
PAIRS = 8


def case_of(told: Story) -> Case:
    """The story as the program reads it."""
    setup, kit = document(setup_of(told)), document(kit_of(told), "shelf.kit.yaml")
    built = build(setup, [kit])
    assert [problem.sentence for problem in (*validate(setup), *validate(kit), *built.problems)] == []
    return Case(built.setup)


def optimum(courses: Courses, wanted: Sum) -> float:
    """The largest size of a sum of quantities over all values of the unknowns, in microseconds."""
    names = {name: index for index, name in enumerate(courses.needed(wanted))}
    if not names:
        return abs(float(wanted.get(1, 0)))
    held = [name for name in names if name in courses.equations]
    entries = [
        (row, names[each], float(factor))
        for row, name in enumerate(held)
        for each, factor in {**courses.equations[name], name: Fraction(-1)}.items()
        if each != 1
    ]
    rows, columns, factors = zip(*entries, strict=True) if entries else ((), (), ())
    matrix = coo_array((factors, (rows, columns)), shape=(len(held), len(names)))
    right = [-float(courses.equations[name].get(1, 0)) for name in held]
    bounds = [tuple(map(float, courses.bounds[name])) if name in courses.bounds else (None, None) for name in names]
    cost = np.zeros(len(names))
    for name, factor in wanted.items():
        if name != 1:
            cost[names[name]] = float(factor)
    sizes = []
    for sign in (1, -1):
        equal = {"A_eq": matrix.tocsr(), "b_eq": right} if right else {}
        solved = linprog(-sign * cost, bounds=bounds, method="highs", **equal)
        assert solved.success, solved.message
        sizes.append(sign * float(wanted.get(1, 0)) - float(solved.fun))
    return max(sizes)


def drawn(courses: Courses, wanted: Sum, chance: np.random.Generator) -> np.ndarray[Any, Any]:
    """A sum of quantities, many times over, with every unknown drawn from within its bounds, often at one of them."""
    values: dict[Hashable, np.ndarray[Any, Any]] = {1: np.ones(DRAWS)}
    for name in courses.needed(wanted):
        if name in courses.equations:
            values[name] = sum(
                (float(factor) * values[each] for each, factor in courses.equations[name].items()), np.zeros(DRAWS)
            )
        else:
            low, high = map(float, courses.bounds[name])
            values[name] = low + (high - low) * np.clip(chance.uniform(-1, 2, DRAWS), 0, 1)
    return sum((float(factor) * values[name] for name, factor in wanted.items()), np.zeros(DRAWS))


@settings(max_examples=200, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.integers(0, 2**40), st.integers(2, 8) | st.integers(2, 30), st.integers(0, 14))
def test_the_worst_case_is_the_optimum_of_the_linear_program(seed: int, size: int, events: int) -> None:
    told = story(seed, size, events)
    courses, case, chance = Courses(told), case_of(told), random.Random(seed)
    draws = np.random.default_rng(seed)
    midnight = day_clocks(case.setup)[0].instant(Fraction(0))
    for at in told.asked:
        shown = [courses.shown(number, at) for number in range(size)]
        compared = 0
        for first, second in chance.sample(
            [(i, j) for i in range(size) for j in range(i)], min(40, size * (size - 1) // 2)
        ):
            offset = case.phases.offset(f"d{first}", f"d{second}", midnight + at)
            one, other = shown[first], shown[second]
            if one is None or other is None or one[0] != other[0]:
                assert offset is None
                continue
            assert offset is not None
            compared += 1
            if compared > PAIRS:
                break
            wanted = {
                name: one[1].get(name, Fraction(0)) - other[1].get(name, Fraction(0)) for name in {**one[1], **other[1]}
            }
            worst = offset.worst * MICRO
            assert abs(float(worst) - optimum(courses, wanted)) <= 1e-9 * max(float(worst), 1.0)
            assert np.abs(drawn(courses, wanted, draws)).max() <= float(worst) * (1 + 1e-12) + 1e-6

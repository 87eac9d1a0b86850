"""Facts, sentences about one device or several, and what becomes of like findings."""

from dataclasses import replace
from itertools import permutations
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.findings import (
    WHO,
    Amount,
    CheckLine,
    Confirmed,
    Cost,
    Fact,
    Finding,
    Fix,
    Hurts,
    Level,
    Mended,
    Mention,
    Place,
    Record,
    SetValue,
    Source,
    Span,
    Standing,
    either,
    listed,
    shortened,
    told,
    unknown,
)
from synclint.merging import in_order, merged

RECORD = Record(
    "a-fault", "A fault", Level.ERROR, Hurts.POST, Mended.SET, "Because.", (Source("x", Confirmed.ARITHMETIC),)
)
OTHER = replace(RECORD, name="another-fault")


def place(line: int, *path: str | int, file: str = "rig.setup.yaml") -> Place:
    return Place(path or ("devices", f"cam_{line}"), Span(file, line, 1, line, 5))


def fault(
    line: int,
    who: str = "",
    *,
    cause: object = "alike",
    weight: float = 0.0,
    record: Record = RECORD,
    level: Level = Level.ERROR,
) -> Finding:
    at = place(line)
    return record.finding(
        at=at,
        says=f"{WHO} {either('is', 'are')} wrong",
        who=(who or f"cam_{line}",),
        cause=cause,
        level=level,
        costs=Cost(f"{weight:g} ms for {WHO}", (Amount("drift", weight, "ms"),), weight),
        fix=Fix(f"Mend {WHO}", (SetValue(at, "right"),)),
    )


# --- sentences -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("names", "said"),
    [
        ("", ""),
        ("a", "a"),
        ("ab", "a and b"),
        ("abc", "a, b and c"),
        ("abcdef", "a, b, c, d, e and f"),
        ("abcdefg", "a, b, c, d, e and 2 more"),
        ("abcdefgh", "a, b, c, d, e and 3 more"),
    ],
)
def test_names_as_a_sentence_says_them(names: str, said: str) -> None:
    assert listed(names) == said


def test_a_shorter_list_of_names() -> None:
    assert listed("abcd", 3) == "a, b and 2 more"
    assert listed(iter("abc"), 3) == "a, b and c"


@given(st.lists(st.text(st.characters(categories=["Ll"]), min_size=1), max_size=30), st.integers(2, 12))
def test_no_name_is_lost_from_a_list(names: list[str], limit: int) -> None:
    said = listed(names, limit)
    if len(names) <= limit:
        assert all(name in said for name in names)
    else:
        assert said.endswith(f" and {len(names) - limit + 1} more")
        assert said.count(",") == limit - 2


def test_the_words_agree_in_number() -> None:
    sentence = f"{WHO} {either('is', 'are')} fed; {either('it was', 'they were')} last set by hand"
    assert told(sentence, ("cam_a",)) == "cam_a is fed; it was last set by hand"
    assert told(sentence, ("cam_a", "cam_b")) == "cam_a and cam_b are fed; they were last set by hand"


def test_a_sentence_about_nobody_is_in_the_singular() -> None:
    assert told(f"there {either('is', 'are')}", ()) == "there is"


def test_an_empty_word_may_be_chosen() -> None:
    assert told(f"device{either('', 's')}", ("a", "b")) == "devices"


@given(st.text(), st.lists(st.text()).map(tuple))
def test_any_text_can_be_told(sentence: str, who: tuple[str, ...]) -> None:
    assert isinstance(told(sentence, who), str)


@given(st.text(st.characters(exclude_characters="⟪⟫")), st.text(st.characters(exclude_characters="⟪⟫"), min_size=1))
def test_a_name_is_told_as_it_stands(before: str, name: str) -> None:
    assert told(f"{before}{WHO}", (name,)) == f"{before}{name}"


def test_a_line_of_the_checklist_fills_in_its_devices() -> None:
    line = CheckLine(RECORD, Mended.MORNING, f"see {WHO}", ("cam_a", "cam_b"))
    assert line.sentence == "see cam_a and cam_b"


# --- facts -----------------------------------------------------------------------------------------------------


def test_a_stated_fact() -> None:
    fact = Fact(25, place(1), text="25")
    assert (fact.stated, fact.assumed, fact.written) == (True, False, True)


def test_an_absent_fact() -> None:
    fact: Fact[int] = unknown(place(1))
    assert fact.value is None
    assert (fact.stated, fact.assumed, fact.written) == (False, False, False)


def test_what_cannot_be_read_is_written_and_unknown() -> None:
    fact: Fact[int] = unknown(place(1), "about 25")
    assert fact.standing is Standing.UNKNOWN
    assert fact.written


def test_only_what_is_not_written_is_assumed() -> None:
    absent: Fact[int] = unknown(place(1))
    unreadable: Fact[int] = unknown(place(1), "about 25")
    stated = Fact(24, place(1), text="24")
    assumed = absent.else_assume(25, "the class")
    assert (assumed.value, assumed.assumed, assumed.why, assumed.place) == (25, True, "the class", place(1))
    assert not assumed.written
    assert unreadable.else_assume(25, "the class") is unreadable
    assert stated.else_assume(25, "the class") is stated


def test_an_assumption_is_not_assumed_over() -> None:
    first: Fact[int] = unknown(place(1))
    assumed = first.else_assume(25, "one")
    assert assumed.else_assume(30, "two") is assumed


def test_a_fact_that_is_zero_is_known() -> None:
    assert Fact(0, place(1), text="0").else_assume(5, "the class").value == 0


def test_a_fact_may_hold_a_mapping_and_stand_in_a_finding_that_merges() -> None:
    tracks = Fact({"left": "LTC"}, place(1), text="{}")
    findings = [replace(fault(line), decided_by=(tracks,), numbers_from=(tracks,)) for line in (1, 2)]
    assert merged(findings)[0].decided_by == (tracks,)


def test_a_place_is_said_by_its_path() -> None:
    assert str(place(1, "devices", "cam_b", "timecode", "rate")) == "devices/cam_b/timecode/rate"
    assert str(place(1, "links", 3)) == "links/3"


# --- what rests on an assumption -------------------------------------------------------------------------------

ASSUMED = Fact(5, place(1), Standing.ASSUMED, why="the class")
STATED = Fact(5, place(1), text="5")


@pytest.mark.parametrize(
    ("level", "decided_by", "capped"),
    [
        (Level.ERROR, (ASSUMED,), Level.WARNING),
        (Level.ERROR, (STATED, ASSUMED), Level.WARNING),
        (Level.ERROR, (STATED,), Level.ERROR),
        (Level.ERROR, (), Level.ERROR),
        (Level.WARNING, (ASSUMED,), Level.WARNING),
        (Level.NOTE, (ASSUMED,), Level.NOTE),
    ],
)
def test_what_an_assumed_fact_decides_is_at_most_a_warning(
    level: Level, decided_by: tuple[Fact[int], ...], capped: Level
) -> None:
    assert replace(fault(1, level=level), decided_by=decided_by).capped().level is capped


def test_numbers_that_rest_on_an_assumption_do_not_cap() -> None:
    finding = replace(fault(1), numbers_from=(ASSUMED,))
    assert finding.capped() is finding
    assert finding.assumptions == (ASSUMED,)


def test_each_assumption_is_listed_once_and_stated_facts_are_not() -> None:
    finding = replace(fault(1), decided_by=(ASSUMED, STATED), numbers_from=(ASSUMED,))
    assert finding.assumptions == (ASSUMED,)


# --- like findings ---------------------------------------------------------------------------------------------


def test_findings_with_one_cause_merge() -> None:
    (one,) = merged([fault(3, weight=1), fault(1, weight=5.4), fault(2, weight=2)])
    assert one.sentence == "cam_3, cam_1 and cam_2 are wrong"
    assert one.cost_sentence == "5.4 ms for cam_3, cam_1 and cam_2"
    assert one.fix_sentence == "Mend cam_3, cam_1 and cam_2"
    assert one.at == place(1)  # where the first of them stands in the file
    assert one.also == (Mention(place(3), "cam_3"), Mention(place(2), "cam_2"))
    assert one.fix is not None
    assert one.fix.edits == tuple(SetValue(place(line), "right") for line in (3, 1, 2))
    assert one.costs is not None
    assert one.costs.amounts == (Amount("drift", 5.4, "ms"),)


def test_findings_without_a_cause_stay_apart() -> None:
    findings = [fault(1, cause=None), fault(2, cause=None)]
    assert merged(findings) == findings


def test_a_finding_by_itself_is_left_as_it_is() -> None:
    finding = fault(1)
    assert merged([finding])[0] is finding


def test_other_causes_levels_and_rules_stay_apart() -> None:
    findings = [
        fault(1),
        fault(2, cause="another"),
        fault(3, level=Level.WARNING),
        fault(4, record=OTHER),
    ]
    assert merged(findings) == findings


def test_a_capped_finding_does_not_merge_with_an_uncapped_one() -> None:
    findings = [fault(1), replace(fault(2), decided_by=(ASSUMED,)).capped()]
    assert [each.level for each in merged(findings)] == [Level.ERROR, Level.WARNING]


def test_devices_written_at_one_place_mention_it_once() -> None:
    (one,) = merged([fault(1, "cam_1"), fault(1, "cam_2"), fault(1, "cam_3")])
    assert one.who == ("cam_1", "cam_2", "cam_3")
    assert one.also == ()
    assert one.fix is not None
    assert len(one.fix.edits) == 1


def test_what_the_parts_mention_is_mentioned_once() -> None:
    generator = Mention(place(9), "the generator")
    (one,) = merged([replace(fault(line), also=(generator,)) for line in (1, 2)])
    assert one.also == (Mention(place(2), "cam_2"), generator)


def test_a_device_that_is_told_of_twice_is_named_once() -> None:
    (one,) = merged([fault(1, "cam_a"), fault(2, "cam_a"), fault(3, "cam_b")])
    assert one.who == ("cam_a", "cam_b")


def test_one_of_several_without_costs_or_fix() -> None:
    (one,) = merged([replace(fault(2), costs=None), fault(1, weight=3), replace(fault(3), fix=None)])
    assert one.cost_sentence.startswith("3 ms")
    assert one.fix is not None
    assert len(one.fix.edits) == 2


def test_devices_that_are_counted_are_counted_together() -> None:
    counts = [(1, 5.4), (3, 9.0)]
    findings = [
        replace(fault(n), costs=Cost("x", (Amount("devices off", n, "devices"), Amount("drift", ms, "ms")), ms))
        for n, ms in counts
    ]
    (one,) = merged(findings)
    assert one.costs is not None
    assert one.costs.amounts == (Amount("devices off", 4, "devices"), Amount("drift", 9.0, "ms"))


@pytest.mark.parametrize("order", list(permutations([fault(1, weight=1), fault(2, weight=9), fault(3, weight=4)])))
def test_the_order_in_which_they_came_changes_neither_place_nor_cost(order: tuple[Finding, ...]) -> None:
    (one,) = merged(order)
    assert (one.at, set(one.who)) == (place(1), {"cam_1", "cam_2", "cam_3"})
    assert one.costs is not None
    assert one.costs.weight == 9


@given(st.lists(st.tuples(st.integers(1, 9), st.sampled_from(["a", "b", None]), st.sampled_from(Level)), max_size=20))
def test_merging_loses_no_device_and_merges_again_to_the_same(
    parts: list[tuple[int, str | None, Level]],
) -> None:
    findings = [fault(line, cause=cause, level=level) for line, cause, level in parts]
    once = merged(findings)
    assert {name for each in once for name in each.who} == {name for each in findings for name in each.who}
    assert merged(once) == once


def test_findings_come_in_the_order_of_the_work() -> None:
    def finding(hurts: Hurts, mended: Mended, level: Level, line: int, elsewhere: Mended | None = None) -> Finding:
        record = replace(RECORD, hurts=hurts, mended=mended)
        return record.finding(at=place(line), says="z", level=level, mended=elsewhere)

    wanted = [
        finding(Hurts.DAY, Mended.RENTAL, Level.ERROR, 9),
        finding(Hurts.DAY, Mended.RENTAL, Level.NOTE, 1),
        finding(Hurts.DAY, Mended.POST, Level.NOTE, 2, Mended.RENTAL),
        finding(Hurts.DAY, Mended.SET, Level.ERROR, 1),
        finding(Hurts.POST, Mended.RENTAL, Level.ERROR, 1),
        finding(Hurts.POST, Mended.RENTAL, Level.WARNING, 2),
        finding(Hurts.POST, Mended.RENTAL, Level.WARNING, 10),
        finding(Hurts.HABIT, Mended.RENTAL, Level.ERROR, 1),
    ]
    assert in_order(Random(1).sample(wanted, len(wanted))) == wanted


@pytest.mark.parametrize(
    ("text", "said"), [("24", "24"), ("123456", "123456"), ("1234567", "12345…"), ("a\n\tb", "a b"), ("", "")]
)
def test_a_text_from_a_file_is_cut_where_one_sees_it(text: str, said: str) -> None:
    assert shortened(text, 6) == said


def test_levels_are_ordered_the_worst_first() -> None:
    assert sorted(Level, key=lambda level: level.rank) == [Level.ERROR, Level.WARNING, Level.NOTE]

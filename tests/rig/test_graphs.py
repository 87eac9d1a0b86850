"""The two graphs of a rig: feeds, roots, followers, cycles."""

from __future__ import annotations

from itertools import pairwise

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from synclint.rig.graphs import ClockGraph, Ending, Root, TimecodeGraph, shortest_cycles
from synclint.rig.model import End, Setup
from tests.rig.building import sound


def rig(devices: str, links: str = "", more: str = "") -> Setup:
    return sound(f"devices:\n{devices}" + (f"links:\n{links}" if links else "") + more).setup


def labels(devices: str, links: str = "", more: str = "") -> TimecodeGraph:
    return TimecodeGraph(rig(devices, links, more))


def paces(devices: str, links: str = "", more: str = "") -> ClockGraph:
    return ClockGraph(rig(devices, links, more))


BAG = "  bag: {timecode: {from: own clock}}\n"


def box(key: str, mode: str = "jam") -> str:
    return f"  {key}: {{timecode: {{from: jack, mode: {mode}}}}}\n"


def lead(source: str, target: str, connected: str = "all day", carries: str = "LTC") -> str:
    return f"  - {{from: {source}, to: {target}, carries: {carries}, connected: {connected}}}\n"


# --- where chains end ------------------------------------------------------------------------------------------


def test_a_clock_of_its_own_is_its_own_root() -> None:
    assert labels(BAG).root_of("bag") == Root("bag", Ending.OWN_CLOCK)


def test_a_follower_has_the_root_of_its_source() -> None:
    graph = labels(BAG + box("a") + box("b"), lead("bag.out", "a.jack") + lead("a.jack", "b.jack"))
    assert graph.root_of("b") == Root("bag", Ending.OWN_CLOCK)
    assert graph.followers == {"bag": ("a", "b")}


def test_nothing_arrives() -> None:
    graph = labels(box("a") + box("b"), lead("a.jack", "b.jack"))
    assert graph.root_of("b") == Root("a", Ending.NOTHING)
    assert graph.followers == {}


def test_a_lead_at_another_port_is_not_listened_to() -> None:
    graph = labels(BAG + box("a"), lead("bag.out", "a.other"))
    assert graph.root_of("a").ending is Ending.NOTHING
    assert [feed.source for feed in graph.arriving["a"]] == ["bag"]


def test_what_carries_no_label_labels_nobody() -> None:
    assert labels(BAG + box("a"), lead("bag.out", "a.jack", carries="sound")).root_of("a").ending is Ending.NOTHING


def test_outside_time_needs_no_lead() -> None:
    able = "able: {ports: {aerial: {in: [GNSS]}, out: {out: [LTC]}}}"
    graph = labels(f"  gm: {{{able}, timecode: {{from: aerial}}}}\n" + box("a"), lead("gm.out", "a.jack"))
    assert graph.root_of("a") == Root("gm", Ending.OUTSIDE)
    assert graph.root_of("gm").generates


def test_nothing_said() -> None:
    graph = labels("  cam: {}\n" + box("a"), lead("cam.out", "a.jack"))
    assert graph.root_of("a") == Root("cam", Ending.UNSTATED)
    assert not graph.root_of("a").generates


def test_a_loop_and_what_hangs_on_it() -> None:
    devices = box("a") + box("b") + box("c")
    graph = labels(devices, lead("a.jack", "b.jack") + lead("b.jack", "a.jack") + lead("b.jack", "c.jack"))
    assert {graph.root_of(key).ending for key in "abc"} == {Ending.LOOP}
    assert graph.followers == {}


def test_of_several_feeds_the_first_written_counts() -> None:
    devices = "  one: {timecode: {from: own clock}}\n  two: {timecode: {from: own clock}}\n" + box("a")
    assert labels(devices, lead("two.out", "a.jack") + lead("one.out", "a.jack")).root_of("a").device == "two"


def test_a_lead_to_compare_feeds_nobody_while_another_arrives() -> None:
    devices = BAG + "  gen: {timecode: {from: own clock}}\n" + box("a")
    graph = labels(devices, lead("gen.out", "a.jack", "to compare") + lead("bag.out", "a.jack", "to jam"))
    assert [feed.source for feed in graph.listened["a"]] == ["bag"]
    assert len(graph.arriving["a"]) == 2


def test_a_lead_to_compare_is_followed_where_nothing_else_arrives() -> None:
    graph = labels(BAG + box("a"), lead("bag.out", "a.jack", "to compare"))
    assert graph.root_of("a").device == "bag"


def test_a_comparing_lead_beside_the_master_closes_no_circle() -> None:
    devices = "  gen: {timecode: {from: own clock}}\n" + box("bag", "continuous") + box("a", "continuous")
    links = lead("gen.out", "bag.jack") + lead("bag.out", "a.jack") + lead("a.jack", "bag.jack", "to compare")
    assert labels(devices, links).cycles() == []


# --- through-things --------------------------------------------------------------------------------------------


def test_a_splitter_is_followed_through() -> None:
    devices = BAG + "  dist: {passes: {in: [out_1..out_4]}}\n" + box("a")
    (feed,) = labels(devices, lead("bag.out", "dist.in") + lead("dist.out_3", "a.jack")).listened["a"]
    assert (feed.source, feed.target, feed.port) == ("bag", "a", "jack")
    assert [str(link.source) for link in feed.links] == ["bag.out", "dist.out_3"]
    assert str(feed.last.target) == "a.jack"


def test_a_chain_of_converters_is_followed_through() -> None:
    devices = BAG + "  conv_1: {passes: {in: [out]}}\n  conv_2: {passes: {in: [out]}}\n" + box("a")
    links = lead("bag.out", "conv_1.in") + lead("conv_1.out", "conv_2.in") + lead("conv_2.out", "a.jack")
    (feed,) = labels(devices, links).listened["a"]
    assert feed.source == "bag"
    assert [link.source.device for link in feed.links] == ["bag", "conv_1", "conv_2"]


def test_a_through_thing_is_neither_root_nor_follower() -> None:
    devices = BAG + "  dist: {passes: {in: [out]}, timecode: {from: in}}\n"
    graph = labels(devices, lead("bag.out", "dist.in"))
    assert "dist" not in graph.listened
    assert graph.arriving == {}


def test_a_through_thing_with_nothing_before_it_brings_nothing() -> None:
    graph = labels("  dist: {passes: {in: [out]}}\n" + box("a"), lead("dist.out", "a.jack"))
    assert graph.root_of("a") == Root("a", Ending.NOTHING)


def test_of_several_inputs_each_may_bring_something() -> None:
    devices = "  one: {timecode: {from: own clock}}\n  two: {timecode: {from: own clock}}\n"
    devices += "  router: {passes: {in_1: [out], in_2: [out]}}\n" + box("a")
    links = lead("two.out", "router.in_2") + lead("one.out", "router.in_1") + lead("router.out", "a.jack")
    assert [feed.source for feed in labels(devices, links).listened["a"]] == ["one", "two"]  # as the inputs are written


def test_only_what_feeds_an_output_comes_out_of_it() -> None:
    devices = BAG + "  router: {passes: {in_1: [out_1], in_2: [out_2]}}\n" + box("a")
    links = lead("bag.out", "router.in_1") + lead("router.out_2", "a.jack")
    assert labels(devices, links).root_of("a").ending is Ending.NOTHING


def test_a_circle_of_converters_is_left_again() -> None:
    devices = BAG + "  conv_1: {passes: {in: [out]}}\n  conv_2: {passes: {in: [out]}}\n" + box("a")
    links = lead("conv_2.out", "conv_1.in") + lead("conv_1.out", "conv_2.in") + lead("bag.out", "conv_1.in")
    (feed,) = labels(devices, links + lead("conv_2.out", "a.jack")).listened["a"]
    assert feed.source == "bag"
    assert [link.source.device for link in feed.links] == ["bag", "conv_1", "conv_2"]


def test_a_reference_is_followed_through_loops() -> None:
    able = "able: {ports: {ref_in: {in: [tri-level], loop: ref_loop}}}, clock: {from: ref_in}"
    devices = "  gen: {}\n" + "".join(f"  cam_{n}: {{{able}}}\n" for n in (1, 2, 3))
    links = lead("gen.ref", "cam_1.ref_in", carries="tri-level")
    links += "".join(lead(f"cam_{a}.ref_loop", f"cam_{b}.ref_in", carries="tri-level") for a, b in pairwise((1, 2, 3)))
    graph = paces(devices, links)
    assert graph.followers == {"gen": ("cam_1", "cam_2", "cam_3")}
    assert [link.source.device for link in graph.listened["cam_3"][0].links] == ["gen", "cam_1", "cam_2"]


def test_a_device_that_loops_its_own_output_round_is_no_source_of_the_loop() -> None:
    able = "able: {ports: {ref_in: {in: [tri-level], loop: ref_loop}}}, clock: {from: ref_in}"
    graph = paces(f"  a: {{{able}}}\n", lead("a.ref_loop", "a.ref_in", carries="tri-level"))
    assert graph.root_of("a") == Root("a", Ending.NOTHING)


@pytest.mark.parametrize("carries", ["LTC", "MTC", "data timecode", "record trigger"])
def test_what_nobody_can_take_a_pace_from(carries: str) -> None:
    graph = paces("  gen: {}\n  a: {clock: {from: in}}\n", lead("gen.out", "a.in", carries=carries))
    assert graph.root_of("a").ending is Ending.NOTHING


def test_a_long_chain_is_no_matter_of_depth() -> None:
    devices = BAG + box("b0") + "".join(box(f"b{n}") for n in range(1, 3000))
    links = lead("bag.out", "b0.jack") + "".join(lead(f"b{n - 1}.jack", f"b{n}.jack") for n in range(1, 3000))
    graph = labels(devices, links)
    assert graph.root_of("b2999") == Root("bag", Ending.OWN_CLOCK)
    assert graph.cycles() == []
    assert graph.writer_of("b2999") == "b2999"


# --- by radio and network --------------------------------------------------------------------------------------


def test_a_radio_group_feeds_its_receivers() -> None:
    devices = BAG + "  a: {timecode: {from: radio, mode: continuous}}\n"
    graph = labels(devices, more="radio_groups:\n  main: {sends: bag.radio, receives: [a.radio], carries: timecode}\n")
    assert graph.followers == {"bag": ("a",)}
    assert graph.listened["a"][0].last.by == "radio"


@pytest.mark.parametrize(("sets", "ending"), [("clock", Ending.OWN_CLOCK), ("time", Ending.NOTHING)])
def test_a_radio_paces_only_where_it_sets_the_clock(sets: str, ending: Ending) -> None:
    group = f"{{sends: bag.radio, receives: [a.radio], carries: timecode, resync: {{sets: {sets}}}}}"
    graph = paces("  bag: {}\n  a: {clock: {from: radio}}\n", more=f"radio_groups:\n  main: {group}\n")
    assert graph.root_of("a").ending is ending


def test_a_network_labels_and_paces_its_members() -> None:
    devices = "  gm: {timecode: {from: own clock}}\n  gw: {timecode: {from: media}, clock: {from: media}}\n"
    more = "networks:\n  main: {carries: PTP, leaders: [gm.media], members: [gw.media]}\n"
    assert labels(devices, more=more).root_of("gw").device == "gm"
    assert paces(devices, more=more).root_of("gw").device == "gm"


# --- who follows, who writes -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mode", "connected", "follows"),
    [
        ("mode: continuous", "to jam", True),
        ("mode: free run", "all day", True),
        ("mode: jam", "all day", False),
        ("mode: record run", "all day", False),
        ("", "all day", True),
        ("", "to jam", False),
        ("", "to compare", False),
    ],
)
def test_who_follows_continuously(mode: str, connected: str, follows: bool) -> None:
    timecode = ", ".join(filter(None, ["from: jack", mode]))
    graph = labels(f"{BAG}  a: {{timecode: {{{timecode}}}}}\n", lead("bag.out", "a.jack", connected))
    assert graph.follows_continuously("a") is follows


def test_own_clock_follows_nobody() -> None:
    graph = labels("  a: {timecode: {from: own clock, mode: continuous}}\n  b: {timecode: {mode: continuous}}\n")
    assert not graph.follows_continuously("a")
    assert not graph.follows_continuously("b")


def test_labels_are_written_by_the_first_upstream_that_runs_by_itself() -> None:
    devices = BAG + box("a", "jam") + box("b", "continuous") + box("c", "continuous")
    links = lead("bag.out", "a.jack", "to jam") + lead("a.jack", "b.jack") + lead("b.jack", "c.jack")
    graph = labels(devices, links)
    assert [graph.writer_of(key) for key in ("bag", "a", "b", "c")] == ["bag", "a", "a", "a"]


def test_a_writer_is_looked_for_in_a_circle_only_once() -> None:
    devices = box("a", "continuous") + box("b", "continuous")
    assert labels(devices, lead("a.jack", "b.jack") + lead("b.jack", "a.jack")).writer_of("a") in ("a", "b")


# --- cycles, against brute force -------------------------------------------------------------------------------

EDGES = st.integers(1, 12).flatmap(
    lambda size: st.fixed_dictionaries(
        {f"d{n}": st.lists(st.integers(0, size - 1).map(lambda m: f"d{m}"), max_size=4) for n in range(size)}
    )
)


@given(EDGES)
def test_one_shortest_cycle_of_every_knot(edges: dict[str, list[str]]) -> None:
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(edges)
    graph.add_edges_from((key, source) for key, sources in edges.items() for source in sources)
    knots = [
        knot for knot in nx.strongly_connected_components(graph) if len(knot) > 1 or graph.has_edge(*list(knot) * 2)
    ]
    found = shortest_cycles(edges)
    assert len(found) == len(knots)
    for cycle in found:
        (knot,) = (knot for knot in knots if cycle[0] in knot)
        # the signal runs from each member to the next, and each listens to the one before it
        assert all(source in edges[target] for source, target in pairwise((*cycle, cycle[0])))
        assert len(set(cycle)) == len(cycle)
        assert len(cycle) == min(map(len, nx.simple_cycles(graph.subgraph(knot), length_bound=len(cycle))))
        assert cycle[0] == min(cycle)
    assert [cycle[0] for cycle in found] == sorted(cycle[0] for cycle in found)


@given(EDGES)
def test_cycles_come_out_the_same_each_time(edges: dict[str, list[str]]) -> None:
    assert shortest_cycles(edges) == shortest_cycles(dict(reversed(edges.items())))


SOURCES = st.integers(1, 12).flatmap(
    lambda size: st.lists(
        st.none() | st.just(-1) | st.integers(0, size - 1), min_size=size, max_size=size
    )  # nothing said, own clock, or fed by one device
)


def one_feed_each(sources: list[int | None], order: list[int], link_order: list[int]) -> Setup:
    """A rig of boxes in which each is fed by one other, its devices and links in some order."""
    says = {None: "{}", -1: "{timecode: {from: own clock}}"}
    devices = "".join(f"  d{n}: {says.get(sources[n], '{timecode: {from: jack, mode: continuous}}')}\n" for n in order)
    fed = [n for n in link_order if sources[n] not in says]
    return rig(devices, "".join(lead(f"d{sources[n]}.out", f"d{n}.jack") for n in fed))


def brute_root(sources: list[int | None], start: int) -> tuple[int | None, Ending]:
    """Where a chain ends, by walking along it for longer than it can be."""
    here = start
    for _ in range(len(sources) + 1):
        source = sources[here]
        if source is None:
            return here, Ending.UNSTATED
        if source == -1:
            return here, Ending.OWN_CLOCK
        here = source
    return None, Ending.LOOP


@given(SOURCES, st.data())
def test_roots_and_followers_by_walking(sources: list[int | None], data: st.DataObject) -> None:
    numbers = list(range(len(sources)))
    order, link_order = data.draw(st.permutations(numbers)), data.draw(st.permutations(numbers))
    graph = TimecodeGraph(one_feed_each(sources, order, link_order))
    followers: dict[str, set[str]] = {}
    for n in data.draw(st.permutations(numbers)):
        root, ending = brute_root(sources, n)
        found = graph.root_of(f"d{n}")
        assert found.ending is ending
        if root is not None:
            assert found.device == f"d{root}"
        if ending is Ending.OWN_CLOCK and root != n:
            followers.setdefault(f"d{root}", set()).add(f"d{n}")
    assert {key: set(keys) for key, keys in graph.followers.items()} == followers


@given(SOURCES, st.data())
def test_the_order_of_the_file_changes_no_circle(sources: list[int | None], data: st.DataObject) -> None:
    numbers = list(range(len(sources)))
    first = TimecodeGraph(one_feed_each(sources, numbers, numbers)).cycles()
    order, link_order = data.draw(st.permutations(numbers)), data.draw(st.permutations(numbers))
    second = TimecodeGraph(one_feed_each(sources, order, link_order)).cycles()
    assert {frozenset(cycle) for cycle in first} == {frozenset(cycle) for cycle in second}


def test_all_feeding_each_other() -> None:
    edges = {f"d{n}": [f"d{m}" for m in range(60) if m != n] for n in range(60)}
    (cycle,) = shortest_cycles(edges)
    assert cycle == ("d0", "d1")


def test_two_thousand_in_one_circle() -> None:
    edges = {f"d{n}": [f"d{(n + 1) % 2000}"] for n in range(2000)}
    (cycle,) = shortest_cycles(edges)
    assert len(cycle) == 2000
    assert cycle[0] == "d0"


def test_what_leads_nowhere_loads_no_graph_library() -> None:
    assert shortest_cycles({"a": ["b"], "b": ["c", "x"], "c": []}) == []


def test_a_port_is_walked_back_once() -> None:
    graph = labels(BAG + box("a"), lead("bag.out", "a.jack"))
    assert graph.feeds_at(End("a", "jack")) is graph.feeds_at(End("a", "jack"))


# --- what times pictures anew ----------------------------------------------------------------------------------


def switched(mixer: str, carries: str = "picture") -> ClockGraph:
    """A recorder behind a mixer of pictures, a camera on its own clock before it, and a generator."""
    devices = "  gen: {clock: {from: own clock}}\n  cam: {clock: {from: own clock}}\n  rec: {clock: {from: in}}\n"
    ports = f"ref_in: {{in: [black burst]}}, in_1: {{in: [{carries}]}}, pgm: {{out: [{carries}]}}"
    devices += f"  mixer: {{able: {{ports: {{{ports}}}}}, passes: {{in_1: [pgm]}}{mixer}}}\n"
    devices += "  converter: {passes: {in: [out]}}\n"
    links = lead("gen.ref", "mixer.ref_in", carries="black burst") + lead("cam.out", "mixer.in_1", carries=carries)
    links += lead("mixer.pgm", "converter.in", carries=carries) + lead("converter.out", "rec.in", carries=carries)
    return paces(devices, links)


@pytest.mark.parametrize(
    ("mixer", "carries", "root"),
    [
        (", clock: {from: ref_in}", "picture", "gen"),
        (", clock: {from: own clock}", "picture", "mixer"),
        ("", "picture", "cam"),  # nobody says that it times anything anew
        (", clock: {from: ref_in}", "word clock", "cam"),  # a reference is only handed on
    ],
)
def test_a_mixer_sends_pictures_on_at_its_own_pace(mixer: str, carries: str, root: str) -> None:
    assert switched(mixer, carries).root_of("rec") == Root(root, Ending.OWN_CLOCK)


def test_what_a_loop_through_hands_on_is_not_timed_anew() -> None:
    ports = "ref: {in: [black burst]}, in_1: {in: [picture], loop: thru}, thru: {out: [picture]}, pgm: {out: [picture]}"
    devices = "  gen: {clock: {from: own clock}}\n  cam: {clock: {from: own clock}}\n  rec: {clock: {from: in}}\n"
    devices += f"  mixer: {{able: {{ports: {{{ports}}}}}, passes: {{in_1: [pgm]}}, clock: {{from: ref}}}}\n"
    links = lead("gen.ref", "mixer.ref", carries="black burst") + lead("cam.out", "mixer.in_1", carries="picture")
    assert paces(devices, links + lead("mixer.thru", "rec.in", carries="picture")).root_of("rec").device == "cam"

"""What is joined by wire at one time, and what stands at each input: the electrical side of the leads of a rig.

A line is all that is on one output at one moment: the leads plugged together, the inputs that load it, and what else
drives it. Leads that stay on all day are together; one that is there to jam or to compare is by itself, since it is
plugged for a minute and its output has one socket. A loop-through and a passive tee join what is on either side; any
other through-thing ends a line and begins others.

    lines = Lines(setup)
    for line in lines.at(End("cam_a", "tc_in")):
        stands = lines.stands(line, End("cam_a", "tc_in"))
        stands.volts, stands.lacks      # Vpp, or None and the facts that lack

All of it is for LTC, black burst, tri-level, word clock and AES reference alike. Voltages are in volts peak to peak,
impedances in ohms, exact; decibels are made of them by `trade.levels`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import Any

from synclint.findings import Fact
from synclint.rig.line_parts import Bound, Lack, Network, Parts, Socket, termination
from synclint.rig.model import End, Link, Setup
from synclint.trade.circuit import ShortCircuitError, Voltages, solve
from synclint.trade.quantities import Level

WIRED = frozenset({"LTC", "black burst", "tri-level", "word clock", "AES reference"})
"""What a lead carries as a voltage whose level counts."""


@dataclass(frozen=True, slots=True)
class Line:
    """All that is on one output at one time."""

    signal: str
    links: tuple[Link, ...]
    """The leads that are plugged together, in the order of the file."""
    outputs: tuple[End, ...]
    """What drives the line; more than one is a fault."""
    inputs: tuple[End, ...]
    """What loads it, each once; the sockets of a passive tee are not among them."""

    @property
    def split(self) -> bool:
        """Whether one output feeds several inputs."""
        return len(self.inputs) > 1

    def lead_to(self, end: End) -> Link:
        """The lead that arrives at an input, or where it is none of this line the first lead."""
        return next((link for link in self.links if link.target == end), self.links[0])


@dataclass(frozen=True, slots=True)
class Stands:
    """What stands at an input: Vpp between its contacts, from `least` to `most` as what is assumed varies."""

    volts: Fraction | None
    least: Fraction | None
    most: Fraction | None
    lacks: tuple[Lack, ...]
    """The facts without which nobody can say; empty where `volts` is known."""
    rests_on: tuple[Fact[Any], ...]
    """The facts that it comes of, the assumed ones too."""

    @property
    def assumed(self) -> tuple[Fact[Any], ...]:
        """Those of its facts that are assumed."""
        return tuple(fact for fact in self.rests_on if fact.assumed)


class Lines:
    """The lines of a setup."""

    def __init__(self, setup: Setup) -> None:
        """Find out which leads are plugged together."""
        self.setup = setup
        self._parts = Parts(setup)
        self._leads = [link for link in setup.links if link.by == "lead" and link.carries.value in WIRED]
        self._staying: Mapping[tuple[str, End, bool], list[Link]] = defaultdict(list)
        for link in self._leads:
            if stays(link):
                for end, out in ((link.source, True), (link.target, False)):
                    self._staying[link.carries.value or "", end, out].append(link)
        self._order = {id(link): index for index, link in enumerate(setup.links)}
        self._boxes: dict[tuple[End, bool], int] = {}
        self._work = 0
        self._solutions: dict[tuple[int, _Plugged, Bound], _Solution] = {}
        self._terminations: dict[int, tuple[tuple[End, Fact[bool]], ...]] = {}

    @cached_property
    def all(self) -> tuple[Line, ...]:
        """Every line, that of each lead that is plugged by itself included."""
        return tuple({id(line): line for line in self._by_link.values()}.values())

    @cached_property
    def _by_link(self) -> Mapping[int, Line]:
        """The line of each lead while it is plugged, by the lead's identity."""
        found: dict[int, Line] = {}
        for link in self._leads:
            if id(link) not in found:
                line = self._line_of(link)
                found |= dict.fromkeys((id(each) for each in line.links if each is link or stays(link)), line)
        return found

    def at(self, end: End) -> tuple[Line, ...]:
        """The lines that an input is on, at one time or another."""
        return self._by_input.get(end, ())

    def of(self, link: Link) -> Line | None:
        """The line of a lead while it is plugged; None where it carries nothing by wire."""
        return self._by_link.get(id(link))

    @cached_property
    def _by_input(self) -> Mapping[End, tuple[Line, ...]]:
        found: dict[End, list[Line]] = {}
        for line in self.all:
            for end in line.inputs:
                found.setdefault(end, []).append(line)
        return {end: tuple(lines) for end, lines in found.items()}

    def stands(
        self,
        line: Line,
        end: End,
        *,
        without: Collection[End] = (),
        driven_by: End | None = None,
        level: Level | None = None,
        unloaded: bool = False,
        padded: tuple[Link, Fraction] | None = None,
    ) -> Stands:
        """What stands at an input of a line.

        `without` are inputs left unplugged, as if they were not there; `driven_by` the output that counts where there
        are several (the others load the line); `level` what is taken for an output that states none. `unloaded` is
        what would stand there if no input took anything, here and before the boxes that the line comes from; `padded`
        is a lead of the line with the decibels of the pad that it is tried with, in place of its own.
        """
        driver = driven_by or (line.outputs[0] if line.outputs else None)
        if driver is None:
            return Stands(None, None, None, (), ())
        left_out = frozenset(each for each in without if not self._parts.is_tee(each))
        tried = (id(padded[0]), padded[1]) if padded is not None else None
        plugged = _Plugged(driver, left_out, level, unloaded, tried)
        usual = self._solved(line, end, plugged, Bound.USUAL)
        if usual.volts is None or not usual.assumed:
            return usual
        least = self._solved(line, end, plugged, Bound.LEAST)
        most = self._solved(line, end, plugged, Bound.MOST)
        return replace(usual, least=least.volts, most=most.volts)

    def terminations(self, line: Line) -> tuple[tuple[End, Fact[bool]], ...]:
        """For each input of a line whether the line is terminated there; unknown where nobody says."""
        if id(line) not in self._terminations:
            self._terminations[id(line)] = tuple(self._ends_of(line))
        return self._terminations[id(line)]

    def _ends_of(self, line: Line) -> Iterator[tuple[End, Fact[bool]]]:
        for end in line.inputs:
            port = self._parts.port(end)
            if port is not None:
                yield end, termination(port, looped=self._loop_is_used(line, end))

    def box_before(self, line: Line) -> End | None:
        """The input of the distribution box that drives a line, where one does."""
        return self._parts.feeding(line.outputs[0]) if line.outputs else None

    def _loop_is_used(self, line: Line, end: End) -> bool:
        port = self._parts.port(end)
        loop = port.loop.value if port is not None else None
        return loop is not None and any(link.source == End(end.device, loop) for link in line.links)

    # --- which leads are plugged together ---

    def _line_of(self, first: Link) -> Line:
        """The line that a lead is on; one that does not stay is alone in its two sockets."""
        signal = first.carries.value or ""
        taken = set() if stays(first) else {(first.source, True), (first.target, False)}
        links: dict[int, Link] = {id(first): first}
        pending = [(first.source, True), (first.target, False)]
        seen = set(pending)
        while pending:
            socket = pending.pop()
            for link in () if socket in taken else self._staying.get((signal, *socket), ()):
                links[id(link)] = link
                pending += _new(seen, ((link.source, True), (link.target, False)))
            pending += _new(seen, self._parts.tied(socket))
        ordered = tuple(sorted(links.values(), key=lambda link: self._order[id(link)]))
        sources = [link.source for link in ordered if not self._parts.tied((link.source, True))]
        inputs = [link.target for link in ordered if not self._parts.is_tee(link.target)]
        outputs = [end for end in sources if not self._parts.listens(end)]
        outputs += [end for end in inputs if self._parts.drives(end)]
        return Line(signal, ordered, tuple(dict.fromkeys(outputs)), tuple(dict.fromkeys(inputs)))

    # --- what stands there ---

    def _solved(self, line: Line, end: End, plugged: _Plugged, bound: Bound) -> Stands:
        """What stands at an input with every assumed impedance at one of its bounds."""
        key = (id(line), plugged, bound)
        if key not in self._solutions:
            self._solutions[key] = self._solution(line, plugged, bound)
        solution = self._solutions[key]
        if solution.lacks:
            return Stands(None, None, None, solution.lacks, solution.facts)
        volts = solution.between(end)
        return Stands(volts, volts, volts, (), solution.facts)

    def _solution(self, line: Line, plugged: _Plugged, bound: Bound) -> _Solution:
        """The network of a line, solved; or what lacks for that."""
        network = Network(self._parts, line.signal, bound)
        for link in line.links:
            if link.target not in plugged.without:
                tried = plugged.padded
                network.add_lead(link, tried[1] if tried is not None and tried[0] == id(link) else None)
        for one, other in self._ties_of(line):
            network.add_tie(one, other)
        inputs, outputs = set(line.inputs), set(line.outputs)
        for output in line.outputs:
            emf = self._emf(network, output, plugged) if output == plugged.driver else Fraction(0)
            network.add_output(output, emf, out=output not in inputs)
        for each in () if plugged.unloaded else line.inputs:
            if each not in plugged.without and each not in outputs:
                network.add_input(each, looped=self._loop_is_used(line, each))
        facts = tuple({(fact.place, fact.why): fact for fact in network.facts}.values())
        lacks = tuple(dict.fromkeys(network.lacks)) or self._too_much(line, len(network.elements))
        try:
            found = None if lacks else solve(network.elements)
        except ShortCircuitError:
            found = None
        return _Solution(network, found, lacks, facts)

    def _too_much(self, line: Line, elements: int) -> tuple[Lack, ...]:
        """What is told where lines are so long, and so many, that nobody would wait for them to be worked out."""
        if elements > _LONG:
            self._work += elements
        if self._work <= _MOST_WORK:
            return ()
        end = line.links[0].source
        called = self.setup.called(end.device)
        says = f"what stands on a line of {len(line.links)} leads, of which there are too many to work out"
        return (Lack(says, line.links[0].place, called),)

    def _ties_of(self, line: Line) -> set[tuple[Socket, Socket]]:
        sockets = [(link.source, True) for link in line.links] + [(link.target, False) for link in line.links]
        return {
            (socket, other) if socket[1] else (other, socket)
            for socket in sockets
            for other in self._parts.tied(socket)
        }

    def _emf(self, network: Network, output: End, plugged: _Plugged) -> Fraction:
        """The voltage behind an output's impedance; 0 where a fact for it lacks, which is then told."""
        stated = self._parts.emf(output, network.signal, plugged.level, network.bound)
        if stated is not None:
            network.facts += [stated[1]] if stated[1] is not None else []
            return stated[0]
        fed = self._fed(output)
        if fed is None or self._boxes_behind(output, network.signal, plugged.level) > _MOST_BOXES:
            network.lacks.append(self._parts.no_level(output))
            return Fraction(0)
        line, feeding = fed
        before = _Plugged(line.outputs[0], frozenset(), plugged.level, plugged.unloaded)
        arrives = self._solved(line, feeding, before, network.bound)
        if arrives.volts is None:
            network.lacks += arrives.lacks
            return Fraction(0)
        emf, fact = self._parts.passed_on(output, arrives.volts)
        network.facts += [*arrives.rests_on, fact]
        return emf

    def _fed(self, output: End) -> tuple[Line, End] | None:
        """The line that an output of a box passes on, and the input at which it comes in; None where there is none."""
        feeding = self._parts.feeding(output)
        line = next(iter(self.at(feeding)), None) if feeding is not None else None
        return (line, feeding) if feeding is not None and line is not None and line.outputs else None

    def _boxes_behind(self, output: End, signal: str, level: Level | None) -> int:
        """Through how many boxes an output gets its level; more than are followed where the boxes come round."""
        chain: dict[tuple[End, bool], None] = {}
        here, count = (output, level is not None), 0
        while here not in self._boxes and here not in chain:
            chain[here] = None
            stated = self._parts.emf(here[0], signal, level, Bound.USUAL)
            fed = self._fed(here[0]) if stated is None else None
            if fed is None:
                count = -1
                break
            here = (fed[0].outputs[0], here[1])
        else:
            count = self._boxes.get(here, _MOST_BOXES)
        for each in reversed(chain):
            count += 1
            self._boxes[each] = count
        return self._boxes[output, level is not None]


@dataclass(frozen=True, slots=True)
class _Plugged:
    """Which of a line's inputs are left out, and which of its outputs counts."""

    driver: End
    without: frozenset[End]
    level: Level | None
    unloaded: bool
    padded: tuple[int, Fraction] | None = None


@dataclass(frozen=True, slots=True)
class _Solution:
    """A network with what stands at its nodes; nothing does where outputs without impedance short each other."""

    network: Network
    found: Voltages | None
    lacks: tuple[Lack, ...]
    facts: tuple[Fact[Any], ...]

    def between(self, end: End) -> Fraction:
        """What stands between the contacts of an input."""
        if self.found is None:
            return Fraction(0)
        return abs(self.found.between(*self.network.contacts((end, False))) or Fraction(0))


_LONG, _MOST_WORK = 60, 60_000
"""From how many parts on a network counts as long, and how many parts of long ones are solved for a setup."""

_MOST_BOXES = 40
"""Through how many distribution boxes a level is followed back; it bounds the work on a rig that is all boxes."""


def stays(link: Link) -> bool:
    """Whether a lead is plugged all day; where nobody says, a reference is and timecode is not taken to be."""
    if link.connected.value is None:
        return link.carries.value != "LTC"
    return link.connected.value == "all day"


def _new(seen: set[Socket], sockets: Iterable[Socket]) -> list[Socket]:
    """Those of some sockets that were not come upon before."""
    found = [socket for socket in sockets if socket not in seen]
    seen.update(found)
    return found

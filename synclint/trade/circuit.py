"""What stands at the nodes of a resistive network: outputs, leads, pads and loads, however they are joined.

A network is a list of elements between named nodes; one node is ground, the common return, at 0 V. Every element is a
branch of one kind: an electromotive force (EMF) and a resistance in series. A lead, a load and a part of a pad have no
EMF, an ideal output has no resistance. For a branch from b to a the currents and voltages hold

    current out of a = (V(a) - V(b) - EMF) / resistance

and the currents at each node add up to nothing (Kirchhoff). Nodes joined without resistance are one node, a fixed
voltage apart; the others are eliminated one by one: a node with the conductances g1, g2, … to its neighbours gives way
to conductances g1 g2 / (g1 + g2 + …) between every two of them (star to mesh), and a driving current into it is shared
out among them by their conductances. All of it is arithmetic, exact in fractions.

EMFs and voltages are in one unit, here volts peak to peak; a negative one is of opposite polarity. All sources count
together, as if they gave one signal in step. Of outputs that run free of each other, set the EMF of all but one to
0: the impedance stays, and what stands there is the share of the one.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from heapq import heapify, heappop, heappush
from itertools import combinations
from typing import Final, TypeAlias

Node: TypeAlias = Hashable
"""The name of a node: a text, or a tuple such as (device, port, contact)."""

GROUND: Final = "ground"
"""The node that all voltages are told against."""

_ZERO: Final = Fraction(0)


class ShortCircuitError(ValueError):
    """An ideal output that is shorted, or that meets another of a different voltage: no finite current solves it.

    `one` and `other` are the nodes between which two voltages were demanded.
    """

    def __init__(self, one: Node, other: Node) -> None:
        """Say between which nodes, and what to do."""
        super().__init__(f"{one} and {other} are held at two voltages at once: give the outputs their impedance")
        self.one = one
        self.other = other


@dataclass(frozen=True, slots=True)
class Source:
    """An output: its open-circuit voltage in Vpp behind its impedance in ohms, from `return_node` to `node`.

    ValueError if the impedance is below zero. An EMF of 0 is an output that is switched off and still connected.
    """

    node: Node
    emf: Fraction | int
    impedance: Fraction | int
    return_node: Node = GROUND

    def __post_init__(self) -> None:
        """Refuse an impedance below zero."""
        _check(self.impedance)


@dataclass(frozen=True, slots=True)
class Resistor:
    """A resistance in ohms between two nodes: a load, a lead, a part of a pad; 0 joins them.

    ValueError if it is below zero.
    """

    a: Node
    b: Node
    ohms: Fraction | int

    def __post_init__(self) -> None:
        """Refuse a resistance below zero."""
        _check(self.ohms)


Element: TypeAlias = Source | Resistor
_Branch: TypeAlias = tuple[Node, Node, Fraction, Fraction]
"""Two nodes, by how much the EMF puts the first above the second, and the resistance."""


def _check(ohms: Fraction | int) -> None:
    if ohms < 0:
        raise ValueError(f"a resistance of {ohms} ohm is below zero")


def balanced(hot: Node, cold: Node, emf: Fraction | int, impedance: Fraction | int) -> tuple[Source, Source]:
    """A balanced output: half the EMF in each of two polarities, each leg with half the impedance, both to ground.

    `emf` (Vpp) and `impedance` (ohms) are those between hot and cold. This is the output with two driven legs; one that
    floats, such as a transformer's, is `Source(hot, emf, impedance, return_node=cold)`.
    """
    half, ohms = Fraction(emf) / 2, Fraction(impedance) / 2
    return Source(hot, half, ohms), Source(cold, -half, ohms)


@dataclass(frozen=True, slots=True)
class Voltages:
    """What stands where in a network.

    `places` gives for each node its island, which is a part that no element joins to the others and which goes by the
    name of one of its nodes, and its voltage against that one.
    """

    places: Mapping[Node, tuple[Node, Fraction]]

    def at(self, node: Node) -> Fraction | None:
        """The voltage of a node against ground in Vpp; None if it floats or is no node of the network."""
        return self.between(node, GROUND)

    def between(self, hot: Node, cold: Node) -> Fraction | None:
        """The voltage from one node to another in Vpp, the differential value; None if nothing joins the two.

        A source that floats free of ground has a voltage between its own nodes and none against others. Islands
        without a source are at 0 V.
        """
        if hot not in self.places or cold not in self.places:
            return None
        (island, high), (other, low) = self.places[hot], self.places[cold]
        return high - low if island == other else None


def solve(elements: Iterable[Element]) -> Voltages:
    """Find what stands at every node that the elements name, exactly.

    Quick where the network is a tree or a ladder or has a few meshes: a chain of 300 nodes takes some 30 ms.
    Raises ShortCircuitError for an ideal output that is shorted or meets another of a different voltage.
    """
    branches = [_branch(each) for each in elements]
    held = _held(branches)
    mesh: dict[Node, dict[Node, Fraction]] = {root: {} for root, _ in held.values()}
    drive = dict.fromkeys(mesh, _ZERO)
    for a, b, emf, ohms in branches:
        (one, above), (other, below) = held[a], held[b]
        if one != other:
            conductance = 1 / ohms
            _join(mesh, one, other, conductance)
            current = conductance * (emf - above + below)
            drive[one] += current
            drive[other] -= current
    potentials = _eliminated(mesh, drive)
    driven = {GROUND, *(potentials[held[a][0]][0] for a, _, emf, _ in branches if emf)}
    places: dict[Node, tuple[Node, Fraction]] = {}
    for node, (root, above) in held.items():
        island, volts = potentials[root]
        places[node] = (island, volts + above) if island in driven else (GROUND, _ZERO)
    return Voltages(places)


def _branch(element: Element) -> _Branch:
    if isinstance(element, Source):
        return element.node, element.return_node, Fraction(element.emf), Fraction(element.impedance)
    return element.a, element.b, _ZERO, Fraction(element.ohms)


def _held(branches: Sequence[_Branch]) -> dict[Node, tuple[Node, Fraction]]:
    """For each node the one that stands for all that it is joined to without resistance, and its voltage above it."""
    ties: dict[Node, list[tuple[Node, Fraction]]] = {GROUND: []}
    for a, b, emf, ohms in branches:
        of_a, of_b = ties.setdefault(a, []), ties.setdefault(b, [])
        if not ohms:
            of_a.append((b, -emf))
            of_b.append((a, emf))
    held: dict[Node, tuple[Node, Fraction]] = {}
    for root in ties:  # ground is the first, and so stands for its own
        if root in held:
            continue
        held[root] = root, _ZERO
        waiting = [root]
        while waiting:
            node = waiting.pop()
            for other, step in ties[node]:
                above = held[node][1] + step
                if other not in held:
                    held[other] = root, above
                    waiting.append(other)
                elif held[other][1] != above:
                    raise ShortCircuitError(node, other)
    return held


def _join(mesh: dict[Node, dict[Node, Fraction]], one: Node, other: Node, conductance: Fraction) -> None:
    """Add a conductance between two nodes."""
    total = mesh[one].get(other, _ZERO) + conductance
    mesh[one][other] = mesh[other][one] = total


def _eliminated(
    mesh: dict[Node, dict[Node, Fraction]], drive: dict[Node, Fraction]
) -> dict[Node, tuple[Node, Fraction]]:
    """The island of each node and its voltage there, ground being kept to the last; both arguments are used up.

    First come nodes with few neighbours, since few conductances arise there, and of these the ones that least has been
    added up in, since fractions grow with every step: of a chain every second node, then every second of the others.
    """
    ages = dict.fromkeys(mesh, 0)
    nodes = list(mesh)
    order = {node: index for index, node in enumerate(nodes)}

    def rank(node: Node) -> tuple[int, int, int]:
        return max(len(mesh[node]) - (GROUND in mesh[node]), 2), ages[node], order[node]

    queue = [rank(node) for node in nodes if node != GROUND]
    heapify(queue)
    gone: list[tuple[Node, dict[Node, Fraction], Fraction]] = []
    while queue:
        ranked = heappop(queue)
        node = nodes[ranked[-1]]
        if node not in mesh or ranked != rank(node):
            continue  # its rank has changed, and it stands in the queue again
        around, current = mesh.pop(node), drive[node]
        total = sum(around.values(), _ZERO)
        shares = {one: conductance / total for one, conductance in around.items()}
        gone.append((node, shares, current / total if around else _ZERO))
        for one, other in combinations(around, 2):
            _join(mesh, one, other, around[one] * shares[other])
        for one, share in shares.items():
            del mesh[one][node]
            if current:
                drive[one] += current * share
            if one != GROUND:
                ages[one] = max(ages[one], ages[node] + 1)
                heappush(queue, rank(one))
    found: dict[Node, tuple[Node, Fraction]] = {GROUND: (GROUND, _ZERO)}
    for node, shares, alone in reversed(gone):
        island = next((found[one][0] for one in shares), node)  # the last of an island is what it is told against
        volts = alone
        for one, share in shares.items():
            if found[one][1]:
                volts += share * found[one][1]
        found[node] = island, volts
    return found

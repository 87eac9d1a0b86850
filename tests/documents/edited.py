"""Random texts for edits, in every style that people write, and edits of them done on plain values for comparison."""

import copy
from dataclasses import dataclass
from typing import Any

from hypothesis import strategies as st

from synclint.documents.nodes import MappingNode, Node, SequenceNode, find
from synclint.documents.yamltree import parse
from synclint.findings import AddItem, AddKey, Edit, Path, Place, Remove, RenameKey, SetValue

FILE = "some.setup.yaml"

KEYS = ("rate", "of", "able", "timecode", "at", "cam_1..cam_8")
BLOCK = "|"
"""A text of two lines; in braces it is another."""
SCALARS = (BLOCK, "25", "own clock", "23.976 NDF", "'it''s'", '"a # b, {c}"', "", "true", "07:00", "über", "0..4 V")
NEW_VALUES = ("29.97 DF", "never", "[cam_a, cam_b]", "{at: 12:20, do: jam}", '"x: y"', "[]", "null")
NEW_KEYS = ("auto_off", "stamped")


def plain(node: Node | None) -> Any:
    """What a tree says, in lists and dictionaries; a scalar is its text with whether it is quoted."""
    if isinstance(node, MappingNode):
        return {key: plain(entry.value) for key, entry in node.entries.items()}
    if isinstance(node, SequenceNode):
        return [plain(item) for item in node.items]
    return (node.text, node.plain) if node is not None else ("", True)


def said(text: str) -> Any:
    return plain(parse(text, FILE).root)


def place(text: str, *path: str | int) -> Place:
    """The place of the node at a path of a text."""
    root = parse(text, FILE).root
    assert root is not None
    node = find(root, path)
    assert node is not None
    return Place(path, node.span)


# --- texts -----------------------------------------------------------------------------------------------------


@dataclass
class _Writer:
    """Writes a value as YAML, in styles that are drawn."""

    draw: Any
    comments: int = 0

    def comment(self) -> str:
        if self.draw(st.integers(0, 4)):
            return ""
        self.comments += 1
        return f"  # note {self.comments}"

    def flow(self, value: Any, indent: int) -> str:
        """A value in braces or brackets, on one line or on several with comments between."""
        if not isinstance(value, dict | list):
            return "'text'" if value == BLOCK else str(value)
        if isinstance(value, dict):
            pieces = [f"{key}: {self.flow(each, indent)}" for key, each in value.items()]
        else:
            pieces = [self.flow(each, indent) or "null" for each in value]
        pad = self.draw(st.sampled_from(["", " "])) if pieces else ""
        written = pad
        for index, piece in enumerate(pieces):
            last = index == len(pieces) - 1
            broken = not self.draw(st.integers(0, 3))
            comma = "" if last and self.draw(st.integers(0, 3)) else ","
            written += f"{piece}{comma}"
            written += f"{self.comment()}\n{' ' * (indent + 6)}" if broken else pad if last else " "
        return f"{{{written}}}" if isinstance(value, dict) else f"[{written}]"

    def block(self, value: Any, indent: int) -> list[str]:
        """The lines of a mapping or a list; nothing is put before the first one but its indent."""
        lines: list[str] = []
        entries = value.items() if isinstance(value, dict) else ((None, each) for each in value)
        for key, each in entries:
            head = " " * indent + ("-" if key is None else f"{key}:")
            if not self.draw(st.integers(0, 5)) and lines:
                self.comments += 1
                lines.append(f"{' ' * indent}# note {self.comments}")
            if each == BLOCK:
                lines += [f"{head} |", f"{' ' * (indent + 2)}one line", f"{' ' * (indent + 2)}# and another"]
            elif not isinstance(each, dict | list) or not each or self.draw(st.booleans()):
                written = self.flow(each, indent)
                lines.append(f"{head}{' ' if written else ''}{written}{self.comment()}")
            elif key is None and self.draw(st.booleans()):
                below = self.block(each, indent + 2)
                lines += [f"{head} {below[0].lstrip(' ')}", *below[1:]]
            else:
                same = isinstance(each, list) and key is not None and self.draw(st.booleans())
                lines += [f"{head}{self.comment()}", *self.block(each, indent + (0 if same else 2))]
        return lines


_VALUES: st.SearchStrategy[Any] = st.recursive(
    st.sampled_from(SCALARS),
    lambda below: st.lists(below, max_size=3) | st.dictionaries(st.sampled_from(KEYS), below, max_size=3),
    max_leaves=10,
)


@st.composite
def texts(draw: Any) -> str:
    """A mapping as text, its lines ended in one way, and its last one ended or not."""
    value = draw(st.dictionaries(st.sampled_from(KEYS), _VALUES, min_size=1, max_size=4))
    lines = _Writer(draw).block(value, 0)
    end: str = draw(st.sampled_from(["", "\n"]))
    line_break: str = draw(st.sampled_from(["\n", "\r\n"]))
    return ("\n".join(lines) + end).replace("\n", line_break)


# --- edits -----------------------------------------------------------------------------------------------------


def paths(value: Any, path: Path = ()) -> list[Path]:
    """The paths of all nodes of a plain value."""
    below = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(each for step, inner in below for each in paths(inner, (*path, step)))]


def _at(value: Any, path: Path) -> Any:
    for step in path:
        value = value[step]
    return value


@st.composite
def settings(draw: Any, text: str) -> SetValue:
    """Another value for some node of a text."""
    path = draw(st.sampled_from(paths(said(text))[1:]))
    return SetValue(place(text, *path), draw(st.sampled_from(NEW_VALUES)))


@st.composite
def edits(draw: Any, text: str) -> Edit:
    """An edit that can be asked for at some node of a text."""
    value = said(text)
    path = draw(st.sampled_from(paths(value)))
    here, node = place(text, *path), _at(value, path)
    new = draw(st.sampled_from(NEW_VALUES))
    choices: list[Edit] = []
    if path:
        choices.append(SetValue(here, new))
        if not (len(path) == 1 and len(value) == 1):
            choices.append(Remove(here))
        if isinstance(path[-1], str):
            choices.append(RenameKey(here, draw(st.sampled_from(NEW_KEYS))))
    if isinstance(node, dict):
        choices.append(AddKey(here, draw(st.sampled_from(NEW_KEYS)), new))
        lists = [key for key, each in node.items() if not isinstance(each, dict)]
        choices.append(AddItem(here, new, draw(st.sampled_from([*NEW_KEYS, *lists]))))
    else:
        choices.append(AddItem(here, new))
    return draw(st.sampled_from(choices))  # type: ignore[no-any-return]  # what `draw` gives has no type


def done(value: Any, edit: Edit) -> Any:
    """A plain value with an edit made to it."""
    value = copy.deepcopy(value)
    path = edit.place.path
    holder: Any = _at(value, path[:-1])
    last = path[-1] if path else None
    match edit:
        case SetValue():
            holder[last] = said(edit.value)
        case Remove():
            del holder[last]
        case RenameKey():
            holder[edit.name] = holder.pop(last)
        case AddKey():
            _at(value, path)[edit.key] = said(edit.value)
        case AddItem(key=""):
            holder[last] = _with_item(holder[last], edit.value)
        case AddItem():
            mapping = _at(value, path)
            mapping[edit.key] = _with_item(mapping.get(edit.key, []), edit.value)
    return value


def _with_item(old: Any, item: str) -> list[Any]:
    if isinstance(old, tuple):
        old = [] if old == ("", True) else [old]
    return [*old, said(item)]

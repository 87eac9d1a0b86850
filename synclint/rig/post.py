"""What post was told of single devices: which fixed offsets it takes out, and where it finds a song's timecode."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from synclint.documents.nodes import MappingNode
from synclint.findings import Fact, RenameKey, unknown
from synclint.rig.days import device_keys, named
from synclint.rig.model import Device, Project
from synclint.rig.names import NameFormError, written_out
from synclint.rig.reading import Desk, Reader, no_edit
from synclint.trade.quantities import Offset, parse_offset


def with_what_post_was_told(desk: Desk, root: MappingNode, project: Project, devices: Mapping[str, Device]) -> Project:
    """The project with what stands under `post` by device, ranges written out; names of no device are told."""
    post = Reader(desk, root, desk.place(root)).below("project").below("post")
    return replace(
        project,
        post_corrects=_corrects(desk, post, devices),
        post_song_timecode_on=_song_on(desk, post, devices),
    )


def _corrects(desk: Desk, post: Reader, devices: Mapping[str, Device]) -> Fact[Mapping[str, Fact[Offset]]]:
    """What post subtracts of each device's labels."""
    node = post.node_at("corrects")
    if not isinstance(node, MappingNode):
        return unknown(post.place)
    told = Reader(desk, node, post.place)
    named_by = [(name, key) for name in node.entries for key in _keys(desk, node, name, devices)]
    found = {key: told.fact(name, read=parse_offset) for name, key in named_by}
    return Fact(found, told.place, text="{}")


def _keys(desk: Desk, node: MappingNode, name: str, devices: Mapping[str, Device]) -> Iterator[str]:
    """The devices that one key of a mapping names."""
    try:
        keys = written_out(name)
    except NameFormError:
        keys = (name,)
    if not desk.afford(len(keys), desk.place(node)):
        return
    for key in keys:
        if key not in devices:
            edit = RenameKey if key == name else no_edit
            desk.unknown_name(desk.key_place(node, name), "device", key, devices, edit=edit)
            return
        yield key


def _song_on(desk: Desk, post: Reader, devices: Mapping[str, Device]) -> Fact[tuple[str, ...]]:
    """The devices on which post finds a song's timecode."""
    node = post.node_at("song_timecode_on")
    if node is None:
        return unknown(post.place)
    return Fact(tuple(device_keys(desk, named(node), devices)), desk.place(node), text="[]")

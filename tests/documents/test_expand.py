"""The files that the words of a command line stand for."""

import os
from pathlib import Path

import pytest

from synclint.documents.reading import CannotReadError, Files, expand
from synclint.findings import Span


@pytest.fixture
def tree(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with documents and other files, as the current folder."""
    names = ["b.setup.yaml", "a.setup.yaml", "kits/small.kit.yaml", "kits/deep/x.kit.yaml", "day.log.yaml"]
    names += [
        "my.house.yaml",
        "old.yml",
        "notes.txt",
        "plain.yaml",
        "x.setup.yml",
        ".hidden/c.setup.yaml",
        "e/none.txt",
    ]
    for name in names:
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.touch()
    monkeypatch.chdir(tmp_path)
    return tmp_path


def paths(*names: str) -> tuple[str, ...]:
    return tuple(str(Path(name)) for name in names)


@pytest.mark.usefixtures("tree")
def test_a_folder_is_its_setups_and_kits() -> None:
    found = expand(["."])
    assert found.paths == paths("./a.setup.yaml", "./b.setup.yaml", "./kits/small.kit.yaml", "./kits/deep/x.kit.yaml")
    assert found.skipped == 7
    assert found.unnamed == paths("./old.yml", "./plain.yaml", "./x.setup.yml")


@pytest.mark.usefixtures("tree")
def test_a_file_is_taken_whatever_its_name() -> None:
    names = ("plain.yaml", "-", "missing", "", "x" * 5000, "a\x00b")
    assert expand(list(names)) == Files(names)


@pytest.mark.usefixtures("tree")
def test_nothing_is_taken_twice() -> None:
    found = expand(["kits/small.kit.yaml", "kits", "./kits/deep/x.kit.yaml", "-", "-"])
    assert found.paths == ("kits/small.kit.yaml", *paths("kits/deep/x.kit.yaml"), "-")


@pytest.mark.usefixtures("tree")
def test_a_folder_named_by_itself_may_be_hidden() -> None:
    assert expand([".hidden"]).paths == paths(".hidden/c.setup.yaml")


@pytest.mark.usefixtures("tree")
def test_a_folder_without_any() -> None:
    with pytest.raises(CannotReadError, match="no setup or kit in it") as caught:
        expand(["kits", "e"])
    assert caught.value.finding.at.span == Span("e", 1, 1, 1, 1)
    assert ".setup.yaml" in caught.value.finding.fix_sentence


def test_a_folder_with_only_misnamed_ones(tmp_path: Path) -> None:
    (tmp_path / "x.setup.yml").touch()
    with pytest.raises(CannotReadError) as caught:
        expand([str(tmp_path)])
    assert str(tmp_path / "x.setup.yml") in caught.value.finding.fix_sentence


def test_links_to_folders_are_not_followed(tree: Path) -> None:
    (tree / "kits" / "up").symlink_to(tree, target_is_directory=True)
    (tree / "kits" / "linked.kit.yaml").symlink_to(tree / "kits" / "small.kit.yaml")
    assert expand(["kits"]).paths == paths("kits/linked.kit.yaml", "kits/small.kit.yaml", "kits/deep/x.kit.yaml")


def test_a_folder_that_may_not_be_read_is_not_passed_over(tree: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    scan = os.scandir

    def refuse(path: str) -> object:
        if path.endswith("deep"):
            raise PermissionError(13, "Permission denied", path)
        return scan(path)

    monkeypatch.setattr(os, "scandir", refuse)
    with pytest.raises(CannotReadError, match="not permitted") as caught:
        expand([str(tree)])
    assert caught.value.finding.at.span.file.endswith("deep")

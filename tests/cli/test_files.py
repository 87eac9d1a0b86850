"""The files that the words of a command line stand for, and those that no report may overwrite."""

import os
from pathlib import Path

import pytest

from synclint.cli.files import chosen, is_precious

NAMES = ["b.setup.yaml", "a.setup.yaml", "kits/small.kit.yaml", "kits/deep/x.kit.yml", "day.log.yaml", "notes.txt"]
NAMES += ["plain.yaml", ".seen.setup.yaml", ".hidden/c.setup.yaml", "e/none.txt"]


@pytest.fixture
def tree(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with documents and other files, as the current folder."""
    for name in NAMES:
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.touch()
    monkeypatch.chdir(tmp_path)
    return tmp_path


# --- reading ---------------------------------------------------------------------------------------------------


@pytest.mark.usefixtures("tree")
def test_a_folder_is_its_setups_and_kits() -> None:
    found = chosen(["."])
    assert found.files == ["a.setup.yaml", "b.setup.yaml", "kits/small.kit.yaml", "kits/deep/x.kit.yml"]
    assert (found.skipped, found.problems) == (4, [])


@pytest.mark.usefixtures("tree")
def test_a_file_is_taken_whatever_its_name() -> None:
    names = ["plain.yaml", "-", "missing", "", "x" * 5000, "a\x00b"]
    assert chosen(names).files == names


def test_nothing_is_taken_twice(tree: Path) -> None:
    (tree / "soft").symlink_to(tree / "a.setup.yaml")
    (tree / "hard").hardlink_to(tree / "a.setup.yaml")
    names = ["a.setup.yaml", "soft", "hard", ".//a.setup.yaml", str(tree / "a.setup.yaml"), "-", "-", "no", "./no"]
    assert chosen(names).files == ["a.setup.yaml", "-", "no"]
    assert chosen(["kits/small.kit.yaml", "kits", "kits/"]).files == ["kits/small.kit.yaml", "kits/deep/x.kit.yml"]


@pytest.mark.usefixtures("tree")
def test_what_is_left_out_is_counted_once() -> None:
    assert chosen(["e", ".", "./e"]).skipped == 4
    assert chosen([".", "plain.yaml"]).skipped == 3  # a file that is named is not left out


@pytest.mark.usefixtures("tree")
def test_a_folder_named_by_itself_may_be_hidden() -> None:
    assert chosen([".hidden"]).files == [".hidden/c.setup.yaml"]


@pytest.mark.usefixtures("tree")
def test_a_folder_without_any_is_told_and_the_rest_is_taken() -> None:
    found = chosen(["e", "kits"])
    assert found.files == ["kits/small.kit.yaml", "kits/deep/x.kit.yml"]
    assert found.problems == ["there is no setup and no kit in 'e'; their names end in .setup.yaml and .kit.yaml"]


def test_a_folder_with_only_misnamed_ones(tmp_path: Path) -> None:
    (tmp_path / "x.yaml").touch()
    (problem,) = chosen([str(tmp_path)]).problems
    assert problem.endswith(f"; {str(tmp_path / 'x.yaml')!r} does not")


def test_links_to_folders_are_not_followed(tree: Path) -> None:
    (tree / "kits" / "up").symlink_to(tree, target_is_directory=True)
    (tree / "kits" / "linked.kit.yaml").symlink_to(tree / "a.setup.yaml")
    found = chosen(["kits"]).files
    assert found == ["kits/linked.kit.yaml", "kits/small.kit.yaml", "kits/deep/x.kit.yml"]


@pytest.mark.usefixtures("tree")
def test_a_folder_that_may_not_be_read_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    scan = os.scandir

    def refuse(path: str) -> object:
        if path.endswith(("deep", "e")):
            raise PermissionError(13, "Permission denied", path)
        return scan(path)

    monkeypatch.setattr(os, "scandir", refuse)
    found = chosen(["kits", "e"])
    assert found.files == ["kits/small.kit.yaml"]
    assert found.problems == [f"cannot look into {folder!r}: Permission denied" for folder in ("kits/deep", "e")]


# --- writing ---------------------------------------------------------------------------------------------------


def test_what_a_report_must_not_overwrite(tree: Path) -> None:
    (tree / "out.json").touch()
    (tree / "read.yaml").touch()
    (tree / "to_kit.json").symlink_to("kits/small.kit.yaml")
    (tree / "to_read.json").symlink_to("read.yaml")
    (tree / "same.json").hardlink_to(tree / "read.yaml")
    precious = ["a.setup.yaml", "day.log.yaml", "kits/deep/x.kit.yml", "to_kit.json", "to_read.json", "same.json"]
    for name in (*precious, "read.yaml", "./read.yaml", str(tree / "read.yaml")):
        assert is_precious(name, ["b.setup.yaml", "read.yaml"]), name
    for name in ("out.json", "plain.yaml", "new.setup.yaml", "kits", "/dev/null", "a\x00b", "", "no/where"):
        assert not is_precious(name, ["b.setup.yaml", "read.yaml", "-", "missing"]), name

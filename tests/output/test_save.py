"""The one door to the disk: all files or none, and nothing of anybody's is written over unasked."""

from pathlib import Path

import pytest

from gasketcut.errors import OutputError
from gasketcut.output.save import save, save_one

FILES = {"a.dxf": b"one", "b.svg": b"two", "c.pdf": b"three"}


def held(folder):
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def failing(monkeypatch, method, name, error):
    """Let that method of a path fail for the file of that name, and only there."""
    sound = getattr(Path, method)

    def fail(self, *given, **named):
        if self.name.startswith(name):
            raise error
        return sound(self, *given, **named)

    monkeypatch.setattr(Path, method, fail)


def test_the_files_are_there_and_their_paths_are_returned(tmp_path):
    folder = tmp_path / "new" / "out"

    assert save(FILES, folder) == tuple(folder / name for name in FILES)
    assert held(folder) == FILES


def test_a_folder_may_be_named_in_words(tmp_path):
    assert save(FILES, str(tmp_path)) == tuple(tmp_path / name for name in FILES)


def test_what_is_there_already_with_the_same_bytes_counts_as_written(tmp_path):
    save(FILES, tmp_path)
    before = (tmp_path / "a.dxf").stat().st_mtime_ns

    assert save(FILES, tmp_path) == tuple(tmp_path / name for name in FILES)
    assert (tmp_path / "a.dxf").stat().st_mtime_ns == before


def test_another_file_of_that_name_stays_and_none_of_the_others_comes(tmp_path):
    (tmp_path / "c.pdf").write_bytes(b"mine")
    with pytest.raises(OutputError, match=r"c\.pdf exists and is different; add --replace"):
        save(FILES, tmp_path)

    assert held(tmp_path) == {"c.pdf": b"mine"}


def test_replace_writes_over_it(tmp_path):
    (tmp_path / "c.pdf").write_bytes(b"mine, and longer than what comes")
    save(FILES, tmp_path, replace=True)

    assert held(tmp_path) == FILES


@pytest.mark.parametrize("replace", [False, True])
def test_where_a_folder_has_the_name_nothing_is_written(tmp_path, replace):
    (tmp_path / "c.pdf").mkdir()
    with pytest.raises(OutputError, match=r"c\.pdf is a folder"):
        save(FILES, tmp_path, replace=replace)

    assert [file.name for file in tmp_path.iterdir()] == ["c.pdf"]


@pytest.mark.parametrize(("method", "name"), [("open", "b.svg"), ("replace", "a.dxf"), ("replace", "c.pdf")])
def test_what_fails_half_way_leaves_nothing_behind(tmp_path, monkeypatch, method, name):
    failing(monkeypatch, method, name, OSError(28, "No space left on device"))
    with pytest.raises(OutputError, match="No space left on device"):
        save(FILES, tmp_path / "new" / "out")

    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("method", "name"), [("open", "b.svg"), ("replace", "a.dxf")])
def test_a_folder_that_was_there_stays_with_what_is_in_it(tmp_path, monkeypatch, method, name):
    (tmp_path / "notes.txt").write_bytes(b"mine")
    (tmp_path / "b.svg").write_bytes(b"old")
    failing(monkeypatch, method, name, OSError(28, "No space left on device"))
    with pytest.raises(OutputError):
        save(FILES, tmp_path, replace=True)
    monkeypatch.undo()

    assert held(tmp_path) == {"notes.txt": b"mine", "b.svg": b"old"}


def test_a_person_who_stops_it_leaves_nothing_behind_and_it_stops(tmp_path, monkeypatch):
    failing(monkeypatch, "open", "c.pdf", KeyboardInterrupt())
    with pytest.raises(KeyboardInterrupt):
        save(FILES, tmp_path / "out")

    assert list(tmp_path.iterdir()) == []


def test_no_file_has_its_name_before_all_are_written(tmp_path, monkeypatch):
    seen = []
    sound = Path.open

    def look(self, *given, **named):
        seen.append({file.name for file in tmp_path.iterdir()} & set(FILES))
        return sound(self, *given, **named)

    monkeypatch.setattr(Path, "open", look)
    save(FILES, tmp_path)

    assert seen == [set()] * 3


@pytest.mark.parametrize("name", ["../a.dxf", "in/a.dxf", "in\\a.dxf", "C:a.dxf", "a\0.dxf", "", ".", ".."])
def test_a_name_that_leaves_the_folder_is_refused_before_anything_is_made(tmp_path, name):
    with pytest.raises(OutputError, match="no plain file name"):
        save({**FILES, name: b""}, tmp_path / "out")

    assert list(tmp_path.iterdir()) == []


def test_two_names_that_some_file_systems_take_for_one_are_refused(tmp_path):
    with pytest.raises(OutputError, match=r"A\.dxf: two things would get this name \(a\.dxf is the other\)"):
        save({**FILES, "A.dxf": b"four"}, tmp_path / "out")

    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_made_is_named(tmp_path):
    (tmp_path / "out").write_bytes(b"a file")
    with pytest.raises(OutputError, match=r"out/deeper: cannot make this folder"):
        save(FILES, tmp_path / "out" / "deeper")

    assert held(tmp_path) == {"out": b"a file"}


def test_one_file_alone(tmp_path):
    file = tmp_path / "new" / "a.dxf"
    save_one(b"one", file)
    with pytest.raises(OutputError, match="exists and is different"):
        save_one(b"two", file)
    assert file.read_bytes() == b"one"
    save_one(b"two", file, replace=True)
    assert file.read_bytes() == b"two"


def test_a_file_that_was_replaced_already_is_not_taken_away(tmp_path, monkeypatch):
    (tmp_path / "b.svg").write_bytes(b"old")
    failing(monkeypatch, "replace", "c.pdf", OSError(28, "No space left on device"))
    with pytest.raises(OutputError):
        save(FILES, tmp_path, replace=True)

    assert held(tmp_path) == {"b.svg": FILES["b.svg"]}

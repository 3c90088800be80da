"""The one door to the disk: files that appear all at once or not at all."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from pathlib import Path

from gasketcut.errors import OutputError

_ENDING = ".unfinished"
_INSTEAD = "add --replace to write over it, or name another folder"


def save(files: Mapping[str, bytes], folder: str | Path, *, replace: bool = False) -> tuple[Path, ...]:
    """Write the files into the folder; return their paths. Of no files nothing is made, not even the folder.

    Raise `OutputError` as `save_at` does, and for a name that leaves the folder; then nothing new is left behind.
    """
    path = Path(folder)
    for name in files:
        _refuse_outside(name, path)
    return save_at({path / name: data for name, data in files.items()}, replace=replace)


def save_one(data: bytes, file: Path, *, replace: bool = False) -> None:
    """One file as a whole or not at all."""
    save({file.name: data}, file.parent, replace=replace)


def save_at(files: Mapping[Path, bytes], *, replace: bool = False, changes: Collection[Path] = ()) -> tuple[Path, ...]:
    """Write what one command makes, in whatever folders; return the paths.

    They are written under temporary names and renamed together at the end. A file that is there already with the very
    same bytes counts as written; any other needs `replace`, or to be one that the command `changes`.
    Raise `OutputError` for two names that some file systems take for one, for a folder of that name, and for what
    cannot be written; then nothing new is left behind.
    """
    _refuse_alike(files)
    made: list[Path] = []
    staged: list[tuple[Path, Path]] = []
    new: list[Path] = []
    try:
        for folder in dict.fromkeys(file.parent for file in files):
            made = [*_made(folder), *made]
        for file, data in files.items():
            _stage(file, data, staged, replace=replace or file in changes)
        for temporary, target in staged:
            is_new = not target.exists()
            temporary.replace(target)
            if is_new:
                new.append(target)
    except BaseException as error:
        for file in (*(temporary for temporary, _ in staged), *new):
            file.unlink(missing_ok=True)
        _remove(made)
        if isinstance(error, OSError) and not isinstance(error, OutputError):
            raise OutputError(f"{staged[-1][1].parent if staged else ''}: {error.strerror or error}") from error
        raise
    return tuple(files)


def refuse_existing(files: Iterable[Path]) -> None:
    """Before a person is asked for what goes into them; raise `OutputError` for one that is there."""
    for file in files:
        if file.exists():
            raise OutputError(f"{file} exists; {_INSTEAD}")


def _refuse_outside(name: str, folder: Path) -> None:
    if not name or name in (".", "..") or any(mark in name for mark in ("/", "\\", "\0", ":")):
        raise OutputError(f"{name!r} is no plain file name, so it might leave {folder}; nothing was written")


def _refuse_alike(files: Iterable[Path]) -> None:
    seen: dict[tuple[Path, str], Path] = {}
    for file in files:
        if (other := seen.setdefault((file.parent, file.name.casefold()), file)) != file:
            raise OutputError(
                f"{file}: two things would get this name ({other.name} is the other); give the part or the stock "
                "another name"
            )


def _made(path: Path) -> list[Path]:
    """The folder, and what of it had to be made, innermost first."""
    try:
        missing = [folder for folder in (path, *path.parents) if not folder.exists()]
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(f"{path}: cannot make this folder: {error.strerror or error}") from error
    return missing


def _stage(target: Path, data: bytes, staged: list[tuple[Path, Path]], *, replace: bool) -> None:
    temporary = target.with_name(target.name + _ENDING)
    try:
        if target.is_dir():
            raise OutputError(f"{target} is a folder, so no file can have this name; nothing was written")
        if target.is_file() and not replace:
            if target.read_bytes() == data:
                return
            raise OutputError(f"{target} exists and is different; {_INSTEAD}")
        staged.append((temporary, target))
        with temporary.open("wb") as file:
            file.write(data)
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        raise OutputError(f"{target}: cannot be written: {error.strerror or error}; nothing was kept") from error


def _remove(made: list[Path]) -> None:
    for folder in made:
        try:
            folder.rmdir()
        except OSError:  # somebody else put something in it
            return

"""The one door to the disk: files that appear all at once or not at all."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from gasketcut.errors import OutputError

_ENDING = ".unfinished"


def save(files: Mapping[str, bytes], folder: str | Path, *, replace: bool = False) -> tuple[Path, ...]:
    """Write the files into the folder; return their paths. Of no files nothing is made, not even the folder.

    They are written under temporary names and renamed together at the end. A file that is there already with the very
    same bytes counts as written; any other needs `replace`. Raise `OutputError` for a name that leaves the folder, for
    two names that some file systems take for one, for a folder of that name, and for what cannot be written; then
    nothing new is left behind.
    """
    if not files:
        return ()
    path = Path(folder)
    for name in files:
        _refuse_outside(name, path)
    _refuse_alike(files, path)
    made = _made(path)
    staged: list[tuple[Path, Path]] = []
    new: list[Path] = []
    try:
        for name, data in files.items():
            _stage(path / name, data, staged, replace=replace)
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
            raise OutputError(f"{path}: {error.strerror or error}") from error
        raise
    return tuple(path / name for name in files)


def save_one(data: bytes, file: Path, *, replace: bool = False) -> None:
    """One file as a whole or not at all."""
    save({file.name: data}, file.parent, replace=replace)


def _refuse_outside(name: str, folder: Path) -> None:
    if not name or name in (".", "..") or any(mark in name for mark in ("/", "\\", "\0", ":")):
        raise OutputError(f"{name!r} is no plain file name, so it might leave {folder}; nothing was written")


def _refuse_alike(files: Mapping[str, bytes], folder: Path) -> None:
    seen: dict[str, str] = {}
    for name in files:
        if (other := seen.setdefault(name.casefold(), name)) != name:
            raise OutputError(
                f"{folder / name}: two things would get this name ({other} is the other); give the part or the stock "
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
            raise OutputError(
                f"{target} exists and is different; add --replace to write over it, or name another folder"
            )
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

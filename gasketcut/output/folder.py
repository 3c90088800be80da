"""Files that appear all at once or not at all."""

from __future__ import annotations

from pathlib import Path
from types import TracebackType

from gasketcut.errors import OutputError

UNSAFE = "-DOES-NOT-FIT"
"""In the name of a file that was written in spite of a stop."""

_ENDING = ".unfinished"


class Folder:
    """An output folder. Files are staged under temporary names and renamed together at the end.

    Use it as a context: left with an exception, it removes what it staged (and the folder, if it made it).
    A file that is there already with the very same bytes counts as written; any other needs `replace`.
    """

    def __init__(self, path: Path, *, replace: bool = False) -> None:
        self.path, self._replace = path, replace
        self._staged: list[tuple[Path, Path]] = []
        self._given: dict[str, bytes] = {}
        self._made: list[Path] = []

    def __enter__(self) -> Folder:
        try:
            missing = [folder for folder in (self.path, *self.path.parents) if not folder.exists()]
            self.path.mkdir(parents=True, exist_ok=True)
            self._made = missing
        except OSError as error:
            raise OutputError(f"{self.path}: cannot make this folder: {error.strerror or error}") from error
        return self

    def stage(self, name: str, data: bytes) -> None:
        """Write the bytes under a temporary name; raise `OutputError` if that fails or would replace another file."""
        target = self.path / name
        temporary = self.path / (name + _ENDING)
        if self._given.setdefault(name.casefold(), data) != data:
            raise OutputError(f"{target}: two things would get this name; give the part or the stock another name")
        try:
            if target.is_file() and not self._replace:
                if target.read_bytes() == data:
                    return
                raise OutputError(
                    f"{target} exists and is different; add --replace to write over it, or name another folder"
                )
            self._staged.append((temporary, target))
            with temporary.open("wb") as file:
                file.write(data)
        except OSError as error:
            if isinstance(error, OutputError):
                raise
            raise OutputError(f"{target}: cannot be written: {error.strerror or error}; nothing was kept") from error

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if kind is not None:
            self._abandon()
            return
        try:
            for temporary, target in self._staged:
                temporary.replace(target)
        except OSError as failure:
            self._abandon()
            raise OutputError(f"{self.path}: {failure.strerror or failure}") from failure

    def _abandon(self) -> None:
        for temporary, _ in self._staged:
            temporary.unlink(missing_ok=True)
        for folder in self._made:
            try:
                folder.rmdir()
            except OSError:  # somebody else put something in it
                return


def write_one(data: bytes, file: Path, *, replace: bool = False) -> None:
    """Write one file as a whole or not at all; raise `OutputError` if a different one is there without `replace`."""
    with Folder(file.parent, replace=replace) as folder:
        folder.stage(file.name, data)

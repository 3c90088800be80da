"""Many received drawings looked through, each by itself: what cannot be read is said, and the rest goes on.

Few and small ones are done here; from some seconds of work on, processes share them. They are spawned, so that it is
the same on every system.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from multiprocessing import active_children, get_context
from pathlib import Path

from gasketcut.errors import GasketError
from gasketcut.outside import shown
from gasketcut.received.faults.flaw import NotReadableError
from gasketcut.received.inspection import Inspection
from gasketcut.received.summary import Summary, summary_of

Inspect = Callable[..., Inspection]
"""How one file is looked through; it has to be picklable, such as a `partial` of `inspect`."""

_FILE_S, _BYTE_S = 0.01, 0.8e-6
"""What a file and a byte of it take, measured; only whether processes are worth their start goes by it."""

_WORTH_S = 6.0
"""A process works for 1.4 s until it is ready to look; below this two of them win nothing that anybody notices."""

_MOST = 60  # processes: Windows waits for no more


@dataclass(frozen=True, slots=True)
class Looked:
    """A file, and what was found or `why` it could not be looked through: `not-dxf` if it is none, else `not-read`."""

    file: Path
    summary: Summary | None
    kind: str = ""
    why: str = ""

    @property
    def verdict(self) -> str:
        """Of what cannot be read it has to be asked."""
        return self.summary.verdict if self.summary else "ask"


def drawings_in(paths: Iterable[Path], *, deep: bool = False) -> tuple[Path, ...]:
    """Files as they are, folders as the DXF files in them, in the order of their names; no file twice.

    deep : folders within folders too. What is hidden (its name begins with a point) is left alone. Raise `GasketError`
           for a folder without any.
    """
    found: dict[Path, Path] = {}
    for path in paths:
        if not path.is_dir():
            files = [path]
        elif not (files := _in_folder(path, deep)):
            more = "" if deep else "; --recursive looks into the folders within it too"
            raise GasketError(f"{shown(str(path))}: holds no DXF file{more}")
        for file in files:
            found.setdefault(file.absolute(), file)
    return tuple(found.values())


def look_through(
    files: Sequence[Path], look: Inspect, on_done: Callable[[int], None] = lambda _: None
) -> Iterator[Looked]:
    """Each file as it was found, in the order of `files`; `on_done` is called with how many are."""
    workers = min(_processors(), len(files), _MOST)
    if workers > 1 and _seconds(files) > _WORTH_S:
        yield from _shared(files, look, on_done, workers)
        return
    for number, file in enumerate(files, 1):
        yield _looked(look, file)
        on_done(number)


def _in_folder(folder: Path, deep: bool) -> list[Path]:
    """What cannot be read is among them, so that it is said."""
    found: list[Path] = []
    for at, folders, names in os.walk(folder, onerror=lambda error: found.append(Path(error.filename))):
        folders[:] = sorted(name for name in folders if deep and not name.startswith("."))
        files = [Path(at, name) for name in names if name.lower().endswith(".dxf") and not name.startswith(".")]
        files = [file for file in files if file.is_file() or not file.exists()]  # a link to nothing, too; no pipe
        found.extend(sorted(files, key=lambda one: (one.name.casefold(), one.name)))
    return found


def _looked(look: Inspect, file: Path) -> Looked:
    try:
        return Looked(file, summary_of(look(file)))
    except NotReadableError as error:
        return Looked(file, None, "not-dxf", str(error))
    except GasketError as error:
        return Looked(file, None, "not-read", str(error).removeprefix(f"{shown(str(file))}: "))
    except MemoryError:
        return Looked(file, None, "not-read", "takes more memory than there is")
    except Exception as error:  # a fault of ours in one drawing must not cost the operator the other forty-nine
        return Looked(file, None, "not-read", f"is too much for this program, whose fault it is: {error!r}")


def _shared(files: Sequence[Path], look: Inspect, on_done: Callable[[int], None], workers: int) -> Iterator[Looked]:
    """The largest first, so that none is left over at the end."""
    found: dict[int, Looked] = {}
    others, given = active_children(), 0
    with _pool(workers) as pool:
        try:
            order = sorted(range(len(files)), key=lambda number: -_bytes(files[number]))
            waiting = {pool.submit(_looked, look, files[number]): number for number in order}
            for future in as_completed(waiting):
                try:
                    found[waiting[future]] = future.result()
                except BrokenProcessPool:
                    break
                on_done(len(found))
                while given in found:
                    yield found[given]
                    given += 1
        except BaseException:  # Ctrl-C, or nobody wants the rest
            for child in active_children():
                if child not in others:
                    child.terminate()
            raise
    for number in range(given, len(files)):
        if number not in found:
            found[number] = _alone(look, files[number])
            on_done(len(found))
        yield found[number]


def _alone(look: Inspect, file: Path) -> Looked:
    """In a process of its own: one of them was ended from outside, and this file may be the reason."""
    with _pool(1) as pool:
        try:
            return pool.submit(_looked, look, file).result()
        except BrokenProcessPool:
            return Looked(file, None, "not-read", "ended the look at it, perhaps as there was too little memory")


def _pool(workers: int) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(workers, get_context("spawn"), signal.signal, (signal.SIGINT, signal.SIG_IGN))


def _processors() -> int:
    """That this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _seconds(files: Sequence[Path]) -> float:
    return sum(_FILE_S + _BYTE_S * _bytes(file) for file in files)


def _bytes(file: Path) -> int:
    try:
        return file.stat().st_size
    except (OSError, ValueError):
        return 0

"""The library's search, as a process of its own: it can be ended at once, and its panics end nothing else.

Reads one strip from standard input and writes a line for each layout that is found, all as JSON:
{items: [{shape, count, turns}], height, apart, seconds, seed} in, {width, items: [[number, turn, x, y]]} out.
It is run by its file name and imports nothing of ours.
"""

from __future__ import annotations

import json
import os
import sys
import threading
from importlib import import_module
from typing import Any

_POLL = 0.05  # s


def main() -> None:
    """Exit code 0 if the search came to its end."""
    asked, library = json.load(sys.stdin), import_module("spyrrow")
    items = [
        library.Item(str(number), [(x, y) for x, y in one["shape"]], one["count"], one["turns"])
        for number, one in enumerate(asked["items"])
    ]
    instance = library.StripPackingInstance("sheet", asked["height"], items)
    config = library.StripPackingConfig(
        early_termination=True,
        min_items_separation=asked["apart"],
        total_computation_time=asked["seconds"],
        seed=asked["seed"],
    )
    queue, ended = library.ProgressQueue(), list[Any]()
    run = threading.Thread(target=lambda: ended.append(instance.solve(config, queue)), daemon=True)
    run.start()
    kinds = library.ReportType
    while run.is_alive():
        run.join(_POLL)
        for kind, solution in queue.drain():
            if kind == kinds.ExplFeas or kind == kinds.CmprFeas:  # noqa: PLR1714 - they have no hash
                _tell(solution)
    for solution in ended:
        _tell(solution)
    sys.stdout.flush()
    os._exit(0 if ended else 1)  # without waiting for the library's own threads


def _tell(solution: Any) -> None:
    items = [[int(item.id), item.rotation, *item.translation] for item in solution.placed_items]
    sys.stdout.write(json.dumps({"width": solution.width, "items": items}) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()

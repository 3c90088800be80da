"""Speed as ratios, measured in one run on one machine: `python tests/benchmarks/ratios.py`. Nothing is asserted.

Each figure is the least of several runs, the two sides of a ratio taken in turn, so that a busy moment hits both.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).parent
BARE = "import click\n@click.command()\ndef main():\n    'Bare.'\nmain(['--help'])"


def seconds(words: list[str], folder: Path) -> float:
    start = time.perf_counter()
    subprocess.run(words, cwd=folder, check=True, capture_output=True)
    return time.perf_counter() - start


def ratio(ours: list[str], bare: list[str], runs: int = 9) -> str:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        pairs = [(seconds(ours, folder), seconds(bare, folder)) for _ in range(runs)]
    best, base = min(pair[0] for pair in pairs), min(pair[1] for pair in pairs)
    return f"{best / base:.2f}  ({best * 1000:.0f} ms to {base * 1000:.0f} ms)"


def many_parts(count: int) -> None:
    """Time per part of the first and last hundred of `count` parts in one process, and the memory they took."""
    from gasketcut import parse_job
    from gasketcut.checks.check import check
    from gasketcut.job.reading.reader import read_job
    from gasketcut.output.dxf import write_dxf
    from gasketcut.output.proof.dxf import prove_dxf
    from gasketcut.output.svg import write_svg
    from gasketcut.pages.template import write_template
    from gasketcut.parts.part import outline_of
    from tests.making import built

    source = read_job("demo").source
    text = source.read_text(encoding="utf-8") if source else ""
    job = parse_job(text, source)
    batches: list[float] = []
    memory: list[int] = []
    start = time.perf_counter()
    parts = built(job)
    spec = {one.name: one for one in job.parts}
    for number in range(count):
        if number % len(parts) == 0:
            parts = built(job)
        part = parts[number % len(parts)]
        tuple(check(part, spec[part.name], profiles, signing_off=False))
        outline = outline_of(part)
        prove_dxf(write_dxf(part, outline), part, outline, "mm")
        write_svg(part, outline)
        write_template(part, outline, job.title, profiles.papers.paper("a4"), profiles.punches)
        if (number + 1) % 100 == 0:
            batches.append((time.perf_counter() - start) / 100)
            memory.append(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
            start = time.perf_counter()
    first, last = batches[0] * 1000, batches[-1] * 1000
    print(f"{count} parts: first hundred {first:.1f} ms a part, last {last:.1f} ms: ratio {last / first:.2f}")
    print(f"  memory {memory[0] / 1024:.0f} MB after the first hundred, {memory[-1] / 1024:.0f} MB after the last")


def tracing() -> None:
    """A wavy outline of n vertices to arcs: seconds, and the growth from 1,000 to 10,000 vertices."""
    import numpy as np

    from gasketcut.shape.arcs import trace

    taken = {}
    for count in (1_000, 10_000):
        turn = np.linspace(0, 2 * np.pi, count, endpoint=False)
        reach = 40 + 3 * np.cos(5 * turn) + np.random.default_rng(1).normal(0, 0.0003, count)
        ring = np.column_stack([reach * np.cos(turn), reach * np.sin(turn)])
        start = time.perf_counter()
        trace(ring)
        taken[count] = time.perf_counter() - start
    print(f"tracing 10,000 vertices: {taken[10_000]:.2f} s; {taken[10_000] / taken[1_000]:.1f} times 1,000 vertices")


def main() -> None:
    python = sys.executable
    print("--help to a bare click program:", ratio([python, "-m", "gasketcut", "--help"], [python, "-c", BARE]))
    demo = [python, "-m", "gasketcut", "make", "demo", "--out", "out", "--replace"]
    print("demo job to the same written by hand:", ratio(demo, [python, str(HERE / "by_hand.py"), "hand"], runs=5))
    many_parts(1000)
    tracing()


if __name__ == "__main__":
    main()

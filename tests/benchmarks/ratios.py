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


def demo_text() -> tuple[str, Path | None]:
    """The shipped example and where it lies."""
    from gasketcut import read_job

    source = read_job("demo").source
    return (source.read_text(encoding="utf-8") if source else ""), source


def many_parts(count: int) -> None:
    """Time per part of the first and last hundred of `count` parts in one process, and the memory they took."""
    from gasketcut import evaluate, parse_job
    from gasketcut.output.dxf import write_dxf
    from gasketcut.output.proof.dxf import prove_dxf
    from gasketcut.output.svg import write_svg
    from gasketcut.pages.template import write_template
    from gasketcut.profile.profiles import Profiles

    job = parse_job(*demo_text())
    profiles = Profiles()
    paper = profiles.papers.paper("a4")
    batches: list[float] = []
    memory: list[int] = []
    start = time.perf_counter()
    parts = tuple(evaluate(job, profiles).parts.values())
    for number in range(count):
        if number % len(parts) == 0:
            parts = tuple(evaluate(job, profiles).parts.values())
        result = parts[number % len(parts)]
        part, outline = result.part, result.outline
        prove_dxf(write_dxf(part, outline), part, outline, "mm")
        write_svg(part, outline)
        write_template(result, job.title, paper)
        if (number + 1) % 100 == 0:
            batches.append((time.perf_counter() - start) / 100)
            memory.append(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
            start = time.perf_counter()
    first, last = batches[0] * 1000, batches[-1] * 1000
    print(f"{count} parts: first hundred {first:.1f} ms a part, last {last:.1f} ms: ratio {last / first:.2f}")
    print(f"  memory {memory[0] / 1024:.0f} MB after the first hundred, {memory[-1] / 1024:.0f} MB after the last")


def after_a_change(runs: int = 9) -> None:
    """The demo evaluated with an SVG of each part: anew, and where one part changed and the rest is known already."""
    from gasketcut import Evaluation, Job, evaluate, parse_job
    from gasketcut.output.svg import write_svg
    from gasketcut.profile.profiles import Profiles

    text, source = demo_text()
    changed = text.replace("ring = 4.5", "ring = 5.5")
    if changed == text:
        raise SystemExit("the demo has no line 'ring = 4.5' any more: change another one part here")
    before, after = parse_job(text, source), parse_job(changed, source)
    profiles = Profiles()

    def worked_out(job: Job, previous: Evaluation | None = None) -> Evaluation:
        evaluation = evaluate(job, profiles, previous=previous)
        evaluation.findings  # noqa: B018  all that is known of each part
        for result in evaluation.parts.values():
            write_svg(result.cut.cut, result.cut.path, result.cut.kerf, result.cut.tool)
        return evaluation

    known = worked_out(before)
    whole: list[float] = []
    one: list[float] = []
    for _ in range(runs):
        for taken, previous in ((whole, None), (one, known)):
            start = time.perf_counter()
            worked_out(after, previous)
            taken.append(time.perf_counter() - start)
    anew, again = min(whole) * 1000, min(one) * 1000
    print(f"one part changed to all anew: {again / anew:.2f}  ({again:.1f} ms to {anew:.1f} ms, warm, with SVGs)")


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
    after_a_change()
    many_parts(1000)
    tracing()


if __name__ == "__main__":
    main()

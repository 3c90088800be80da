"""Make `output_examples/` anew: `python -m tests.regenerate`. Look at the difference before you keep it."""

from __future__ import annotations

from pathlib import Path

from gasketcut import Options, make, read_job

EXAMPLES = Path(__file__).parent.parent / "output_examples"


def regenerate(folder: Path) -> None:
    """Write every example below the folder."""
    make(read_job("demo"), folder, Options(replace=True))


if __name__ == "__main__":
    regenerate(EXAMPLES)

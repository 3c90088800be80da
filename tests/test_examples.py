from pathlib import Path

from tests.regenerate import EXAMPLES, regenerate


def test_the_examples_are_what_the_program_makes(tmp_path: Path):
    regenerate(tmp_path)
    fresh = {path.relative_to(tmp_path): path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    kept = {path.relative_to(EXAMPLES): path.read_bytes() for path in EXAMPLES.rglob("*") if path.is_file()}
    kept.pop(Path("README.md"))

    assert sorted(fresh) == sorted(kept)
    assert [str(name) for name in sorted(fresh) if fresh[name] != kept[name]] == []

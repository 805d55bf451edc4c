"""What reading files costs: `pytest -m long -s tests/benchmarks/test_files.py`.

Reading, positions and checking against the vocabulary in multiples of a plain load by libyaml of
the same file; refusing a hostile file in multiples of loading a good exercise with all its parts.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from tests.benchmarks.ratios import least_s, show
from tests.scenario.test_hostile_kinds import HOSTILE
from trainer import paths
from trainer.errors import FileProblems
from trainer.scenario import compose, library, nodes
from trainer.scenario.fields import read
from trainer.scenario.reading import Reading
from trainer.scenario.vocabulary.tables import KINDS

pytestmark = pytest.mark.long

LOAD_LIMIT = 1.5
ROUNDS = 25
REFUSAL_LIMIT = 5.0
FILES = [
    (kind, path)
    for kind, folder in KINDS.items()
    for path in sorted((paths.built_in_scenarios() / folder).glob("*.yaml"))
]


@pytest.mark.skipif(not hasattr(yaml, "CSafeLoader"), reason="PyYAML without libyaml")
@pytest.mark.parametrize(("kind", "path"), FILES, ids=lambda one: getattr(one, "stem", one))
def test_reading_with_places_and_checks_costs_little_more_than_a_plain_load(
    kind: str, path: Path
) -> None:
    data = path.read_bytes()

    def ours() -> None:
        read(nodes.parse(data, path.name), kind, Reading())

    plain, read_s = least_s([lambda: yaml.load(data, Loader=yaml.CSafeLoader), ours], ROUNDS)
    ratio = read_s / plain
    show(f"{kind} {path.stem} / plain load", f"{ratio:.2f}", f"at most {LOAD_LIMIT}")
    assert ratio <= LOAD_LIMIT


@pytest.mark.parametrize("kind", HOSTILE)
def test_a_hostile_file_is_refused_in_a_few_loads_of_a_good_one(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "hostile.yaml"
    path.write_bytes(HOSTILE[kind]())
    found = library.default_library()

    def good() -> None:
        library.parsed.cache_clear()
        compose.load("straight-in", found)

    def refused() -> None:
        library.parsed.cache_clear()
        with pytest.raises(FileProblems):
            compose.load(path, found)

    good()
    # The hostile file's own parts are read as well, where it gets so far.
    refused_s, good_s = least_s([refused, good], 6)
    ratio = refused_s / good_s
    show(f"{kind} / a good exercise", f"{ratio:.2f}", f"at most {REFUSAL_LIMIT}")
    assert ratio <= REFUSAL_LIMIT

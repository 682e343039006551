"""Fuzz tests: no content file causes a traceback, and every finding has a position.

500 cases in an ordinary run, the same each time, divided among the kinds; 20,000 in `make soak`.
"""

import shutil
from pathlib import Path

import pytest
import yaml
from forty_paces.authoring.library import inspect_project
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from tests.faults.projects import BASE, FAULTS, TODAY, fault_text
from tests.soaking import cases

pytestmark = pytest.mark.soak

CASES = cases(500, soak=20_000)


def share(percent: int) -> settings:
    """Settings for a percentage of all cases."""
    return settings(
        max_examples=max(1, CASES * percent // 100),
        deadline=None,
        suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    )


FILES = sorted(path.relative_to(BASE).as_posix() for path in BASE.rglob("*.yml"))
TEXTS = {path: (BASE / path).read_text() for path in FILES}
FRAGMENTS = [
    *(
        "&a",
        "*a",
        "!!int",
        "<<: *a",
        "---",
        "...",
        "%YAML 1.1",
        "\t",
        "'",
        '"',
        "[",
        "]",
        "{",
        "}",
        "? ",
        ": ",
    ),
    *(
        "- ",
        "|",
        ">",
        "#",
        "@",
        "`",
        "\\",
        "\u00e9",
        "\u2028",
        "\ufeff",
        "\x07",
        "\u202e",
        "null",
        "~",
        "yes",
    ),
    *("1e999", "-1", "0x10", "1_0", "10:30", "2026-02-30", "{use: flashers}", "use: nothing", "source: []"),
    *(
        "and/or",
        "shall",
        "If ",
        "EGR",
        "10",
        "must not be not",
        "\u0130",
        "\u017f",
        "K",
        "(",
        ")",
        "...?!",
        "\u00ab",
    ),
]


@pytest.fixture(scope="module")
def project(tmp_path_factory) -> Path:
    made = tmp_path_factory.mktemp("fuzz") / "project"
    shutil.copytree(BASE, made)
    return made


def survives(project: Path, path: str, content: bytes) -> None:
    """Inspect the base project with one file replaced, and verify the format of every finding."""
    file = project / path
    try:
        file.write_bytes(content)
        inspection = inspect_project(project, TODAY)
        lines = content.count(b"\n") + content.count(b"\r") + 2
        for finding in inspection.findings:
            assert finding.place.path.startswith("content/")
            assert finding.place.line >= 1
            assert finding.place.column >= 1
            if finding.place.path == path:
                assert finding.place.line <= lines
            assert finding.wrong.strip()
            assert finding.fix.strip()
            assert "\n" not in finding.wrong
            assert "Traceback" not in str(finding)
        assert (inspection.library is None) == bool(inspection.faults)
    finally:
        file.write_text(TEXTS[path])


@st.composite
def mutated_texts(draw) -> tuple[str, str]:
    """A base file with a few pieces removed, duplicated, swapped or inserted."""
    path = draw(st.sampled_from(FILES))
    text = TEXTS[path]
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        end = min(len(text), start + draw(st.integers(0, 40)))
        put = draw(st.one_of(st.sampled_from(FRAGMENTS), st.text(max_size=12), st.just(text[start:end] * 2)))
        text = text[:start] + put + text[end:]
    return path, text


@st.composite
def mutated_lines(draw) -> tuple[str, str]:
    """A base file with lines moved, duplicated, deleted or re-indented."""
    path = draw(st.sampled_from(FILES))
    lines = TEXTS[path].split("\n")
    for _ in range(draw(st.integers(1, 3))):
        i = draw(st.integers(0, len(lines) - 1))
        change = draw(st.sampled_from(["delete", "double", "swap", "indent", "outdent"]))
        j = draw(st.integers(0, len(lines) - 1))
        if change == "delete" and len(lines) > 1:
            del lines[i]
        elif change == "double":
            lines.insert(j, lines[i])
        elif change == "swap":
            lines[i], lines[j] = lines[j], lines[i]
        else:
            lines[i] = f"  {lines[i]}" if change == "indent" else lines[i].removeprefix("  ")
    return path, "\n".join(lines)


SCALARS = st.one_of(
    st.text(max_size=30), st.sampled_from(FRAGMENTS), st.integers(), st.floats(), st.booleans(), st.none()
)
TREES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=12,
)


@st.composite
def mutated_trees(draw) -> tuple[str, str]:
    """A well-formed base file with one arbitrary value replaced by something else."""
    path = draw(st.sampled_from(FILES))
    tree = yaml.load(TEXTS[path], Loader=yaml.BaseLoader)
    node, steps = tree, draw(st.integers(1, 6))
    for step in range(steps):
        keys = list(node) if isinstance(node, dict) else list(range(len(node)))
        if not keys:
            break
        key = draw(st.sampled_from(keys))
        if step == steps - 1 or not isinstance(node[key], dict | list):
            node[key] = draw(TREES)
            break
        node = node[key]
    return path, yaml.safe_dump(tree, allow_unicode=True)


@share(30)
@given(case=mutated_texts())
def test_no_text_brings_a_traceback(project, case):
    path, text = case
    survives(project, path, text.encode("utf-8", "surrogatepass"))


@share(18)
@given(case=mutated_lines())
def test_no_order_of_lines_brings_a_traceback(project, case):
    path, text = case
    survives(project, path, text.encode())


@share(30)
@given(case=mutated_trees())
def test_no_tree_brings_a_traceback(project, case):
    path, text = case
    survives(project, path, text.encode())


@share(6)
@given(path=st.sampled_from(FILES), content=st.binary(max_size=400))
@example(path=FILES[0], content=b"\x80")
@example(path=FILES[0], content=b"a: \xed\xa0\x80")
def test_no_bytes_bring_a_traceback(project, path, content):
    survives(project, path, content)


@share(8)
@given(path=st.sampled_from(FILES), text=st.text(max_size=300))
def test_no_characters_bring_a_traceback(project, path, text):
    survives(project, path, text.encode("utf-8", "surrogatepass"))


@share(8)
@given(first=st.sampled_from(FAULTS), path=st.sampled_from(FILES))
def test_no_file_in_the_place_of_another_brings_a_traceback(project, first, path):
    survives(project, path, fault_text(first).encode())

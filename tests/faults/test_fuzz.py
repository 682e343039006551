"""Fuzz tests: no content file causes a traceback; every finding has a position and prints no control byte.

500 cases in an ordinary run, the same each time, divided among the kinds; 20,000 in `make soak`, each within
two seconds of processor time. What is accepted is shown by every output, one in twelve in an ordinary run,
and nothing in it is live that is not in the base project.
"""

from __future__ import annotations

import contextlib
import re
import shutil
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from forty_paces.authoring.findings import is_unseen
from forty_paces.authoring.library import Library, inspect_project
from forty_paces.drawing.symbols import NAMES
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from tests.faults.projects import BASE, FAULTS, TODAY, fault_text
from tests.outputs.live_markup import live, outputs
from tests.soaking import SOAK, TooLong, cases, processor_limit

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
    *("<script>x()</script>", "</script><img src=x onerror=x()>", "<b onclick=x()>", "[a](javascript:x())"),
    *("<iframe srcdoc=x>", "{: onclick=x() }", "{{7*7}}", "<!--", "`<i>`", "&lt;script&gt;", "</style>"),
]
MOST_PROCESSOR_S = 2.0
COUNTED: Counter[str] = Counter()


@pytest.fixture(scope="module")
def project(tmp_path_factory) -> Path:
    made = tmp_path_factory.mktemp("fuzz") / "project"
    shutil.copytree(BASE, made)
    return made


@pytest.fixture(scope="module", autouse=True)
def counts() -> Iterator[None]:
    yield
    print("\ncontent files:", dict(sorted(COUNTED.items())))


class BasePages:
    """What is live in the outputs of the base project; its scripts and styles are not read again."""

    def __init__(self) -> None:
        library = inspect_project(BASE, TODAY, symbols=NAMES).library
        assert library is not None
        self.html = dict(outputs(library))
        self.blocks = re.findall(r"(?s)<(?:script|style)\b.*?</(?:script|style)>", self.html["cab.html"])
        self.live = {name: live(html) for name, html in self.html.items()}
        self.in_pages = set().union(*(found for name, found in self.live.items() if name.endswith(".md")))
        assert len(self.blocks) >= 5

    def shows_nothing_live(self, library: Library) -> None:
        for name, html in outputs(library):
            if html == self.html.get(name):
                continue
            rest, known = html, self.live.get(name, self.in_pages)
            for block in self.blocks if name == "cab.html" else ():
                if rest.count(block) == 1:
                    tag = "script" if block.startswith("<script") else "style"
                    rest = rest.replace(block, f"<{tag}></{tag}>")
            found = live(rest)
            assert set() == set(found) - set(known), name
            if name == "cab.html":
                for tag in ("script", "style", "meta", "link", "form"):
                    assert known[f"two {tag}"] == found[f"two {tag}"], tag


@pytest.fixture(scope="module")
def base_pages() -> BasePages:
    return BasePages()


def survives(project: Path, base_pages: BasePages, path: str, content: bytes) -> None:
    """Inspect the base project with one file replaced, verify every finding, and show what is accepted."""
    file = project / path
    try:
        file.write_bytes(content)
        with processor_limit(MOST_PROCESSOR_S) if SOAK else contextlib.nullcontext():
            inspection = inspect_project(project, TODAY, symbols=NAMES)
    except TooLong as fault:
        raise AssertionError(f"{path}: {fault}: {content!r}") from fault
    finally:
        file.write_text(TEXTS[path])
    COUNTED["tried"] += 1
    lines = content.count(b"\n") + content.count(b"\r") + 2
    for finding in inspection.findings:
        assert finding.place.path.startswith("content/")
        assert finding.place.line >= 1
        assert finding.place.column >= 1
        if finding.place.path == path:
            assert finding.place.line <= lines
        assert finding.wrong.strip()
        assert finding.fix.strip()
        printed = str(finding)
        assert "\n" not in finding.wrong
        assert "Traceback" not in printed
        assert [] == [one for one in printed if one != "\n" and is_unseen(one)], printed
    assert (inspection.library is None) == bool(inspection.faults)
    if inspection.library is None:
        COUNTED["refused"] += 1
        return
    COUNTED["accepted"] += 1
    if SOAK or COUNTED["accepted"] % 12 == 1:
        COUNTED["shown"] += 1
        base_pages.shows_nothing_live(inspection.library)


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
def test_no_text_brings_a_traceback(project, base_pages, case):
    path, text = case
    survives(project, base_pages, path, text.encode("utf-8", "surrogatepass"))


@share(18)
@given(case=mutated_lines())
def test_no_order_of_lines_brings_a_traceback(project, base_pages, case):
    path, text = case
    survives(project, base_pages, path, text.encode())


@share(30)
@given(case=mutated_trees())
def test_no_tree_brings_a_traceback(project, base_pages, case):
    path, text = case
    survives(project, base_pages, path, text.encode())


@share(6)
@given(path=st.sampled_from(FILES), content=st.binary(max_size=400))
@example(path=FILES[0], content=b"\x80")
@example(path=FILES[0], content=b"a: \xed\xa0\x80")
def test_no_bytes_bring_a_traceback(project, base_pages, path, content):
    survives(project, base_pages, path, content)


@share(8)
@given(path=st.sampled_from(FILES), text=st.text(max_size=300))
def test_no_characters_bring_a_traceback(project, base_pages, path, text):
    survives(project, base_pages, path, text.encode("utf-8", "surrogatepass"))


@share(8)
@given(first=st.sampled_from(FAULTS), path=st.sampled_from(FILES))
def test_no_file_in_the_place_of_another_brings_a_traceback(project, base_pages, first, path):
    survives(project, base_pages, path, fault_text(first).encode())

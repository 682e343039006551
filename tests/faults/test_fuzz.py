"""Fuzz tests: no content file causes a traceback; every finding has a position and prints no control byte.

500 cases in an ordinary run, the same each time, divided among the kinds; 20,000 in `make soak`, each within
two seconds of processor time. One in twelve of those that are accepted is shown by every output, and nothing
in it is live that is not in the base project.
"""

from __future__ import annotations

import contextlib
import random
import re
import shutil
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import yaml
from forty_paces.authoring.findings import is_unseen
from forty_paces.authoring.library import Library, inspect_project
from forty_paces.drawing.symbols import NAMES

from tests.faults.projects import BASE, FAULTS, TODAY, fault_text
from tests.outputs.live_markup import live, outputs
from tests.soaking import FIRST_SEED, SOAK, TooLong, cases, processor_limit

pytestmark = pytest.mark.soak

CASES = cases(500, soak=20_000)


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
SHOWN_OF_ACCEPTED = 12
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
    except (TooLong, Exception) as fault:
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
    if COUNTED["accepted"] % SHOWN_OF_ACCEPTED == 1:
        COUNTED["shown"] += 1
        base_pages.shows_nothing_live(inspection.library)


def characters(rng: random.Random, most: int) -> str:
    """Characters of any kind: half of them ASCII, the others from the whole of Unicode, surrogates too."""
    return "".join(
        chr(rng.randrange(128) if rng.random() < 0.5 else rng.randrange(0x110000))
        for _ in range(rng.randrange(most + 1))
    )


def mutated_text(rng: random.Random) -> tuple[str, bytes]:
    """A base file with a few pieces removed, duplicated, swapped or inserted."""
    path = rng.choice(FILES)
    text = TEXTS[path]
    for _ in range(rng.randint(1, 4)):
        start = rng.randint(0, len(text))
        end = min(len(text), start + rng.randint(0, 40))
        put = rng.choice((rng.choice(FRAGMENTS), characters(rng, 12), text[start:end] * 2))
        text = text[:start] + put + text[end:]
    return path, text.encode("utf-8", "surrogatepass")


def mutated_lines(rng: random.Random) -> tuple[str, bytes]:
    """A base file with lines moved, duplicated, deleted or re-indented."""
    path = rng.choice(FILES)
    lines = TEXTS[path].split("\n")
    for _ in range(rng.randint(1, 3)):
        i, j = rng.randrange(len(lines)), rng.randrange(len(lines))
        change = rng.choice(("delete", "double", "swap", "indent", "outdent"))
        if change == "delete" and len(lines) > 1:
            del lines[i]
        elif change == "double":
            lines.insert(j, lines[i])
        elif change == "swap":
            lines[i], lines[j] = lines[j], lines[i]
        else:
            lines[i] = f"  {lines[i]}" if change == "indent" else lines[i].removeprefix("  ")
    return path, "\n".join(lines).encode()


def tree(rng: random.Random, depth: int = 3) -> object:
    """Any value that YAML can write, a few levels deep."""
    kind = rng.randrange(9 if depth else 7)
    if kind == 7:
        return [tree(rng, depth - 1) for _ in range(rng.randrange(5))]
    if kind == 8:
        return {writable(rng, 8): tree(rng, depth - 1) for _ in range(rng.randrange(5))}
    scalars: tuple[object, ...] = (
        writable(rng, 30),
        rng.choice(FRAGMENTS),
        rng.randrange(-(10 ** rng.randrange(1, 30)), 10**9),
        rng.choice((rng.random() * 10 ** rng.randrange(-20, 300), float("inf"), float("nan"), -0.0)),
        rng.random() < 0.5,
        None,
        "",
    )
    return scalars[kind]


def writable(rng: random.Random, most: int) -> str:
    """Characters without surrogates, which a YAML writer refuses."""
    return "".join(one for one in characters(rng, most) if not "\ud800" <= one <= "\udfff")


def mutated_tree(rng: random.Random) -> tuple[str, bytes]:
    """A well-formed base file with one arbitrary value replaced by something else."""
    path = rng.choice(FILES)
    whole = yaml.load(TEXTS[path], Loader=yaml.BaseLoader)
    node, steps = whole, rng.randint(1, 6)
    for step in range(steps):
        keys = list(node) if isinstance(node, dict) else list(range(len(node)))
        if not keys:
            break
        key = rng.choice(keys)
        if step == steps - 1 or not isinstance(node[key], dict | list):
            node[key] = tree(rng)
            break
        node = node[key]
    return path, yaml.safe_dump(whole, allow_unicode=True).encode()


def any_bytes(rng: random.Random) -> tuple[str, bytes]:
    return rng.choice(FILES), rng.randbytes(rng.randrange(400))


def any_characters(rng: random.Random) -> tuple[str, bytes]:
    return rng.choice(FILES), characters(rng, 300).encode("utf-8", "surrogatepass")


def another_file(rng: random.Random) -> tuple[str, bytes]:
    """A file in the place of another."""
    return rng.choice(FILES), fault_text(rng.choice(FAULTS)).encode()


KINDS = {
    mutated_text: 30,
    mutated_lines: 18,
    mutated_tree: 30,
    any_bytes: 6,
    any_characters: 8,
    another_file: 8,
}
"""Each kind of mutation, and what percentage of the cases has it."""


@pytest.mark.parametrize("mutate", KINDS, ids=lambda mutate: mutate.__name__)
def test_no_content_file_brings_a_traceback(
    project: Path, base_pages: BasePages, mutate: Callable[[random.Random], tuple[str, bytes]]
) -> None:
    for number in range(FIRST_SEED, FIRST_SEED + CASES * KINDS[mutate] // 100):
        path, content = mutate(random.Random(f"{mutate.__name__} {number}"))
        survives(project, base_pages, path, content)


@pytest.mark.parametrize("content", [b"\x80", b"a: \xed\xa0\x80"])
def test_no_byte_outside_utf_8_brings_a_traceback(
    project: Path, base_pages: BasePages, content: bytes
) -> None:
    survives(project, base_pages, FILES[0], content)

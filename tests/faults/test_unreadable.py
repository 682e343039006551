"""Files that are not YAML text, or malicious: each gives one clear finding."""

import codecs
import os

import pytest
import yaml
from forty_paces.authoring.library import inspect_project
from forty_paces.authoring.sharing import MOST_NODES
from forty_paces.authoring.yaml_tree import DEEPEST, LARGEST_FILE_BYTES, parse_tree

from tests.faults.projects import BASE, FAULTS, TODAY, fault_text, inspected, messages, project_with

PROCEDURE = "content/procedures/engine-smoke.yml"
SAVE = "save it as UTF-8 without a byte order mark (in the editor: Save as, encoding UTF-8)"
TEXT = (BASE / PROCEDURE).read_text()


def only(inspection):
    (finding,) = inspection.findings
    return str(finding)


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32"])
def test_utf_16_and_utf_32_are_named_and_refused(encoding, tmp_path):
    expected = f"{PROCEDURE}:1:1: the file is saved as UTF-16 or UTF-32, not as UTF-8\n    fix: {SAVE}"
    assert expected == only(inspected(tmp_path, PROCEDURE, TEXT.encode(encoding)))


def test_a_byte_order_mark_is_refused(tmp_path):
    expected = f"{PROCEDURE}:1:1: the file begins with a byte order mark\n    fix: {SAVE}"
    assert expected == only(inspected(tmp_path, PROCEDURE, codecs.BOM_UTF8 + TEXT.encode()))


def test_latin_1_is_refused_at_the_first_byte_that_shows_it(tmp_path):
    raw = TEXT.replace("hood.", "h\u00f6\u00f6d.").encode("latin-1")
    expected = (
        f"{PROCEDURE}:15:27: the byte 0xf6 is not UTF-8; the file was saved in another encoding\n"
        f"    fix: {SAVE}"
    )
    assert expected == only(inspected(tmp_path, PROCEDURE, raw))


def test_a_binary_file_is_refused(tmp_path):
    expected = (
        f"{PROCEDURE}:2:1: the file holds NUL bytes: it is not a text file\n"
        "    fix: put back the text file, from a copy if need be"
    )
    assert expected == only(inspected(tmp_path, PROCEDURE, b"\x89PNG\r\n\x1a\x00\x00\x00\rIHDR"))


def test_an_empty_file_is_named(tmp_path):
    expected = f"{PROCEDURE}:1:1: the file is empty\n    fix: fill it in, or delete the file"
    assert expected == only(inspected(tmp_path, PROCEDURE, ""))


def test_fifty_megabytes_are_refused_by_their_size_unread(tmp_path):
    project = project_with(tmp_path, PROCEDURE, "")
    with (project / PROCEDURE).open("wb") as file:
        file.truncate(50_000_000)  # sparse: if it were read, its NUL bytes would be reported instead
    expected = (
        f"{PROCEDURE}:1:1: the file holds 50,000,000 bytes; {LARGEST_FILE_BYTES:,} is the most that is read\n"
        "    fix: split it, or take out what is not procedure text"
    )
    assert expected == only(inspect_project(project, TODAY))


@pytest.mark.parametrize("size", [LARGEST_FILE_BYTES, LARGEST_FILE_BYTES + 1])
def test_the_limit_of_size_is_exact(size, tmp_path):
    content = TEXT + "#" * (size - len(TEXT) - 1) + "\n"
    assert (size > LARGEST_FILE_BYTES) == bool(inspected(tmp_path, PROCEDURE, content).findings)


def test_a_bomb_of_aliases_is_refused_before_it_grows(tmp_path):
    lines = ["a0: &a0 [ha, ha]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 60)]
    findings = inspected(tmp_path, PROCEDURE, "\n".join(lines)).findings
    assert 60 + 59 * 9 == len(findings)
    assert str(findings[0]).startswith(f"{PROCEDURE}:1:5: the anchor &a0 marks text for use elsewhere\n")


def test_a_bomb_of_shared_passages_is_refused_while_it_grows(tmp_path):
    passages = ["shared:", "  p0: {id: p0, do: Look., why: It is hot., source: [practice]}"]
    passages += [
        f"  p{level}: {{{', '.join(f'k{i}: {{use: p{level - 1}}}' for i in range(400))}}}"
        for level in range(1, 4)
    ]
    project = project_with(tmp_path, "content/shared.yml", "\n".join(passages))
    (project / PROCEDURE).write_text(TEXT.replace("{use: flashers}", "{use: p3}"))
    wobble = (BASE / "content/procedures/wheel-wobble.yml").read_text()
    plain = "{id: f, do: Look., why: It is hot., source: [practice]}"
    (project / "content/procedures/wheel-wobble.yml").write_text(wobble.replace("{use: flashers}", plain))
    reported = messages(inspect_project(project, TODAY))
    assert f"the shared passages make this procedure longer than {MOST_NODES:,} values" in reported
    assert len(reported) < 10_000


def test_passages_within_passages_stop_at_a_depth(tmp_path):
    passages = "shared:\n" + "".join(f"  p{i}: {{use: p{i + 1}}}\n" for i in range(2000))
    project = project_with(tmp_path, "content/shared.yml", passages)
    (project / PROCEDURE).write_text(TEXT.replace("{use: flashers}", "{use: p0}"))
    reported = messages(inspect_project(project, TODAY))
    assert "shared passages stand within one another more than 4 deep" in reported


@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "? "])
@pytest.mark.parametrize("parser", [yaml.CSafeLoader, yaml.SafeLoader], ids=["compiled", "pure"])
def test_deep_nesting_is_refused(opening, parser):
    deep = "a:\n  " + opening * 5000
    tree, findings = parse_tree(deep, "deep.yml", parser)
    assert tree is None
    assert [finding.wrong for finding in findings] == ["the text is nested too deep to be content"]


@pytest.mark.parametrize(("levels", "refused"), [(DEEPEST - 1, False), (DEEPEST, False), (DEEPEST + 1, True)])
def test_the_limit_of_nesting_is_exact(levels, refused):
    text = "a: " + "[" * (levels - 1) + "]" * (levels - 1)
    assert refused == bool(parse_tree(text, "deep.yml")[1])


@pytest.mark.parametrize("name", [name for name in FAULTS if name.startswith("yaml-")])
def test_both_of_pyyamls_parsers_lead_to_the_same_message(name):
    compiled = parse_tree(fault_text(name), "f.yml", yaml.CSafeLoader)[1]
    pure = parse_tree(fault_text(name), "f.yml", yaml.SafeLoader)[1]
    assert [f.wrong for f in compiled] == [f.wrong for f in pure]
    assert [f.place.line for f in compiled] == [f.place.line for f in pure]


def test_windows_line_ends_change_nothing(tmp_path):
    assert "" == messages(inspected(tmp_path, PROCEDURE, TEXT.replace("\n", "\r\n")))


def test_a_folder_in_the_place_of_a_file_is_named(tmp_path):
    project = project_with(tmp_path, PROCEDURE, "")
    (project / PROCEDURE).unlink()
    (project / PROCEDURE).mkdir()
    expected = f"{PROCEDURE}:1:1: this is not a file\n    fix: put a YAML text file here"
    assert expected == only(inspect_project(project, TODAY))


def test_a_pipe_in_the_place_of_a_file_is_never_waited_for(tmp_path):
    project = project_with(tmp_path, PROCEDURE, "")
    (project / PROCEDURE).unlink()
    os.mkfifo(project / PROCEDURE)
    assert "this is not a file" in only(inspect_project(project, TODAY))


def test_a_link_to_nowhere_is_named(tmp_path):
    project = project_with(tmp_path, "content/shared.yml", "")
    (project / "content/shared.yml").unlink()
    (project / "content/shared.yml").symlink_to("gone.yml")
    assert "content/shared.yml:1:1: this is not a file" in messages(inspect_project(project, TODAY))


def test_a_file_that_is_not_named_yml_is_not_passed_over_in_silence(tmp_path):
    path = "content/procedures/brake-smoke.yaml"
    expected = (
        f'{path}:1:1: the name "brake-smoke.yaml" does not end in .yml, so the file is not read\n'
        "    fix: rename it to end in .yml, or move it out of this folder"
    )
    assert expected == only(inspected(tmp_path, path, TEXT))


def test_a_file_in_a_place_where_nothing_is_read_is_reported(tmp_path):
    project = project_with(tmp_path, "content/procedure/brake-smoke.yml", TEXT)
    (project / "content/glosary.yml").write_text("terms: []")
    (project / "content/procedures/notes.md").write_text("For ourselves.")
    assert messages(inspect_project(project, TODAY)) == (
        "content/glosary.yml:1:1: this file is not read\n"
        "    fix: name one of: content/after_event.yml, content/before_trip.yml, content/fleet.yml, "
        "content/glossary.yml, content/library.yml, content/shared.yml, content/sources.yml, "
        "content/ways_out.yml "
        "(closest: content/glossary.yml)\n"
        "content/procedure/brake-smoke.yml:1:1: this file is not read\n"
        "    fix: name one of: content/lessons/brake-smoke.yml, content/procedures/brake-smoke.yml, "
        "content/rules/brake-smoke.yml, content/scenarios/brake-smoke.yml, content/scenes/brake-smoke.yml "
        "(closest: content/procedures/brake-smoke.yml)\n"
    )


def test_a_file_name_that_is_no_text_is_shown_all_the_same(tmp_path):
    project = project_with(tmp_path, "content/shared.yml", (BASE / "content/shared.yml").read_text())
    odd = os.fsencode(project / "content/procedures") + b"/sm\xf6ke.yml"
    with open(odd, "wb") as file:  # noqa: PTH123 (a name that no Path can be made of portably)
        file.write(TEXT.encode())
    reported = messages(inspect_project(project, TODAY))
    assert "content/procedures/sm\\udcf6ke.yml:1:5:" in reported
    reported.encode("utf-8")


def test_missing_files_are_named(tmp_path):
    (tmp_path / "content").mkdir()
    assert messages(inspect_project(tmp_path, TODAY)) == (
        "content/fleet.yml:1:1: this file is missing\n"
        "    fix: add the file, with at least 'carrier: the carrier's name'\n"
        "content/procedures:1:1: there is no procedure\n"
        "    fix: begin with 'fortypaces new procedure ID'\n"
        "content/rules:1:1: there is no rule set, so no distance can be given\n"
        "    fix: add content/rules/ID.yml, and name it in content/fleet.yml as 'rules: ID'\n"
        "content/sources.yml:1:1: this file is missing\n"
        "    fix: add the file, with at least 'sources: a list of documents'\n"
    )

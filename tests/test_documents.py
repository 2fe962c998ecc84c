"""Do the documents say what is there, and is what they name there?"""

from __future__ import annotations

import ast
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from fastapi.routing import iter_route_contexts

from api.app import create_app
from api.settings import Settings
from scripts.check_tree import asked_for, lock_findings, own_files, trace_findings

ROOT = Path(__file__).resolve().parent.parent
DOCUMENTS = ["README.md", "DEVELOPERS.md", "CHANGELOG.md", "SECURITY.md"]
TOP_FOLDERS = ("planner", "api", "templates", "seed_data", "tests", "scripts")


def text_of(document: str) -> str:
    return (ROOT / document).read_text(encoding="utf-8")


def section(document: str, heading: str) -> str:
    return text_of(document).split(f"\n## {heading}\n")[1].split("\n## ")[0]


def blocks(document: str) -> str:
    return "\n".join(re.findall(r"^```\n(.*?)^```", text_of(document), re.MULTILINE | re.DOTALL))


def package_folders() -> set[str]:
    files = [*(ROOT / "planner").rglob("__init__.py"), *(ROOT / "api").rglob("__init__.py")]
    folders = {each.parent.relative_to(ROOT).as_posix() for each in files}
    return folders - {"planner", "api"}


def commands() -> list[str]:
    """Every call of the console script in a block of README or DEVELOPERS, without its path."""
    lines = "\n".join(map(blocks, ["README.md", "DEVELOPERS.md"])).splitlines()
    found = [re.match(r"(?:\.venv/bin/)?pacestick (.*)", line) for line in lines]
    return [match[1].split(" #")[0].strip() for match in found if match]


def named_scripts() -> set[str]:
    told = text_of("README.md") + text_of("DEVELOPERS.md")
    return set(re.findall(r"scripts/[\w-]+|\.ci/\w+", told))


def links() -> Iterator[tuple[str, str]]:
    for document in DOCUMENTS:
        for target in re.findall(r"\]\(([^)#]+)", text_of(document)):
            if "://" not in target:
                yield document, target


def paths_named() -> Iterator[str]:
    for document in DOCUMENTS:
        for word in re.findall(r"`([\w./\-]+)`", text_of(document)):
            is_pattern = re.search(r"[A-Z]{3}", word) or word.startswith("api/_")
            if word.split("/")[0] in TOP_FOLDERS and "/" in word and not is_pattern:
                yield word


def ways_to_look() -> list[str]:
    """The path of every route that answers GET."""
    routes = iter_route_contexts(create_app(Settings()).routes)
    return sorted({each.path for each in routes if "GET" in (each.methods or ())})


@cache
def addresses_in_tests() -> set[str]:
    """Every text of a test that begins with a slash; what is filled in shows as {}."""
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in (ROOT / "tests").rglob("*.py")]
    texts = {text for tree in trees for node in ast.walk(tree) for text in literal(node)}
    return {text.removeprefix("{}") for text in texts if text.removeprefix("{}").startswith("/")}


def literal(node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.JoinedStr):
        parts = [part.value if isinstance(part, ast.Constant) else "{}" for part in node.values]
        yield "".join(map(str, parts))


@cache
def help_for(*words: str) -> str:
    program = Path(sys.executable).with_name("pacestick")
    wide = {**os.environ, "COLUMNS": "300", "TERM": "dumb", "NO_COLOR": "1"}
    done = subprocess.run([program, *words, "--help"], capture_output=True, text=True, env=wide)
    assert done.returncode == 0, f"pacestick {' '.join(words)}: {done.stderr}"
    return done.stdout


def leading_verbs(command: str) -> list[str]:
    """The words of a command that name it: ``reckon march``, ``plan``."""
    first, *rest = command.split()
    nested = first == "reckon" and rest and not rest[0].startswith("-")
    return [first, rest[0]] if nested else [first]


def test_every_package_folder_is_named_for_developers() -> None:
    assert not {each for each in package_folders() if f"`{each}`" not in text_of("DEVELOPERS.md")}


def test_every_dependency_has_its_sentence_and_no_other() -> None:
    listed = dict(
        re.findall(r"^- `([\w\-]+)`: (.+)$", section("DEVELOPERS.md", "Why each dependency"), re.M)
    )
    assert set(listed) == {each.name for each in asked_for(ROOT)}
    assert all(len(sentence.split()) >= 3 for sentence in listed.values())


@pytest.mark.parametrize("name", sorted(named_scripts()))
def test_a_script_that_is_named_is_there(name: str) -> None:
    assert (ROOT / name).exists() or (ROOT / f"{name}.py").exists()


@pytest.mark.parametrize("path", ["scripts/run", "scripts/test", "scripts/lint", ".ci/run"])
def test_a_script_can_be_started_and_is_bash(path: str) -> None:
    assert os.access(ROOT / path, os.X_OK)
    assert subprocess.run(["bash", "-n", ROOT / path]).returncode == 0


@pytest.mark.parametrize("command", [each for each in commands() if not each.startswith("-")])
def test_a_command_of_the_documents_exists_with_its_options(command: str) -> None:
    shown = help_for(*leading_verbs(command))
    assert [word for word in re.findall(r"--[\w\-]+", command) if word not in shown] == []


@pytest.mark.parametrize(("document", "target"), sorted(set(links())))
def test_a_link_to_a_file_leads_somewhere(document: str, target: str) -> None:
    assert (ROOT / document).parent.joinpath(target).exists()


@pytest.mark.parametrize("path", sorted(set(paths_named())))
def test_a_path_that_is_named_exists(path: str) -> None:
    assert (ROOT / path).exists()


def test_the_changelog_begins_with_the_version_of_the_project() -> None:
    version = re.search(r'^version = "(.+)"', text_of("pyproject.toml"), re.MULTILINE)
    newest = re.search(r"^## (\S+)", text_of("CHANGELOG.md"), re.MULTILINE)
    assert version
    assert newest
    assert newest[1] == version[1]


@pytest.mark.parametrize("folder", sorted(package_folders()))
def test_every_package_folder_has_tests_of_its_own(folder: str) -> None:
    mirrored = ROOT / "tests" / re.sub("api/(routes|display)/pages", "api/pages", folder)
    assert list(mirrored.glob("test_*.py"))


def test_every_module_is_in_use() -> None:
    files = {dotted(path): path for path in module_files()}
    reached, waiting = set(), {"api.start"}
    while waiting:
        reached |= waiting
        found = {target for module in waiting for target in imported(files[module])}
        waiting = (found & set(files)) - reached
    idle = {module for module in set(files) - reached if files[module].name != "__init__.py"}
    assert "\n".join(sorted(idle)) == ""


def module_files() -> list[Path]:
    paths = [*(ROOT / "planner").rglob("*.py"), *(ROOT / "api").rglob("*.py")]
    return [each for each in paths if "migrations" not in each.parts]


def dotted(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def imported(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            yield from (f"{node.module}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value.split(":")[0]  # "api.app:create_app", for a server or import_module


def stems(pattern: str) -> list[str]:
    return sorted(path.stem for path in ROOT.glob(pattern))


def words_of(*folders: str) -> str:
    """All the text of some test folders; underscores, hyphens and spaces are one."""
    paths = [path for folder in folders for path in (ROOT / "tests" / folder).rglob("*.*")]
    texts = [path.read_text(encoding="utf-8") for path in paths if path.suffix in (".py", ".toml")]
    return as_words("\n".join(texts))


def as_words(text: str) -> str:
    return re.sub(r"[-_ ]", " ", text).lower()


RULES = "planner/rules/data"


@pytest.mark.parametrize("stem", stems(f"{RULES}/idioms/*") + stems(f"{RULES}/occasions/*"))
def test_every_idiom_and_occasion_stands_in_a_scenario(stem: str) -> None:
    assert as_words(stem) in words_of("scenarios")


@pytest.mark.parametrize("stem", stems("templates/print/*_*.html"))
def test_every_sheet_is_looked_at_by_a_test(stem: str) -> None:
    assert as_words(stem) in words_of("api/printing")


def test_every_address_that_shows_something_is_asked_for_by_a_test() -> None:
    assert "\n".join(path for path in ways_to_look() if not is_asked_for(path)) == ""


def is_asked_for(path: str) -> bool:
    pattern = re.compile(re.sub(r"\{[^}]+\}", "[^/]+", path) + r"/?(\?.*)?")
    return any(pattern.fullmatch(address) for address in addresses_in_tests())


def test_an_address_nobody_asks_for_would_be_found() -> None:
    assert is_asked_for("/healthz")
    assert not is_asked_for("/heal" + "th")


def test_no_file_carries_what_belongs_to_one_machine() -> None:
    assert list(trace_findings(ROOT)) == []


def test_the_lock_file_pins_what_is_asked_for() -> None:
    assert list(lock_findings(ROOT)) == []


@pytest.mark.parametrize(
    "line",
    [
        "see /ro" + "ot/notes.txt",
        "open('/tm" + "p/x')",
        "index" + "-url = somewhere",
        "# TO" + "DO later",
    ],
)
def test_a_trace_would_be_found(tmp_path: Path, line: str) -> None:
    (tmp_path / "file.py").write_text(f"fine\n{line}\n", encoding="utf-8")
    assert [each.split(": ")[0] for each in trace_findings(tmp_path)] == ["file.py:2"]


def test_a_lock_file_with_an_address_or_a_gap_would_be_found(tmp_path: Path) -> None:
    project = '[project]\ndependencies = ["kept>=2", "lost"]\n[dependency-groups]\n[build-system]\n'
    (tmp_path / "pyproject.toml").write_text(f"{project}requires = []\n", encoding="utf-8")
    lock = "--index https" + "://somewhere\nkept==1.0 \\\n    # via x (pyproject.toml)\n"
    lock += "gone==1.0\n    # via x (pyproject.toml)\n"
    (tmp_path / "requirements.lock").write_text(lock, encoding="utf-8")
    said = " ".join(lock_findings(tmp_path))
    wanted = ["holds an address", "lacks lost", "kept 1.0 is outside >=2", "pins gone"]
    assert [words for words in wanted if words not in said] == []


def test_the_search_for_traces_reads_the_whole_house() -> None:
    places = {path.relative_to(ROOT).as_posix() for path in own_files(ROOT)}
    assert {"README.md", "pyproject.toml", "planner/errors.py", "scripts/run"} <= places

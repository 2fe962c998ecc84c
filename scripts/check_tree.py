"""Is the lock file whole, and does any file carry what belongs to one machine only?

Three checks, none of which needs a network: no address in ``requirements.lock``; every requirement
of ``pyproject.toml`` pinned there within its bounds, and none that is no longer asked for; no path
of somebody's machine and no package index in any file of the checkout.
"""

from __future__ import annotations

import re
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent
LOCK = "requirements.lock"

# Which folders hold what was made or fetched, not what is ours?
NOT_OURS = {
    ".git", ".venv", ".tools", ".cache", "__pycache__", ".mypy_cache", ".ruff_cache",
    ".pytest_cache", ".hypothesis", "build", "dist", "demo-data", "test-output",
}  # fmt: skip
PICTURES_AND_FONTS = {".woff2", ".woff", ".ttf", ".otf", ".png", ".ico", ".mid", ".mxl", ".pdf"}

# What must no file hold? Each trace with the words of the finding.
TRACES = {
    r"(^|[^\w.\-/])/(work|root|tmp|farm|home)/[\w.]": "a path of one machine",
    r"(^|[^\w.])(C:\\Users\\|/Users/)": "a path of one machine",
    r"\b(index|find-links)[-_]url\s*[=:]|--(find-links|extra-index-url)\b": "a package index",
    r"(?i)\b(as requested|you asked for|todo|fixme|xxx)\b": "words of work in progress",
}


def main() -> int:
    """Print every finding, one a line; 1 if there are any."""
    findings = [*lock_findings(ROOT), *trace_findings(ROOT)]
    for finding in findings:
        print(finding, file=sys.stderr)
    return 1 if findings else 0


def lock_findings(root: Path) -> Iterator[str]:
    """What is wrong with the lock file, as far as can be told offline."""
    lock = (root / LOCK).read_text(encoding="utf-8")
    for number, line in enumerate(lock.splitlines(), start=1):
        if "://" in line:
            yield f"{LOCK}:{number}: holds an address; write the lock with --no-emit-index-url"
    pinned = pinned_versions(lock)
    asked = list(asked_for(root))
    for requirement in asked:
        yield from _unpinned(requirement, pinned)
    for name in sorted(direct_names(lock) - {canonicalize_name(each.name) for each in asked}):
        yield f"{LOCK}: pins {name}, which pyproject.toml no longer asks for; write the lock again"


def _unpinned(requirement: Requirement, pinned: dict[str, list[str]]) -> Iterator[str]:
    versions = pinned.get(canonicalize_name(requirement.name), [])
    if not versions:
        yield f"{LOCK}: lacks {requirement.name}; write the lock again"
    for version in versions:
        if not requirement.specifier.contains(version, prereleases=True):
            yield f"{LOCK}: {requirement.name} {version} is outside {requirement.specifier}"


def asked_for(root: Path) -> Iterator[Requirement]:
    """Every requirement of pyproject.toml: to run, to test, to build."""
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))
    groups = project["dependency-groups"].values()
    listed = [project["project"]["dependencies"], *groups, project["build-system"]["requires"]]
    for requirements in listed:
        yield from map(Requirement, requirements)


def pinned_versions(lock: str) -> dict[str, list[str]]:
    """Name and versions (more than one when they differ by Python version)."""
    pinned: dict[str, list[str]] = {}
    for name, version in re.findall(r"(?m)^([\w.\-]+)==([^\s;]+)", lock):
        pinned.setdefault(canonicalize_name(name), []).append(version)
    return pinned


def direct_names(lock: str) -> set[str]:
    """The packages that the lock says were asked for by pyproject.toml itself."""
    names, name = set(), ""
    for line in lock.splitlines():
        if line[:1] not in ("", " ", "#"):
            name = canonicalize_name(line.split("==")[0])
        elif "(pyproject.toml" in line:
            names.add(name)
    return names


def trace_findings(root: Path) -> Iterator[str]:
    """Every line in the checkout that only makes sense on one machine or in one moment."""
    for path in own_files(root):
        place = path.relative_to(root).as_posix()
        text = path.read_text(encoding="utf-8", errors="replace")
        for number, line in enumerate(text.splitlines(), start=1):
            for pattern, what in TRACES.items():
                if re.search(pattern, line):
                    yield f"{place}:{number}: holds {what}: {line.strip()[:80]}"


def own_files(root: Path) -> Iterator[Path]:
    """The checkout's own text files; not this one, which has to name what it looks for."""
    for path in sorted(root.rglob("*")):
        parts = path.relative_to(root).parts
        is_ours = NOT_OURS.isdisjoint(parts) and not parts[0].endswith(".egg-info")
        is_vendored = "static" in parts and path.suffix == ".js" and ".min" in path.name
        is_text = path.suffix not in PICTURES_AND_FONTS and path.name != LOCK
        if path.is_file() and is_ours and is_text and not is_vendored and path != Path(__file__):
            yield path


if __name__ == "__main__":
    sys.exit(main())

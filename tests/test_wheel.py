"""Is everything in the wheel that an installed Pacestick needs?

The wheel is built and installed into a bare environment outside the checkout, offline; only the
third-party packages are lent to it.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
TRAVELS_AS = {"templates": "api/_templates", "seed_data": "api/_seed_data"}

FIRST_PAGE = """
import sys
from pathlib import Path
from fastapi.testclient import TestClient
from api.app import create_app
from api.settings import Settings

settings = Settings(data_dir=Path("data"), demo=True)
here = ("127.0.0.1", 50000)
with TestClient(create_app(settings), base_url="http://localhost", client=here) as client:
    print(client.get("/").status_code, client.get("/healthz").status_code)
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    uv("build", "--wheel", "--offline", "--no-build-isolation", "--out-dir", folder, ROOT)
    return next(folder.glob("pacestick-*.whl"))


@pytest.fixture(scope="module")
def bare(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The programs' folder of an environment that holds the wheel and nothing else of ours."""
    folder = tmp_path_factory.mktemp("bare")
    uv("venv", "--offline", "--python", sys.executable, folder / "env")
    programs = folder / "env" / "bin"
    uv("pip", "install", "--offline", "--no-deps", "--python", programs / "python", wheel)
    lend_libraries(programs / "python")
    return programs


def uv(*words: object) -> None:
    environment = {key: value for key, value in os.environ.items() if key != "VIRTUAL_ENV"}
    command = [sys.executable, "-m", "uv", "--quiet", *map(str, words)]
    if words[0] == "build":
        command += ["--python", sys.executable]
    done = subprocess.run(command, env=environment, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


def lend_libraries(python: Path) -> None:
    # A path line inside a path file is not followed further, so the checkout stays out of reach.
    ask = "import sysconfig; print(sysconfig.get_path('purelib'))"
    site = subprocess.run([python, "-c", ask], capture_output=True, text=True, check=True)
    libraries = {sysconfig.get_path("purelib"), sysconfig.get_path("platlib")}
    Path(site.stdout.strip(), "libraries.pth").write_text("\n".join(libraries), encoding="utf-8")


def ask_bare(bare: Path, *words: str) -> str:
    done = subprocess.run(
        [bare / words[0], *words[1:]], cwd=bare.parent, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def tracked(folder: str) -> set[str]:
    files = (ROOT / folder).rglob("*")
    names = {each.relative_to(ROOT / folder).as_posix() for each in files if each.is_file()}
    return {name for name in names if "__pycache__" not in name}


@pytest.mark.parametrize("folder", sorted(TRAVELS_AS))
def test_every_file_of_the_folder_travels_in_the_wheel(wheel: Path, folder: str) -> None:
    inside = zipfile.ZipFile(wheel).namelist()
    below = f"{TRAVELS_AS[folder]}/"
    assert tracked(folder) == {name.removeprefix(below) for name in inside if below in name}
    assert tracked(folder)


def test_the_rule_book_travels_in_the_wheel(wheel: Path) -> None:
    inside = set(zipfile.ZipFile(wheel).namelist())
    rules = {f"planner/rules/data/{name}" for name in tracked("planner/rules/data")}
    assert rules
    assert rules <= inside


def test_nothing_else_lands_beside_the_two_packages(wheel: Path) -> None:
    tops = {name.split("/")[0] for name in zipfile.ZipFile(wheel).namelist()}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"api", "planner"}


def test_the_installed_package_is_the_wheel_and_not_the_checkout(bare: Path) -> None:
    place = ask_bare(bare, "python", "-c", "import api, planner; print(api.__file__)")
    assert place.startswith(str(bare.parent))


def test_the_installed_code_finds_its_templates_and_its_demo_band(bare: Path) -> None:
    question = (
        "from api.settings import seed_data_dir, templates_dir\n"
        "from api.templating import static_folder\n"
        "print(templates_dir().is_dir(), seed_data_dir().is_dir(), static_folder().is_dir())\n"
    )
    assert ask_bare(bare, "python", "-c", question) == "True True True\n"


def test_the_installed_command_reckons(bare: Path) -> None:
    words = ["reckon", "march", "--rate", "100", "--pace", "0.75", "--minutes", "10", "--json"]
    assert json.loads(ask_bare(bare, "pacestick", *words))["metres"] == pytest.approx(750)


def test_the_installed_service_shows_its_first_page(bare: Path) -> None:
    assert ask_bare(bare, "python", "-c", FIRST_PAGE) == "200 200\n"

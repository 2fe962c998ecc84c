"""The library as a whole: copied while it is in use, put back, and taken along as one zip."""

import io
import json
import sqlite3
import zipfile
from pathlib import Path

import pytest

from api.actions.demo import load_demo
from api.actions.library import export_library, import_library
from api.cli.main import main
from api.settings import Settings, seed_data_dir
from api.storage.database import Database
from api.storage.library import open_library
from planner.errors import RequestError


def library(folder: Path) -> Database:
    return open_library(Settings(data_dir=folder, database_url="").address_of_database, "Empty")


@pytest.fixture(scope="session")
def demo_copy(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The demo band as one exported zip."""
    database = library(tmp_path_factory.mktemp("whole"))
    with database.writing() as session:
        load_demo(session, database.home_band(), seed_data_dir())
    exported = export_library(database)
    database.close()
    return exported


@pytest.fixture
def full(tmp_path: Path, demo_copy: bytes) -> Path:
    """A folder with the demo band's library in it."""
    database = library(tmp_path / "full")
    import_library(database, demo_copy, replace=False)
    database.close()
    return tmp_path / "full"


def exported(folder: Path) -> bytes:
    database = library(folder)
    content = export_library(database)
    database.close()
    return content


def test_export_then_import_of_everything_changes_nothing(full: Path, demo_copy: bytes) -> None:
    assert exported(full) == demo_copy
    tables = json.loads(zipfile.ZipFile(io.BytesIO(demo_copy)).read("library.json"))["tables"]
    assert len(tables["tune"]) > 10
    assert len(tables["event"]) == 4


def test_the_zip_holds_every_file_as_it_was_uploaded(demo_copy: bytes) -> None:
    pack = zipfile.ZipFile(io.BytesIO(demo_copy))
    held = {pack.read(name) for name in pack.namelist() if name.startswith("files/")}
    assert (seed_data_dir() / "scans" / "old_ternhollow_gathering.png").read_bytes() in held


def test_backup_then_restore_gives_the_same_library(full: Path, tmp_path: Path) -> None:
    copy, other = tmp_path / "copy.sqlite3", tmp_path / "other"
    assert main(["backup", "--out", str(copy), "--data", str(full)]) == 0
    assert main(["restore", str(copy), "--data", str(other)]) == 0
    assert exported(other) == exported(full)


def test_a_backup_is_whole_while_somebody_is_half_way_through_a_change(
    full: Path, tmp_path: Path
) -> None:
    database = library(full)
    before = export_library(database)
    with database.writing() as session:
        session.connection().exec_driver_sql("DELETE FROM readiness")
        session.connection().exec_driver_sql("UPDATE band SET name = 'Half way'")
        copy = tmp_path / "copy.sqlite3"
        assert main(["backup", "--out", str(copy), "--data", str(full)]) == 0
    database.close()
    assert main(["restore", str(copy), "--data", str(tmp_path / "other")]) == 0
    assert exported(tmp_path / "other") == before


def test_an_open_library_sees_what_was_restored(full: Path, tmp_path: Path) -> None:
    main(["backup", "--out", str(tmp_path / "copy"), "--data", str(full)])
    opened = library(tmp_path / "other")
    assert main(["restore", str(tmp_path / "copy"), "--data", str(tmp_path / "other")]) == 0
    assert export_library(opened) == exported(full)
    opened.close()


@pytest.mark.parametrize("command", ["restore", "import"])
def test_a_library_with_something_in_it_is_not_lost_by_a_slip(
    full: Path, tmp_path: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    kept = tmp_path / "kept"
    way_out = {"restore": "backup", "import": "export"}[command]
    main([way_out, "--out", str(kept), "--data", str(full)])
    capsys.readouterr()
    assert main([command, str(kept), "--data", str(full)]) == 2
    assert "say --replace" in capsys.readouterr().err
    assert main([command, str(kept), "--data", str(full), "--replace"]) == 0


@pytest.mark.parametrize("command", ["restore", "import"])
@pytest.mark.parametrize("content", [b"", b"not a library", None])
def test_a_file_that_is_no_library_changes_nothing(
    full: Path, tmp_path: Path, command: str, content: bytes | None
) -> None:
    file, before = tmp_path / "file", exported(full)
    if content is not None:
        file.write_bytes(content)
    assert main([command, str(file), "--data", str(full), "--replace"]) == 2
    assert exported(full) == before


def test_a_sqlite_file_of_somebody_else_is_refused(full: Path, tmp_path: Path) -> None:
    with sqlite3.connect(tmp_path / "else") as other:
        other.execute("CREATE TABLE shoe (size)")
    other.close()
    assert main(["restore", str(tmp_path / "else"), "--data", str(full), "--replace"]) == 2


def test_a_backup_does_not_write_over_a_file(
    full: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "copy").write_text("mine")
    assert main(["backup", "--out", str(tmp_path / "copy"), "--data", str(full)]) == 2
    assert "is there already" in capsys.readouterr().err
    assert (tmp_path / "copy").read_text() == "mine"


def test_json_is_one_document(
    full: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["export", "--out", str(tmp_path / "x.zip"), "--data", str(full), "--json"])
    assert json.loads(capsys.readouterr().out)["bytes"] == (tmp_path / "x.zip").stat().st_size


@pytest.mark.parametrize("harm", ["row", "column", "table", "file", "shape", "moment"])
def test_a_harmed_export_is_refused_whole(full: Path, demo_copy: bytes, harm: str) -> None:
    database = library(full)
    with pytest.raises(RequestError):
        import_library(database, harmed(demo_copy, harm), replace=True)
    assert export_library(database) == demo_copy
    database.close()


def harmed(content: bytes, harm: str) -> bytes:
    pack = zipfile.ZipFile(io.BytesIO(content))
    held = {name: pack.read(name) for name in pack.namelist()}
    document = json.loads(held["library.json"])
    tables = document["tables"]
    if harm == "row":
        tables["item"][0]["event_id"] = 999
    elif harm == "column":
        tables["person"][0]["shoe"] = 9
    elif harm == "table":
        del tables["person"]
    elif harm == "shape":
        document["shape"] = "9999"
    elif harm == "moment":
        tables["event"][0]["day"] = "soon"
    else:
        held.pop(next(name for name in held if name.startswith("files/")))
    held["library.json"] = json.dumps(document).encode()
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as written:
        for name, each in held.items():
            written.writestr(name, each)
    return out.getvalue()

"""How the service is set up."""

from pathlib import Path

import pytest
from pydantic import ValidationError

from api.settings import Settings, seed_data_dir, templates_dir


def test_a_setting_is_taken_from_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PACESTICK_PORT", "9001")
    monkeypatch.setenv("PACESTICK_DATABASE_URL", "postgresql://db/pacestick")
    settings = Settings()
    assert (settings.port, settings.address) == (9001, "http://127.0.0.1:9001")
    assert settings.address_of_database == "postgresql://db/pacestick"


def test_without_a_database_url_the_library_lies_in_the_data_folder(tmp_path: Path) -> None:
    settings = Settings(data_dir=tmp_path, database_url="")
    assert settings.address_of_database == f"sqlite:///{tmp_path}/pacestick.sqlite3"


def test_a_port_that_is_none_stops_the_start() -> None:
    with pytest.raises(ValidationError, match="port"):
        Settings(port=70_000)


@pytest.mark.parametrize(
    ("host", "public", "known"),
    [
        ("127.0.0.1", "", {"localhost", "127.0.0.1", "::1"}),
        ("0.0.0.0", "", {"localhost", "127.0.0.1", "::1", "0.0.0.0"}),
        (
            "0.0.0.0",
            "https://band.example",
            {"localhost", "127.0.0.1", "::1", "0.0.0.0", "band.example"},
        ),
    ],
)
def test_the_names_that_are_let_in_follow_from_host_and_public_address(
    host: str, public: str, known: set[str]
) -> None:
    assert Settings(host=host, public_address=public).known_hosts == known


def test_an_address_of_the_newer_kind_is_put_in_brackets() -> None:
    assert Settings(host="::1", port=8000).address == "http://[::1]:8000"


def test_templates_and_seed_data_are_found_in_the_checkout() -> None:
    assert templates_dir().is_dir()
    assert (seed_data_dir() / "band.toml").is_file()

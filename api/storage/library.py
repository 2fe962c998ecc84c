"""How does a band's library open? The database, brought up to date, with its band founded."""

from __future__ import annotations

from api.storage.database import Database, found_band, open_database
from api.storage.migrate import migrate_database


def open_library(url: str, band_name: str) -> Database:
    """Open a library by its database's URL; an empty place becomes an empty library.

    Raises:
        DatabaseTooNewError: the database was written by a newer version of this service.
    """
    database = open_database(url)
    migrate_database(database)
    try:
        database.home_band()
    except LookupError:
        # Only an empty library is written to: opening one that is in use waits for nobody.
        with database.writing() as session:
            found_band(session, band_name)
    return database

"""Is the service well?"""

from __future__ import annotations

from fastapi import APIRouter, Response

from api.dependencies import DatabaseDep

router = APIRouter(tags=["health"])


@router.get("/healthz")
def healthz(database: DatabaseDep, response: Response) -> dict[str, str]:
    """200 when the database answers, 503 when it does not."""
    if database.answers():
        return {"status": "ok"}
    response.status_code = 503
    return {"status": "the database does not answer"}

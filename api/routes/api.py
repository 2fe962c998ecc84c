"""Which nouns can programs speak of? One router for each, all below ``/api``."""

from __future__ import annotations

from fastapi import APIRouter

from api.routes import tunes

router = APIRouter()
router.include_router(tunes.router)

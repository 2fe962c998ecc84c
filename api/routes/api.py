"""Which nouns can programs speak of? One router for each, all below ``/api``."""

from __future__ import annotations

from fastapi import APIRouter

from api.routes import band, choices, events, people, plans, rules, sets, tunes

router = APIRouter()
for noun in (band, tunes, sets, people, events, choices, plans, rules):
    router.include_router(noun.router)

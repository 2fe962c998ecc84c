"""Routes that are written down now and put together when somebody first asks.

Putting a route together means working out a schema for everything it takes and gives. The JSON
interface has many of them and a person's first page needs none, so starting the service does not
wait for them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, TypeVar

from fastapi import APIRouter

Route = TypeVar("Route", bound=Callable[..., Any])


class LaterRouter:
    """Takes routes by the same decorators as an ``APIRouter``; ``built`` gives the real one."""

    def __init__(self, **options: Any) -> None:
        self._options = options
        self._routes: list[tuple[str, str, dict[str, Any], Callable[..., Any]]] = []

    def get(self, path: str, **options: Any) -> Callable[[Route], Route]:
        """Write down a route that looks."""
        return self._taking("GET", path, options)

    def post(self, path: str, **options: Any) -> Callable[[Route], Route]:
        """Write down a route that makes something."""
        return self._taking("POST", path, options)

    def put(self, path: str, **options: Any) -> Callable[[Route], Route]:
        """Write down a route that puts one thing in place of another."""
        return self._taking("PUT", path, options)

    def patch(self, path: str, **options: Any) -> Callable[[Route], Route]:
        """Write down a route that changes a part of something."""
        return self._taking("PATCH", path, options)

    def delete(self, path: str, **options: Any) -> Callable[[Route], Route]:
        """Write down a route that takes something away."""
        return self._taking("DELETE", path, options)

    def built(self) -> APIRouter:
        """The router with every route that was written down."""
        router = APIRouter(**self._options)
        for method, path, options, endpoint in self._routes:
            router.add_api_route(path, endpoint, methods=[method], **options)
        return router

    def _taking(self, method: str, path: str, options: dict[str, Any]) -> Callable[[Route], Route]:
        def take(endpoint: Route) -> Route:
            self._routes.append((method, path, options, endpoint))
            return endpoint

        return take


def put_together(routers: Iterable[APIRouter | LaterRouter], **options: Any) -> APIRouter:
    """One real router of several, in their order."""
    together = APIRouter(**options)
    for router in routers:
        together.include_router(router.built() if isinstance(router, LaterRouter) else router)
    return together

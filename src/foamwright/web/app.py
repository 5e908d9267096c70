"""The app: its pages, its interface, and what stands before both."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncIterator

from fastapi import APIRouter, FastAPI
from sqlalchemy.exc import SQLAlchemyError

from foamwright import __version__
from foamwright.errors import FoamwrightError
from foamwright.jobs.shop_judging import warm_up
from foamwright.shop.about import signing_key
from foamwright.shop.database import Database
from foamwright.web import statics
from foamwright.web.answers import add_answers
from foamwright.web.api import access as api_access
from foamwright.web.api import bench as api_bench
from foamwright.web.api import boards as api_boards
from foamwright.web.api import courses as api_courses
from foamwright.web.api import jobs as api_jobs
from foamwright.web.api import orders as api_orders
from foamwright.web.api import people as api_people
from foamwright.web.api import stock as api_stock
from foamwright.web.bench import routes as bench
from foamwright.web.classroom import routes as classroom
from foamwright.web.live import Live
from foamwright.web.pages import (
    access,
    bay,
    boards,
    courses,
    home,
    jobs,
    orders,
    people,
    prices,
    privacy,
    pupils,
    shell,
    stock,
    supplies,
)
from foamwright.web.planning import comparing as planning_comparing
from foamwright.web.planning import giving as planning_giving
from foamwright.web.planning import live as planning_live
from foamwright.web.planning import pages as planning
from foamwright.web.rate import MOST_CODES, MOST_PASSWORDS, Rate
from foamwright.web.rendering import Templates
from foamwright.web.services import Services
from foamwright.web.settings import Settings
from foamwright.web.shields import BodyLimit, KnownNames, Packed, SecureHeaders
from foamwright.web.start import routes as start

PAGES: tuple[APIRouter, ...] = (
    bench.router,
    home.router,
    shell.router,
    jobs.router,
    boards.router,
    stock.router,
    bay.router,
    privacy.router,
    people.router,
    orders.router,
    prices.router,
    supplies.router,
    courses.router,
    pupils.router,
    access.router,
    start.router,
    planning_live.router,
    planning_comparing.router,
    planning.router,
    planning_giving.router,
    statics.router,
    classroom.router,
)
"""Routers of pages; a page that is added joins here."""

API: tuple[APIRouter, ...] = (
    api_bench.router,
    api_access.router,
    api_people.router,
    api_boards.router,
    api_stock.router,
    api_jobs.router,
    api_orders.router,
    api_courses.router,
)
"""Routers of the interface; all stand under ``/api``.

What tablets ask all day comes first, here and above: a request is compared with one route after another, and
the
bench's stood behind 170 others, a sixth of what a profile of saving a reading showed.
"""

DESCRIPTION = """\
Lengths in metres (`_m`), masses in kilograms (`_kg`), moments in UTC. Every error has one shape,
`{"problems": [{"where", "what", "remedy"}]}`.

On the host itself no login is needed; any other device pairs first. A program asks `GET /api/me` once, keeps
the cookie, and sends the token it got as the header `X-Foamwright-Csrf` with every change.
"""


def create_app(settings: Settings) -> FastAPI:
    """Return the app over an open database.

    Parameters
    ----------
    settings
        What this run is told.
    """
    services = Services(
        settings=settings,
        key=signing_key(settings.database),
        templates=Templates(),
        live=Live(settings.database, settings.limits.streams, settings.limits.streams_each),
        codes=Rate(settings.database.clock, MOST_CODES),
        passwords=Rate(settings.database.clock, MOST_PASSWORDS),
    )
    app = FastAPI(
        title="foamwright",
        version=__version__,
        description=DESCRIPTION,
        # `api.access` gives the document, to those who are paired.
        openapi_url=None,
        docs_url=None,
        redoc_url=None,
        lifespan=_lifespan,
        separate_input_output_schemas=False,
    )
    app.state.services = services
    for router in API:
        app.include_router(router, prefix="/api")
    for router in PAGES:
        app.include_router(router)
    add_answers(app)
    app.add_middleware(BodyLimit, limits=settings.limits)
    app.add_middleware(KnownNames, names=settings.names)
    app.add_middleware(SecureHeaders)
    app.add_middleware(Packed)
    return app


@contextlib.asynccontextmanager
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    """Follow history while the app runs."""
    services: Services = app.state.services
    following = asyncio.create_task(services.live.run())
    warming = asyncio.create_task(asyncio.to_thread(_warm_up, services.database))
    try:
        yield
    finally:
        for task in (following, warming):
            task.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await task


def _warm_up(database: Database) -> None:
    # It only saves somebody a second; whatever is in its way is told when it is asked for in earnest.
    with contextlib.suppress(FoamwrightError, SQLAlchemyError):
        warm_up(database)

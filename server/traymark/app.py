"""The composition root: builds everything once and wires it. It holds no rules."""

import gc
from collections.abc import AsyncGenerator
from contextlib import asynccontextmanager
from typing import Any

from litestar import Litestar
from litestar.datastructures import State
from litestar.di import Provide
from litestar.exceptions import HTTPException

from traymark.api import (
    backup,
    blobs,
    cards,
    customers,
    health,
    join,
    labels,
    live,
    pwa,
    record,
    selftest,
    staff,
    stations,
    sync,
    ticket,
    tray_map,
    trust,
)  # fmt: skip
from traymark.api.format import known_format
from traymark.api.headers import add_headers
from traymark.api.limits import Limits
from traymark.api.news import News
from traymark.api.problems import Problem, on_bug, on_busy, on_http_exception, on_problem
from traymark.api.who import asking_station, same_origin
from traymark.api.write_queue import WriteQueue
from traymark.blobs.files import BlobFiles
from traymark.blobs.parts import BlobParts
from traymark.clock import Clock, system_clock_ms
from traymark.config import Settings
from traymark.housekeeping.hourly import keeping_house
from traymark.log.database import DATABASE, StoreBusy
from traymark.log.rebuild import bring_up_to_date
from traymark.log.store import Store
from traymark.selftest.open_tests import OpenTests

MODULES = (
    sync, live, backup, cards, customers, blobs, health, join, stations, trust, staff, labels, tray_map, record, ticket,
    selftest,
)  # fmt: skip
"""Each exports `handlers`."""


def create_app(settings: Settings, clock: Clock = system_clock_ms) -> Litestar:
    """The server. Raises StoreInUse when another process has this data folder. Shutting it down closes the store.

    What handlers may ask for by name: settings, clock, store, files, blob_parts, news, write_queue, open_tests,
    limits, and `station`, which answers 401 when there is no cookie.
    """
    store = Store(settings.data_dir / DATABASE)
    bring_up_to_date(store)
    files = BlobFiles(settings.data_dir)
    files.clear_coming()
    news = News(settings.max_listeners, settings.heartbeat_s)
    parts: dict[str, Any] = {
        "settings": settings,
        "clock": clock,
        "store": store,
        "files": files,
        "blob_parts": BlobParts(settings.data_dir),
        "news": news,
        "write_queue": WriteQueue(settings.station_queue, settings.write_queue),
        "open_tests": OpenTests(),
        "limits": Limits(clock),
    }

    @asynccontextmanager
    async def housekeeping(_app: Litestar) -> AsyncGenerator[None]:
        async with keeping_house(store, clock, settings, lambda last: news.tell(position=last)):
            yield

    return Litestar(
        route_handlers=[
            *(handler for module in MODULES for handler in module.handlers),
            *pwa.static_handlers(pwa.find_pwa()),
        ],
        dependencies={name: _part(part) for name, part in parts.items()}
        | {"station": Provide(asking_station, sync_to_thread=False)},
        exception_handlers={
            Problem: on_problem,
            StoreBusy: on_busy,
            HTTPException: on_http_exception,
            Exception: on_bug,
        },
        guards=[same_origin, known_format],
        before_send=[add_headers],
        lifespan=[housekeeping],
        on_startup=[_calm_collector],
        on_shutdown=[news.close, store.close],
        request_max_body_size=settings.max_json_bytes,
        openapi_config=None,
        logging_config=None,
        state=State(parts),
    )


def _calm_collector() -> None:
    """Events and records are trees without cycles, by the thousand: looking for cycles after every 700 new objects
    (Python's default) took a quarter of a push's time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)


def _part(value: Any) -> Provide:
    def provide() -> Any:
        return value

    return Provide(provide, sync_to_thread=False)

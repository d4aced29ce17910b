"""What the shop holds of a customer: told, handed out, erased (F7.10). For leads."""

from typing import Annotated, Any, Literal

import msgspec
from litestar import Request, get, post
from litestar.concurrency import sync_to_thread
from litestar.params import FromPath
from litestar.response import Stream

from traymark.api.body import read_json
from traymark.api.parts import Asking, TheClock, TheNews, TheQueue, TheSettings, TheStore
from traymark.api.problems import Problem, refuse
from traymark.api.who import require_lead
from traymark.config import Settings
from traymark.docs.keep import MOST_DOCS, last_rev
from traymark.personal.belongings import belongings_of, jobs_of
from traymark.personal.erase import erase_again, erase_customer
from traymark.personal.export import export
from traymark.personal.others import jobs_of_others
from traymark.refused import Refused

_HOUR_MS = 3_600_000

ErasedId = Annotated[str, msgspec.Meta(pattern=r"^([a-z0-9]{20}|[0-9a-f]{64})\Z")]
ErasedKind = Literal["contact", "device", "text", "photo"]


class Held(msgspec.Struct, frozen=True):
    """How much is held: codes of jobs, of which some are open, texts and photos. `others`: jobs of other cards that may
    be the same person's. `backups_until_ms`: when what is erased now is in no scheduled backup any more; null when none
    are scheduled."""

    jobs: list[str]
    open: list[str]
    others: list[str]
    texts: int
    photos: int
    backups_until_ms: int | None


@get("/api/customers/{contact:str}")
async def read_customer(
    contact: FromPath[str], station: Asking, store: TheStore, settings: TheSettings, clock: TheClock
) -> Held:
    """What would be handed out or erased."""
    require_lead(station)

    def look() -> Held | None:
        with store.database.read() as connection:
            jobs = jobs_of(connection, contact)
            found = belongings_of(connection, jobs)
            others = jobs_of_others(connection, contact)
        still_open = [job.code for job in jobs if job.record["stage"] != "handed_over"]
        until_ms = _backups_until(settings, clock())
        if not jobs:
            return None
        return Held([j.code for j in jobs], still_open, others, len(found.texts), len(found.photos), until_ms)

    held = await sync_to_thread(look)
    if held is None:
        raise refuse("not-found", "No job names this customer.")
    return held


@get("/api/customers/{contact:str}/export")
async def export_customer(contact: FromPath[str], station: Asking, store: TheStore, clock: TheClock) -> Stream:
    """Everything as a ZIP file with a page that a person can read."""
    require_lead(station)
    pieces = await sync_to_thread(export, store, contact, clock())
    if isinstance(pieces, Refused):
        raise Problem(pieces)
    return Stream(
        pieces,
        media_type="application/zip",
        headers={"Content-Disposition": 'attachment; filename="customer.zip"', "Cache-Control": "no-store"},
    )


@post("/api/customers/{contact:str}/erase", status_code=200)
async def erase(
    contact: FromPath[str],
    station: Asking,
    store: TheStore,
    settings: TheSettings,
    clock: TheClock,
    news: TheNews,
    write_queue: TheQueue,
) -> dict[str, Any]:
    """Erase everything for good. `done` is false while somebody reads the database: it is tried again by the hour."""
    require_lead(station)
    async with write_queue.place(station.id):
        erased = await sync_to_thread(erase_customer, store, contact, clock())
    if isinstance(erased, Refused):
        raise Problem(erased)
    news.tell(position=await sync_to_thread(store.position), rev=await sync_to_thread(last_rev, store))
    return {
        "jobs": erased.jobs,
        "texts": erased.texts,
        "photos": erased.photos,
        "done": erased.is_done,
        "backups_until_ms": _backups_until(settings, clock()),
    }


class ErasedBefore(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a station heard was erased: ids of cards and texts, and hashes of photos, with their kinds."""

    ids: Annotated[list[tuple[ErasedId, ErasedKind]], msgspec.Meta(max_length=MOST_DOCS)]


@post("/api/erased", status_code=200)
async def erase_before(
    request: Request[Any, Any, Any],
    station: Asking,
    store: TheStore,
    settings: TheSettings,
    clock: TheClock,
    news: TheNews,
    write_queue: TheQueue,
) -> dict[str, int]:
    """Erase again what was erased after the backup that this server was restored from (F7.11)."""
    require_lead(station)
    async with write_queue.place(station.id):
        told = await read_json(request, ErasedBefore, settings.max_json_bytes)
        await sync_to_thread(erase_again, store, told.ids, clock())
    news.tell(position=await sync_to_thread(store.position), rev=await sync_to_thread(last_rev, store))
    return {"erased": len(told.ids)}


def _backups_until(settings: Settings, now_ms: int) -> int | None:
    if not settings.backup_dir:
        return None
    return now_ms + int(settings.backup_every_h * settings.backup_keep * _HOUR_MS)


handlers = [read_customer, export_customer, erase, erase_before]

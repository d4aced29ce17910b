"""Adding staff and replacing badges, from a lead's station. The badge code is in the answer and nowhere else."""

from typing import Annotated, Any, Literal

import msgspec
from litestar import Request, post
from litestar.concurrency import sync_to_thread
from litestar.params import FromPath
from msgspec import Meta

from traymark.api.body import read_json
from traymark.api.news import News
from traymark.api.parts import Asking, TheNews, TheSettings, TheStore
from traymark.api.problems import Problem
from traymark.api.who import require_lead
from traymark.docs.staff import Badge, add_staff, replace_badge
from traymark.refused import Refused


class StaffRequest(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Who is new."""

    name: Annotated[
        str, Meta(min_length=1, max_length=80, pattern=r"^[^\x00-\x1f\x7f]*[^\x00-\x20\x7f][^\x00-\x1f\x7f]*\Z")
    ]
    role: Literal["counter", "bench", "shipping", "lead"]


@post("/api/staff", status_code=201)
async def post_staff(
    request: Request[Any, Any, Any], station: Asking, settings: TheSettings, store: TheStore, news: TheNews
) -> dict[str, Any]:
    """A new member of the staff."""
    require_lead(station)
    asked = await read_json(request, StaffRequest, settings.max_json_bytes)
    return _told(await sync_to_thread(add_staff, store, asked.name.strip(), asked.role), news)


@post("/api/staff/{staff_id:str}/badge", status_code=201)
async def post_badge(staff_id: FromPath[str], station: Asking, store: TheStore, news: TheNews) -> dict[str, Any]:
    """A new badge in place of a lost one."""
    require_lead(station)
    return _told(await sync_to_thread(replace_badge, store, staff_id), news)


def _told(made: Badge | Refused, news: News) -> dict[str, Any]:
    if isinstance(made, Refused):
        raise Problem(made)
    news.tell(rev=made.rev)
    return {"staff": made.staff, "badge": made.badge}


handlers = [post_staff, post_badge]

"""Telling open streams that there is something to pull (F8.3)."""

import asyncio
import json
from collections.abc import AsyncIterator

import httpx
import pytest

from tests.server.conftest import Desk, Shop, problem_of
from tests.server.shop_events import Writer, code
from tests.server_process import ServerProcess
from traymark.api.news import News, NewsItem
from traymark.api.who import COOKIE

START = NewsItem(4, 2)
SOON_S = 5


async def take(stream: AsyncIterator[NewsItem | None]) -> NewsItem | None:
    return await asyncio.wait_for(anext(stream), SOON_S)


def test_stream_begins_with_what_holds_now_and_continues_with_news() -> None:
    async def scenario() -> None:
        news = News(10, 60)
        stream = news.listen("S7K2", START)
        assert await take(stream) == START
        news.tell(position=5)
        assert await take(stream) == NewsItem(5, 2)
        news.tell(rev=3)
        assert await take(stream) == NewsItem(5, 3)

    asyncio.run(scenario())


def test_news_between_two_messages_is_merged() -> None:
    async def scenario() -> None:
        news = News(10, 0.05)
        stream = news.listen("S7K2", START)
        await take(stream)
        for position in range(5, 9):
            news.tell(position=position)
        assert await take(stream) == NewsItem(8, 2)
        assert await take(stream) is None

    asyncio.run(scenario())


def test_idle_stream_sends_keep_alives() -> None:
    async def scenario() -> None:
        news = News(10, 0.01)
        stream = news.listen("S7K2", START)
        await take(stream)
        assert [await take(stream) for _ in range(3)] == [None, None, None]

    asyncio.run(scenario())


def test_all_streams_end_when_the_server_stops() -> None:
    async def scenario() -> None:
        news = News(10, 60)
        streams = [news.listen("S7K2", START) for _ in range(2)]
        for stream in streams:
            await take(stream)
        news.close()
        for stream in streams:
            with pytest.raises(StopAsyncIteration):
                await take(stream)
        with pytest.raises(StopAsyncIteration):
            await take(news.listen("S7K2", START))
        assert news.is_full()

    asyncio.run(scenario())


def test_fifth_stream_of_a_station_ends_its_oldest() -> None:
    async def scenario() -> None:
        news = News(10, 60)
        streams = [news.listen("S7K2", START) for _ in range(5)]
        other = news.listen("S7K9", START)
        await take(other)
        for stream in streams[:4]:
            await take(stream)
        await take(streams[4])
        with pytest.raises(StopAsyncIteration):
            await take(streams[0])
        news.tell(position=9)
        for stream in (*streams[1:], other):
            assert await take(stream) == NewsItem(9, 2)

    asyncio.run(scenario())


def test_stream_that_was_closed_is_forgotten() -> None:
    async def scenario() -> None:
        news = News(1, 60)
        stream = news.listen("S7K2", START)
        await take(stream)
        assert news.is_full()
        await stream.aclose()  # type: ignore[attr-defined]
        assert not news.is_full()

    asyncio.run(scenario())


def test_stream_over_http_announces_a_push_and_a_card_and_ends_when_the_server_stops(
    process: ServerProcess, writer: Writer
) -> None:
    writer.write("note.added", code("J", "7K2", 1), {"note": "News"})
    headers = {"Cookie": f"{COOKIE}=token-of-S7K2"}
    with httpx.stream("GET", f"{process.url}/api/sync/stream", headers=headers, timeout=30) as stream:
        assert stream.headers["content-type"].startswith("text/event-stream")
        lines = stream.iter_lines()

        def news() -> dict[str, int]:
            assert next(line for line in lines if line) == "event: news"
            return json.loads(next(lines).removeprefix("data: "))

        before = news()
        assert before["position"] == 0
        httpx.post(f"{process.url}/api/sync/push", content=writer.body(), headers=headers)
        assert news() == before | {"position": 1}
        card = {"kind": "contact", "body": {"name": "Pat"}}
        httpx.put(f"{process.url}/api/docs/{'a' * 20}", json=card, headers=headers)
        assert news() == {"position": 1, "rev": before["rev"] + 1}
        process.stop()
        assert [line for line in lines if line] == []


def test_stream_beyond_the_limit_is_told_to_retry(shop: Shop, desk: Desk) -> None:
    shop.client.app.state.news.close()
    problem_of(desk.ask("GET", "/api/sync/stream"), "busy")

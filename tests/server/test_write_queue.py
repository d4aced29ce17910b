"""How many writing requests may wait at once."""

import asyncio

import pytest

from traymark.api.problems import Problem
from traymark.api.write_queue import WriteQueue


def test_station_with_too_many_requests_is_told_to_wait_and_others_are_not() -> None:
    async def scenario() -> None:
        queue = WriteQueue(of_station=2, of_all=10)
        async with queue.place("S7K2"), queue.place("S7K2"):
            with pytest.raises(Problem) as refused:
                async with queue.place("S7K2"):
                    pass
            assert refused.value.refused.slug == "rate-limited"
            async with queue.place("S7K9"):
                pass
        async with queue.place("S7K2"):
            pass

    asyncio.run(scenario())


def test_full_server_is_busy_for_everybody() -> None:
    async def scenario() -> None:
        queue = WriteQueue(of_station=2, of_all=2)
        async with queue.place("S7K2"), queue.place("S7K9"):
            with pytest.raises(Problem) as refused:
                async with queue.place("S7KA"):
                    pass
            assert refused.value.refused.slug == "busy"

    asyncio.run(scenario())


def test_slot_is_free_again_after_a_failure() -> None:
    async def scenario() -> None:
        queue = WriteQueue(of_station=1, of_all=1)
        for _ in range(3):
            with pytest.raises(RuntimeError):
                async with queue.place("S7K2"):
                    raise RuntimeError

    asyncio.run(scenario())

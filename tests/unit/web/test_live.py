"""The live stream: in order, without gaps, a bench its own job, nothing kept open too long."""

from __future__ import annotations

import asyncio
import contextlib
import json
import re
from concurrent.futures import ThreadPoolExecutor

import pytest
from shop_fixtures import TEACHER

from foamwright.shop.jobs import JobWish, open_job
from foamwright.shop.kinds import Event
from foamwright.shop.told import TooManyError
from foamwright.web import live
from foamwright.web.api.access import LiveAnswer
from foamwright.web.live import Live


def event(line):
    found = re.fullmatch(r"id: (\d+)\nevent: ([a-z-]+)\ndata: (.*)\n\n", line)
    return int(found[1]), found[2], json.loads(found[3])


async def gathered(stream, count):
    return [await asyncio.wait_for(anext(stream), 10) for _ in range(count)]


def tell(database, *jobs):
    with database.writing(TEACHER) as work:
        for job in jobs:
            work.tell(Event.NOTE, job, words="x")


@contextlib.asynccontextmanager
async def running(database, most=5):
    followed = Live(database, most, 2)
    task = asyncio.create_task(followed.run())
    await asyncio.sleep(0.05)
    try:
        yield followed
    finally:
        task.cancel()
        with contextlib.suppress(asyncio.CancelledError):
            await task


def yes():
    return True


def test_what_happens_is_told_in_order_to_those_it_concerns(database):
    async def scene():
        async with running(database) as followed:
            everything, mine = (
                followed.follow(followed.enter(None, None), None, yes),
                followed.follow(followed.enter(2, None), None, yes),
            )
            assert await gathered(everything, 1) == await gathered(mine, 1) == ["retry: 2000\n\n"]
            waiting = [asyncio.create_task(gathered(everything, 4)), asyncio.create_task(gathered(mine, 2))]
            await asyncio.sleep(0.05)
            await asyncio.to_thread(tell, database, 1, 2, 3)
            await asyncio.to_thread(tell, database, 2)
            all_lines, my_lines = await asyncio.gather(*waiting)
            numbers = [event(line)[0] for line in all_lines]
            assert numbers == sorted(numbers)
            assert [event(line)[2]["job_id"] for line in all_lines] == [1, 2, 3, 2]
            assert [event(line)[2]["job_id"] for line in my_lines] == [2, 2]
            assert event(all_lines[0])[1] == "note"

    asyncio.run(scene())


def test_who_was_away_gets_the_rest_first(database):
    tell(database, *[1] * 700)

    async def scene():
        async with running(database) as followed:
            stream = followed.follow(followed.enter(None, None), 30, yes)
            await gathered(stream, 1)
            numbers = [event(line)[0] for line in await gathered(stream, 670)]
            assert numbers == list(range(31, 701))
            waiting = asyncio.create_task(gathered(stream, 1))
            await asyncio.sleep(0.05)
            await asyncio.to_thread(tell, database, 1)
            assert [event(line)[0] for line in await waiting] == [701]

    asyncio.run(scene())


def test_what_another_program_wrote_is_found_too(database, database_url, open_shop, monkeypatch):
    monkeypatch.setattr(live, "POLL_SECONDS", 0.05)
    other = open_shop(database_url)

    async def scene():
        async with running(database) as followed:
            stream = followed.follow(followed.enter(None, None), None, yes)
            await gathered(stream, 1)
            waiting = asyncio.create_task(gathered(stream, 1))
            await asyncio.sleep(0.05)
            await asyncio.to_thread(tell, other, 4)
            assert event((await waiting)[0])[2]["job_id"] == 4

    asyncio.run(scene())


def test_a_quiet_stream_beats_and_ends_when_no_longer_allowed(database, monkeypatch):
    monkeypatch.setattr(live, "BEAT_SECONDS", 0.02)
    allowed = [True, True, False]

    async def scene():
        async with running(database) as followed:
            stream = followed.follow(followed.enter(None, None), None, lambda: allowed.pop(0))
            lines = [line async for line in stream]
            assert lines == ["retry: 2000\n\n", ": still here\n\n", ": still here\n\n"]

    asyncio.run(scene())


def test_streams_end_when_the_app_stops(database):
    async def scene():
        async with running(database) as followed:
            stream = followed.follow(followed.enter(None, None), None, yes)
            await gathered(stream, 1)
            waiting = asyncio.create_task(anext(stream, "ended"))
            await asyncio.sleep(0.05)
            followed.stop()
            assert await asyncio.wait_for(waiting, 5) == "ended"

    asyncio.run(scene())


def test_a_follower_that_is_too_slow_is_let_go_and_misses_nothing(database, monkeypatch):
    monkeypatch.setattr(live, "MOST_WAITING", 3)

    async def scene():
        async with running(database) as followed:
            stream = followed.follow(followed.enter(None, None), 0, yes)
            await gathered(stream, 1)
            waiting = asyncio.create_task(gathered(stream, 2))
            await asyncio.sleep(0.1)
            await asyncio.to_thread(tell, database, 1, 1)
            seen = [event(line)[0] for line in await waiting]
            # It reads no more; then it is handed more than waits for it.
            await asyncio.to_thread(tell, database, *[1] * 20)
            await asyncio.sleep(0.3)
            seen += [event(line)[0] async for line in stream]
            assert len(seen) < 22
            again = followed.follow(followed.enter(None, None), seen[-1], yes)
            await gathered(again, 1)
            rest = [event(line)[0] for line in await gathered(again, 22 - len(seen))]
            assert seen + rest == list(range(1, 23))

    asyncio.run(scene())


def test_only_so_many_streams_are_kept(database):
    async def scene():
        async with running(database, most=1) as followed:
            stream = followed.follow(followed.enter(None, None), None, yes)
            await gathered(stream, 1)
            with pytest.raises(TooManyError, match="Too many live pages"):
                followed.enter(None, None)
            await stream.aclose()
            followed.enter(None, None)

    asyncio.run(scene())


def test_one_device_has_so_many_and_leaves_the_rest_to_others(database):
    """Thirty at one moment, from threads as routes are: two are taken in, and others still find room."""
    followed = Live(database, 200, 2)

    def enter(device):
        try:
            return followed.enter(7, device)
        except TooManyError:
            return None

    with ThreadPoolExecutor(30) as pool:
        taken = [one for one in pool.map(enter, [1] * 300) if one is not None]
    assert len(taken) == 2
    assert enter(2) is not None
    followed.leave(taken[0])
    assert enter(1) is not None


def test_a_stream_that_never_began_gives_its_place_up(database):
    followed = Live(database, 1, 1)
    follower = followed.enter(None, None)
    answer = LiveAnswer(followed.follow(follower, None, yes), lambda: followed.leave(follower))

    async def gone(_):
        raise OSError

    async def silent():
        return await asyncio.Event().wait()

    with pytest.raises(BaseException):  # noqa: B017, PT011
        asyncio.run(answer({"type": "http", "asgi": {"spec_version": "2.4"}}, silent, gone))
    followed.enter(None, None)


def test_a_title_with_a_line_break_is_still_one_event(database):
    with database.writing(TEACHER) as work:
        open_job(work, JobWish("two\nlines"))
        work.tell(Event.NOTE, None, words="a\n\nid: 99\nevent: x")

    async def scene():
        async with running(database) as followed:
            stream = followed.follow(followed.enter(None, None), 0, yes)
            lines = await gathered(stream, 3)
            assert event(lines[2])[2]["words"] == "a\n\nid: 99\nevent: x"

    asyncio.run(scene())

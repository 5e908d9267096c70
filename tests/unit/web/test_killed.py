"""The app killed while it writes: the database is whole after it, and every reading it acknowledged is there.

`FOAMWRIGHT_KILLS` says how often; the figure in docs/app.md was measured with 100.
"""

from __future__ import annotations

import http.client
import json
import os
import random
import signal
import threading
import time
import urllib.error
import urllib.request

from running import Running
from shop_fixtures import TEACHER
from sqlalchemy import select, text

from foamwright.shop.jobs import JobWish, open_job
from foamwright.shop.opening import open_database
from foamwright.shop.tables import ReadingRow

KILLS = int(os.environ.get("FOAMWRIGHT_KILLS", "4"))
TABLETS = 4


class Tablet(threading.Thread):
    """Posts readings as fast as they are acknowledged; keeps what was not, and sends it again later."""

    def __init__(self, host, job, number, seed):
        super().__init__()
        self.host, self.job, self.number, self.chance = host, job, number, random.Random(seed)
        self.sent, self.acknowledged, self.waiting = 0, set(), []

    def meet(self, host):
        self.host, self.opener = host, urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
        with self.opener.open(host + "/api/me", timeout=60) as answer:
            self.token = json.load(answer)["csrf"]

    def run(self):
        try:
            self.meet(self.host)
            while True:
                self.make()
                self.send()
        except (OSError, ValueError, http.client.HTTPException):
            # The app is gone, or its answer was cut off: what waits is sent to the next one.
            return

    def make(self):
        for _ in range(self.chance.randint(1, 3)):
            self.sent += 1
            self.waiting.append(
                {
                    "client_id": f"tablet-{self.number}-{self.sent:012}",
                    "sequence": self.sent,
                    "stage": "rocker",
                    "station": "nose",
                    "station_m": 1.9,
                    "what": "rocker",
                    "value_m": 0.1,
                    "tablet_ms": self.sent,
                }
            )

    def send(self):
        body = json.dumps({"readings": self.waiting}).encode()
        headers = {"content-type": "application/json", "x-foamwright-csrf": self.token}
        request = urllib.request.Request(f"{self.host}/api/jobs/{self.job}/readings", body, headers)
        with self.opener.open(request, timeout=60) as answer:
            stored = set(json.load(answer)["stored"])
        self.acknowledged |= stored
        self.waiting = [one for one in self.waiting if one["client_id"] not in stored]


def next_life(tablet, host, seed):
    """The same tablet after the app was started again."""
    risen = Tablet(host, tablet.job, tablet.number, seed)
    risen.sent, risen.acknowledged, risen.waiting = tablet.sent, tablet.acknowledged, tablet.waiting
    return risen


def acknowledged(tablets):
    return sum(len(tablet.acknowledged) for tablet in tablets)


def until_written(tablets, before):
    """Waits until this life has acknowledged something, so that every kill falls while it writes."""
    end = time.monotonic() + 60
    while acknowledged(tablets) == before:
        assert time.monotonic() < end, "nothing was written before the kill"
        time.sleep(0.005)


def test_killed_while_writing(tmp_path):
    folder, chance = tmp_path / "data", random.Random(7)
    url = f"sqlite:///{folder / 'shop.sqlite'}"
    shop = open_database(url)
    with shop.writing(TEACHER) as work:
        jobs = [open_job(work, JobWish(f"Board {n}")).id for n in range(TABLETS)]
    shop.close()
    tablets = [Tablet("", job, n, n) for n, job in enumerate(jobs)]
    grown = 0
    for kill in range(KILLS):
        with Running(folder, "--port", "0") as app:
            tablets = [next_life(tablet, app.host, 1000 * kill + n) for n, tablet in enumerate(tablets)]
            for tablet in tablets:
                tablet.start()
            until_written(tablets, grown)
            time.sleep(chance.uniform(0.0, 0.3))
            app.program.send_signal(signal.SIGKILL)
            for tablet in tablets:
                tablet.join(70)
        # Opening checks the whole database, and refuses one that is not whole.
        shop = open_database(url)
        with shop.reading() as session:
            assert [row[0] for row in session.execute(text("PRAGMA integrity_check"))] == ["ok"]
            stored = [tuple(row) for row in session.execute(select(ReadingRow.client_id, ReadingRow.job_id))]
        shop.close()
        ids = {one for one, _ in stored}
        assert len(ids) == len(stored)
        for tablet in tablets:
            assert tablet.acknowledged <= ids
        grown = acknowledged(tablets)
    print(f"{KILLS} kills, {grown} readings acknowledged, {len(stored)} stored")

"""Advice after one more reading, warm: ``.venv/bin/python benchmarks/bench_advice.py``."""

from __future__ import annotations

import tempfile
import time
from pathlib import Path

import numpy as np

from foamwright.jobs.advising import advise_job
from foamwright.jobs.reading import ReadingText, record_readings, record_strokes, strokes_from
from tests.bench_jobs import bench_job


def main(rounds: int = 30) -> None:
    with tempfile.TemporaryDirectory() as folder:
        job = bench_job(Path(folder))
        record_strokes(job, "rocker", "nose", [strokes_from(job, 20, ("9", None, "1/32"))])
        recording, advising = [], []
        for k in range(rounds):
            value = f"{3.75 + 20 / 32 + 0.01 * (k % 3):.3f}"
            begin = time.process_time()
            record_readings(job, [ReadingText("rocker", "nose", "rocker", value)])
            middle = time.process_time()
            advise_job(job)
            recording.append(middle - begin)
            advising.append(time.process_time() - middle)
    for name, spans in (("recording (judged, on the disk)", recording), ("advice", advising)):
        late = np.array(spans[5:]) * 1000
        print(f"{name}: median {np.median(late):.1f} ms, worst {late.max():.1f} ms of processor time")


if __name__ == "__main__":
    main()

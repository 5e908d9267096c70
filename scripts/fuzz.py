"""Damaged files through the real commands: no fault, no hang, no memory eaten, exit code 0, 1 or 2.

``python scripts/fuzz.py [CASES] [--first N]`` (``make fuzz``: 20,000). Every case is a number: the same
number damages the same file in the same way, so a failure is repeated by ``1 --first N``. The commands run
in one process, one after the other, because starting Python anew would take most of the time.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import os
import random
import re
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

SECONDS = 10
"""Of processor time that a command may take: the machine may be busy with other work."""

MEGABYTES = 1000.0


@dataclass(frozen=True)
class Reader:
    """One kind of file: its name, a sound one, and the command that reads it."""

    name: str
    content: bytes
    command: tuple[str, ...]


class HangError(BaseException):
    """The time of a command is over; no `except Exception` on the way may take it for its own."""


def readers(folder: Path) -> list[Reader]:
    """Return every kind of file that a command reads, and put what stands beside them into a folder."""
    from tests.fuzz_files import seeds

    return [Reader(name, content, command) for name, content, command in seeds(folder)]


def damaged(content: bytes, chance: random.Random) -> bytes:
    """Return a content with one to four damages of the kinds that disks, programs and hands make."""
    for _ in range(chance.choice((1, 1, 1, 2, 4))):
        content = chance.choice(DAMAGES)(content, chance)
    return content


def _flip(content: bytes, chance: random.Random) -> bytes:
    spoilt = bytearray(content or b"x")
    spoilt[chance.randrange(len(spoilt))] ^= 1 << chance.randrange(8)
    return bytes(spoilt)


def _cut(content: bytes, chance: random.Random) -> bytes:
    return content[: chance.randrange(len(content) + 1)]


def _without(content: bytes, chance: random.Random) -> bytes:
    start = chance.randrange(len(content) + 1)
    return content[:start] + content[start + chance.randrange(1, 200) :]


def _twice(content: bytes, chance: random.Random) -> bytes:
    start = chance.randrange(len(content) + 1)
    piece = content[start : start + chance.randrange(1, 400)]
    return content[:start] + piece + content[start:]


def _number(content: bytes, chance: random.Random) -> bytes:
    """Put something else in the place of one number."""
    found = list(re.finditer(rb"-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?", content))
    if not found:
        return _flip(content, chance)
    one = chance.choice(found)
    return content[: one.start()] + chance.choice(NUMBERS) + content[one.end() :]


def _word(content: bytes, chance: random.Random) -> bytes:
    """Put one word of the file in the place of another."""
    found = list(re.finditer(rb"[A-Za-z_]{2,}", content))
    if len(found) < 2:
        return _flip(content, chance)
    one, other = chance.choice(found), chance.choice(found)
    return content[: one.start()] + other.group() + content[one.end() :]


def _line(content: bytes, chance: random.Random) -> bytes:
    """Take one line out, or put it elsewhere."""
    lines = content.splitlines(keepends=True)
    if len(lines) < 2:
        return _without(content, chance)
    one = lines.pop(chance.randrange(len(lines)))
    if chance.random() < 0.5:
        lines.insert(chance.randrange(len(lines) + 1), one)
    return b"".join(lines)


def _value(content: bytes, chance: random.Random) -> bytes:
    """Put another value into a JSON document; any other file is cut."""
    try:
        document = json.loads(content)
    except (ValueError, UnicodeDecodeError, RecursionError):
        return _without(content, chance)
    at = document
    for _ in range(12):
        if isinstance(at, dict) and at:
            key = chance.choice(sorted(at, key=str))
        elif isinstance(at, list) and at:
            key = chance.randrange(len(at))
        else:
            break
        inner = at[key]
        if not isinstance(inner, dict | list) or not inner or chance.random() < 0.15:
            at[key] = chance.choice(VALUES)
            break
        at = inner
    return json.dumps(document).encode()


DAMAGES: tuple[Callable[[bytes, random.Random], bytes], ...] = (
    _flip, _cut, _without, _twice, _number, _number, _number, _word, _line, _value,
)  # fmt: skip
NUMBERS = (
    b"nan", b"inf", b"-inf", b"0", b"-1", b"1e308", b"1e-308", b"1e999", b"9" * 400, b"0.1", b"1/0", b"-0.0",
    b'"nan"', b'"1/0 in"', b"true", b"[]", b"{}", b'""', b"1e6", b"0x7f", b"2000-01-01",
)  # fmt: skip
VALUES = (
    float("nan"),
    float("inf"),
    None,
    -1,
    0,
    1e308,
    "",
    "nan",
    "1/0",
    [],
    {},
    [[]],
    True,
    10**400,
    [float("nan")],
)


@dataclass(frozen=True)
class Outcome:
    """What came of one case: empty words where all is well."""

    number: int
    reader: str
    code: int
    wrong: str
    seconds: float


def run_case(number: int, known: list[Reader], folder: Path, seconds: float = SECONDS) -> Outcome:
    """Damage one file in the way of a number, and have its command read it."""
    from foamwright.cli.main import main

    chance = random.Random(number)
    reader = known[number % len(known)]
    file = folder / reader.name
    file.parent.mkdir(exist_ok=True)
    file.write_bytes(damaged(reader.content, chance))
    command = [
        str(file if word == "FILE" else file.parent if word == "FOLDER" else word) for word in reader.command
    ]
    said, begun = io.StringIO(), time.process_time()
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(said):
            code = main(command)
    except HangError:
        code, wrong = -1, f"took over {seconds:g} s"
    except SystemExit as left:
        code, wrong = int(left.code or 0), ""
    except BaseException as why:
        code, wrong = -1, f"{type(why).__name__}: {why}"[:300]
    else:
        wrong = ""
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    if not wrong and (code not in (0, 1, 2) or "Traceback" in said.getvalue()):
        wrong = _report(folder) or said.getvalue()[-300:].strip() or f"exit code {code}"
    return Outcome(number, reader.name, code, wrong, time.process_time() - begun)


def _report(folder: Path) -> str:
    """Return the end of the report of a fault, and take the report away."""
    reports = sorted((folder / "faults").glob("fault-*.txt"))
    text = reports[-1].read_text("utf-8") if reports else ""
    for one in reports:
        one.unlink()
    return " | ".join(line.strip() for line in text.splitlines()[-4:])


def _over(_number: int, _frame: object) -> None:
    raise HangError


def fuzz(first: int, cases: int, seconds: float, say: Callable[[str], None]) -> list[Outcome]:
    """Run so many cases, and return what came of them."""
    signal.signal(signal.SIGPROF, _over)
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        os.environ["FOAMWRIGHT_DATA"] = made
        known = readers(folder)
        outcomes = []
        for number in range(first, first + cases):
            outcomes.append(run_case(number, known, folder, seconds))
            if outcomes[-1].wrong:
                say(f"case {number}, {outcomes[-1].reader}: {outcomes[-1].wrong}")
    return outcomes


def main() -> int:
    """Run the cases, print the figures, and return 1 if any went wrong."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("cases", nargs="?", type=int, default=20_000)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--seconds", type=float, default=SECONDS, help="of the processor for each command")
    args = parser.parse_args()
    outcomes = fuzz(args.first, args.cases, args.seconds, lambda line: print(line, flush=True))
    # VmHWM is this program's own; what getrusage tells holds the parent's peak too, from before exec.
    peak = int(re.search(r"VmHWM:\s+(\d+)", Path("/proc/self/status").read_text())[1]) / 1024  # type: ignore[index]
    wrong = Counter(one.reader for one in outcomes if one.wrong)
    print(f"{len(outcomes)} damaged files, {sum(wrong.values())} gone wrong: {dict(wrong)}")
    print(f"exit codes {dict(sorted(Counter(one.code for one in outcomes).items()))}")
    slow: Counter[str] = Counter()
    for one in outcomes:
        slow[one.reader] += one.seconds  # type: ignore[assignment]
    print("seconds of the processor: " + ", ".join(f"{name} {took:.1f}" for name, took in slow.most_common()))
    print(f"longest {max(one.seconds for one in outcomes):.1f} s of the processor, peak {peak:.0f} MB")
    return int(bool(wrong) or peak > MEGABYTES)


if __name__ == "__main__":
    sys.exit(main())

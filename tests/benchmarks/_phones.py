"""Telephones that send what their drivers recorded, all at once, over a line that makes them say everything twice."""

import datetime as dt
import random
import statistics
import threading
import time
import uuid
from dataclasses import dataclass, field

import httpx

BATCH = 4


@dataclass
class Phone:
    """One telephone: its events, how long each answer took, and whether an event was ever answered differently."""

    name: str
    events: list[dict[str, object]]
    took_ms: list[float] = field(default_factory=list)
    answered: dict[str, object] = field(default_factory=dict)
    otherwise: int = 0


@dataclass(frozen=True)
class Sent:
    """What came of it."""

    sent: int
    lost: int
    doubled: int
    out_of_order: int
    answered_otherwise: int
    requests: int
    median_ms: float
    slowest_ms: float
    seconds: float


def all_at_once(address: str, sheet: str, *, phones: int, events: int = 20) -> Sent:
    """Let ``phones`` telephones post to one sheet at the same moment, each event twice, and count what the server has.

    Parameters
    ----------
    address
        Of the server.
    sheet
        Path of the sheet, ``/drive/JOB/NAME``.
    phones, events
        How many telephones, and how many events each has.
    """
    callers = [_phone(f"phone {number}", events) for number in range(phones)]
    gate = threading.Barrier(phones)
    threads = [threading.Thread(target=_send, args=(address, sheet, one, gate)) for one in callers]
    begun = time.perf_counter()
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    seconds = time.perf_counter() - begun
    names = {one.name for one in callers}
    kept = httpx.get(f"{address}/plans/{sheet.split('/')[2]}/records", timeout=60.0).raise_for_status().json()["records"]
    return _counted([one["event"] for one in kept if one["event"]["phone"] in names], callers, seconds)


def _phone(name: str, count: int) -> Phone:
    at = dt.datetime(2027, 4, 25, 2, 0, tzinfo=dt.UTC)
    events: list[dict[str, object]] = [
        {
            "id": str(uuid.uuid4()), "kind": "set down", "stop": 2, "counts": {"A": turn}, "note": f"{name} {turn}",
            "phone": name, "turn": turn, "done_at": (at + dt.timedelta(minutes=turn)).isoformat(),
        }
        for turn in range(count)
    ]  # fmt: skip
    return Phone(name, events)


def _send(address: str, sheet: str, phone: Phone, gate: threading.Barrier) -> None:
    dice = random.Random(phone.name)
    with httpx.Client(base_url=address, headers={"origin": address}, timeout=60.0) as caller:
        gate.wait()
        for first in range(0, len(phone.events), BATCH):
            # The answer to the first sending is taken for lost, as after a dead spot; the next begins a little earlier.
            _post(caller, sheet, phone, phone.events[first : first + BATCH])
            _post(caller, sheet, phone, phone.events[max(0, first - dice.randrange(BATCH)) : first + BATCH])


def _post(caller: httpx.Client, sheet: str, phone: Phone, events: list[dict[str, object]]) -> None:
    begun = time.perf_counter()
    answer = caller.post(f"{sheet}/events", json={"events": events}).raise_for_status()
    phone.took_ms.append((time.perf_counter() - begun) * 1000)
    for one in answer.json()["answers"]:
        phone.otherwise += phone.answered.setdefault(one["id"], one) != one


def _counted(kept: list[dict[str, object]], callers: list[Phone], seconds: float) -> Sent:
    sent = [str(event["id"]) for one in callers for event in one.events]
    ids = [str(event["id"]) for event in kept]
    turns = [(len(one.events), [event["turn"] for event in kept if event["phone"] == one.name]) for one in callers]
    times = [ms for one in callers for ms in one.took_ms]
    return Sent(
        sent=len(sent), lost=len(set(sent) - set(ids)), doubled=len(ids) - len(set(ids)),
        out_of_order=sum(found != list(range(count)) for count, found in turns),
        answered_otherwise=sum(one.otherwise for one in callers), requests=len(times),
        median_ms=statistics.median(times), slowest_ms=max(times), seconds=seconds,
    )  # fmt: skip

"""Remember what was worked out for an operation's tables: a window is asked for many times in one plan."""

import threading
from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from typing import TypeVar

from routing.inputs.contract import Contract
from routing.inputs.operation import Operation

Answer = TypeVar("Answer")
KEPT = 256
_TABLES = ("blooms", "stage_notes", "past_blooms", "bloom_sums", "weather", "constants", "gates", "yards")


def remembered(work: Callable[[Operation, Contract], Answer]) -> Callable[[Operation, Contract], Answer]:
    """Return ``work`` with its last answers kept.

    The tables are told apart by identity, since they never change and hashing thousands of rows at every call would
    cost more than the work; they are held as long as the answer is, so that no other table can take their place.
    """
    answers: OrderedDict[tuple[object, ...], tuple[tuple[object, ...], Answer]] = OrderedDict()
    lock = threading.Lock()

    @wraps(work)
    def asked(operation: Operation, contract: Contract) -> Answer:
        tables = tuple(getattr(operation, name) for name in _TABLES)
        key = (contract, operation.first_night, operation.last_night, operation.time_zone, *map(id, tables))
        with lock:
            found = answers.get(key)
            if found is not None:
                answers.move_to_end(key)
                return found[1]
        answer = work(operation, contract)
        with lock:
            answers[key] = (tables, answer)
            while len(answers) > KEPT:
                answers.popitem(last=False)
        return answer

    return asked

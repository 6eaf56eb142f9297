"""Run reckonings beside the plans, each in a process of its own; a few at once, each for minutes at the most."""

import multiprocessing
import threading
from multiprocessing.context import SpawnProcess

from api.problems import ProblemError
from api.reckoner_child import reckon
from api.settings import Settings
from api.store.reckonings import Kind, Reckoning, ReckoningStore

MOST_AT_ONCE = 2


class Reckoner:
    """Starts reckonings and knows which of them still run."""

    def __init__(self, settings: Settings) -> None:
        self.settings = settings
        self.store = ReckoningStore(settings.store)
        self.processes: dict[str, SpawnProcess] = {}
        """Those that may still run, by reckoning."""
        self._lock = threading.Lock()

    def open(self) -> None:
        """Mark what an earlier server left running; its store must be ready."""
        self.store.mark_interrupted()

    def close(self) -> None:
        """End what still runs."""
        for process in self.processes.values():
            process.kill()
            process.join()
        self.processes.clear()

    def ask(self, kind: Kind, subject: str, *, asked: str) -> str:
        """Start a reckoning and return its id.

        Raises
        ------
        ProblemError
            If as many as are taken run already.
        """
        with self._lock:
            self.processes = {one: process for one, process in self.processes.items() if process.is_alive()}
            if len(self.processes) >= MOST_AT_ONCE:
                detail = f"{len(self.processes)} reckonings run already."
                raise ProblemError(429, "line-full", detail, headers={"Retry-After": "30"})
            reckoning_id = self.store.add(kind, subject, asked=asked)
            told = (str(self.settings.store), reckoning_id)
            process = multiprocessing.get_context("spawn").Process(target=reckon, args=told, daemon=True)
            process.start()
            self.processes[reckoning_id] = process
        return reckoning_id

    def look(self, reckoning_id: str) -> Reckoning | None:
        """Return a reckoning as it is now; one whose process ended without a word has failed."""
        with self._lock:
            process = self.processes.get(reckoning_id)
            if process is not None and not process.is_alive():
                # Changes nothing when the process has written its own end, as it does unless it was killed.
                self.store.fail(reckoning_id, f"The process ended with exit code {process.exitcode}.")
                del self.processes[reckoning_id]
        return self.store.get(reckoning_id)

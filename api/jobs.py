"""Run planning jobs, each in a process of its own, so that the server answers while a plan is made."""

import logging
import multiprocessing
import sqlite3
import threading
import time
from dataclasses import dataclass
from multiprocessing.context import SpawnProcess

from api.jobs_child import plan_job
from api.problems import ProblemError
from api.settings import Settings
from api.store.job import Job, JobAsked
from api.store.jobs import JobStore
from api.store.schema import hold, prepare
from routing.inputs.faults import Fault

_LOG = logging.getLogger("bloomhaul.jobs")
_LOOK_EVERY_S = 0.2
"""How often the line of jobs and the processes are looked at. [s]"""


@dataclass
class _Running:
    """One planning process; ``end_by`` moves nearer when the job is asked to stop."""

    process: SpawnProcess
    end_by: float
    asked_to_stop: bool = False


class JobRunner:
    """Starts the jobs that wait in the store, a few at once, and sees each to its end."""

    def __init__(self, settings: Settings) -> None:
        self.settings = settings
        self.store = JobStore(settings.store)
        self._running: dict[str, _Running] = {}
        self._closing = threading.Event()
        self._wake = threading.Event()
        self._thread: threading.Thread | None = None
        self._lock: sqlite3.Connection | None = None

    def open(self) -> None:
        """Take the store and begin; jobs that an earlier server left running are marked interrupted.

        Raises
        ------
        StoreError
            If the store cannot be used, or another server works on it.
        """
        prepare(self.settings.store)
        self._lock = hold(self.settings.store)
        self.store.mark_interrupted()
        self._closing.clear()
        self._thread = threading.Thread(target=self._look_after_jobs, name="job runner", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """Ask every planning process to stop, wait for their best plans, and let go of the store."""
        self._closing.set()
        self._wake.set()
        if self._thread is not None:
            self._thread.join()
        for job_id in self._running:
            self.store.ask_to_stop(job_id, "shutdown")
        end_by = time.monotonic() + self.settings.stop_grace_s
        for job_id, running in self._running.items():
            running.process.join(max(0.0, end_by - time.monotonic()))
            self._end_process(job_id, running, state="interrupted")
        self._running.clear()
        if self._lock is not None:
            self._lock.close()

    def ask(self, asked: JobAsked) -> Job:
        """Put a job in line and return it.

        Raises
        ------
        ProblemError
            If more seconds are asked for than the server gives, or the line is full.
        """
        most = self.settings
        if asked.seconds > most.most_seconds:
            fault = Fault(
                file="query",
                path="seconds",
                found=f"{asked.seconds:g}",
                allowed=f"at most {most.most_seconds:g}",
            )
            raise ProblemError(422, "bad-parameter", "1 value cannot be used.", faults=(fault,))
        if self.store.count("waiting") >= most.most_waiting:
            detail = f"{most.most_waiting} plans wait in line already."
            raise ProblemError(429, "line-full", detail, headers={"Retry-After": "60"})
        job = self.store.add(asked)
        self._wake.set()
        return job

    def cancel(self, job_id: str) -> None:
        """Ask a job to stop with the best plan it has."""
        self.store.ask_to_stop(job_id, "cancel")
        self._wake.set()

    def _look_after_jobs(self) -> None:
        while not self._closing.is_set():
            try:
                self._end_finished()
                self._start_waiting()
            except (sqlite3.Error, OSError):
                # A full disk or a locked file may pass; the line of jobs must not stand still for good.
                _LOG.exception("the line of jobs could not be looked after; trying again")
            self._wake.wait(_LOOK_EVERY_S)
            self._wake.clear()

    def _start_waiting(self) -> None:
        while len(self._running) < self.settings.planning_processes:
            job = self.store.claim_next()
            if job is None:
                return
            try:
                self._running[job.id] = self._start(job)
            except (OSError, RuntimeError) as error:
                self.store.end(job.id, "failed", note=f"No planning process could be started: {error}")

    def _start(self, job: Job) -> _Running:
        # Spawn, not fork: the server has threads, and a forked copy of a held lock never opens.
        process = multiprocessing.get_context("spawn").Process(
            target=plan_job, args=(str(self.settings.store), job.id), name=f"plan {job.id[:8]}"
        )
        process.start()
        return _Running(process, time.monotonic() + job.seconds + self.settings.stop_grace_s)

    def _end_finished(self) -> None:
        for job_id, running in list(self._running.items()):
            if not running.asked_to_stop and self.store.must_stop(job_id):
                running.asked_to_stop = True
                running.end_by = min(running.end_by, time.monotonic() + self.settings.stop_grace_s)
            if not running.process.is_alive() or time.monotonic() > running.end_by:
                self._end_process(job_id, running, state="cancelled" if running.asked_to_stop else "failed")
                del self._running[job_id]

    def _end_process(self, job_id: str, running: _Running, *, state: str) -> None:
        late = running.process.is_alive()
        if late:
            running.process.kill()
        running.process.join()
        why = "did not end in time" if late else f"ended with exit code {running.process.exitcode}"
        # Changes nothing when the process has written its own end, as it does unless it was killed.
        self.store.end(job_id, state, note=f"The planning process {why}.")
        running.process.close()

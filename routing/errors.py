"""The few errors that a caller can meet; each names whose fault it is."""


class BloomhaulError(Exception):
    """Any error raised on purpose by this project."""


class OperationError(BloomhaulError):
    """The operation given cannot be used; ``faults`` lists every reason, not the first only."""

    def __init__(self, faults: "tuple[object, ...]") -> None:
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))


class SourceError(BloomhaulError):
    """A published limit or default was written without its source, or is not there."""


class SolverError(BloomhaulError):
    """A solver answered with something other than a solution, a bound or a stated lack of one."""

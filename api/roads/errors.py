"""What can go wrong with roads, each in one clear sentence."""

import sys

from routing.errors import BloomhaulError


class RoadsError(BloomhaulError):
    """The map, the tiles or the road server cannot be used; nothing was measured."""


class NoAnswerError(RoadsError):
    """The engine or server understood and has no answer, in its own words: no path, no road near."""


class EngineMissingError(RoadsError):
    """The road engine is not installed, or not for this Python."""

    def __init__(self, part: str) -> None:
        python = f"{sys.version_info.major}.{sys.version_info.minor}"
        cure = 'install it with: pip install "bloomhaul[roads]"'
        if sys.version_info < (3, 12) and part == "pyvalhalla":
            cure = f"it needs Python 3.12 or newer and this is Python {python}"
        super().__init__(
            f"Roads from a map need the package {part}, which is not here; {cure}. "
            "Without it miles are estimated from the straight line, or come from your own table."
        )


class SelfTestError(RoadsError):
    """The tiles misread a signed bridge that is known; they must not be used."""

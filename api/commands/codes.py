"""Exit codes of every command, as ``bloomhaul --help`` lists them."""

from typing import Final

ALL_WELL: Final = 0
NOT_KEPT: Final = 1
"""A promise is not kept, or a check is broken; what was asked for is written all the same."""
WRONG_CALL: Final = 2
"""Given by the reader of the command line itself."""
FAULTS: Final = 3
"""The file given has faults; all of them are printed."""
NOT_WRITTEN: Final = 4
PROGRAM_FAILED: Final = 5
INTERRUPTED: Final = 130
"""Stopped by Ctrl-C; the best plan so far is written."""

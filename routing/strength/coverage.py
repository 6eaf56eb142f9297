"""What counts as a frame of bees: two thirds, three quarters or all of it covered, and what one is in another."""

from routing.inputs.inspections import FrameCoverage

COVERED = {"two thirds": 2.0 / 3.0, "three quarters": 0.75, "full": 1.0}
"""Share of a frame that is covered at the least. Two thirds: PNW 623 and COLOSS BEEBOOK 5.4; three quarters:
one contract, beesource.com; full: Nova Scotia, 100 % equivalent, nsbeekeepers.ca."""


def coverage_factor(seen: FrameCoverage | None, asked: FrameCoverage | None) -> float:
    """Return what one frame as it was counted is worth, at the least, as the contract counts.

    Parameters
    ----------
    seen
        How the inspection counted; None: as the contract does.
    asked
        How the contract counts; None: as the inspection does.

    Returns
    -------
    float
        At most 1. A frame two thirds covered bears two thirds of one fully covered; a frame fully covered is
        one frame, not one and a half, where two thirds are enough.

    Examples
    --------
    >>> round(coverage_factor("two thirds", "full"), 4), coverage_factor("full", "two thirds")
    (0.6667, 1.0)
    """
    if seen is None or asked is None:
        return 1.0
    return min(1.0, COVERED[seen] / COVERED[asked])


def same_bees_factor(seen: FrameCoverage | None, asked: FrameCoverage | None) -> float:
    """Return in how many frames the same bees would stand, as the contract counts; may be over 1."""
    if seen is None or asked is None:
        return 1.0
    return COVERED[seen] / COVERED[asked]


def coverage_words(seen: FrameCoverage | None, asked: FrameCoverage | None) -> str:
    """Return in one sentence how frames were turned into frames of the contract; empty where none were."""
    if asked is None and seen is None:
        return ""
    if seen is None or asked is None:
        missing = "your inspection" if seen is None else "the contract"
        return f"What counts as a frame is not told for {missing}: both are taken to count alike."
    if seen == asked:
        return f"Both count a frame when {_covered(seen)} of it is covered."
    factor = coverage_factor(seen, asked)
    same = f"; the same bees would cover {same_bees_factor(seen, asked):.2f}" if same_bees_factor(seen, asked) > 1 else ""
    return (
        f"A frame counted by you ({_covered(seen)} covered) is taken for {factor:.2f} of a frame of the contract"
        f" ({_covered(asked)} covered){same}."
    )


def _covered(coverage: FrameCoverage) -> str:
    return "all" if coverage == "full" else coverage

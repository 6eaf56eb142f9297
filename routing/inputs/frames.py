"""Frames of bees as written down in the yard: one number a hive, or a number and how many hives had it."""

import re

MOST_FRAMES = 30.0
MOST_HIVES = 5000
"""The same as the rules of the table of hive groups."""

_PART = re.compile(r"(\d{1,4}(?:\.\d{1,6})?)(?:\s*[xX×]\s*(\d{1,6}))?", re.ASCII)


def frames_seen(text: str) -> tuple[float, ...]:
    """Return the frames of bees of each hive opened, in the order written.

    Parameters
    ----------
    text
        Numbers with commas or semicolons between them. ``9.5`` is one hive of nine and a half frames,
        ``8x5`` is five hives of eight frames each; both may be mixed. [frames]

    Returns
    -------
    tuple[float, ...]
        One value for each hive opened, at least one. [frames]

    Raises
    ------
    ValueError
        If a part cannot be read, or there are too many frames or hives; the text is one clear sentence.

    Examples
    --------
    >>> frames_seen("8x2, 9.5")
    (8.0, 8.0, 9.5)
    """
    parts = [part.strip() for part in re.split("[,;]", text)]
    seen: list[float] = []
    for part in parts:
        frames, hives = _part(part)
        if len(seen) + hives > MOST_HIVES:
            raise ValueError(f"'{_short(text)}' counts more than {MOST_HIVES} hives.")
        seen += [frames] * hives
    return tuple(seen)


def _part(part: str) -> tuple[float, int]:
    match = _PART.fullmatch(part)
    if match is None:
        raise ValueError(f"'{_short(part)}' is neither frames of one hive (9.5) nor frames x hives (8x5).")
    frames, hives = float(match[1]), int(match[2] or 1)
    if frames > MOST_FRAMES:
        raise ValueError(f"'{part}' gives one hive more than {MOST_FRAMES:.0f} frames of bees.")
    if hives < 1:
        raise ValueError(f"'{part}' counts no hive.")
    return frames, hives


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."

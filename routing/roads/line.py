"""The line of a road: read from its short text, written back."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

Points = npt.NDArray[np.float64]
"""Two columns, latitude and longitude; a row a point, from the origin to the destination. [deg]"""


def points_of_text(text: str, *, digits: int = 6) -> Points:
    """Return the points of an encoded line: steps in the last decimal, zigzag, five bits a letter.

    Parameters
    ----------
    text
        The line, as road servers send it.
    digits
        Decimals of a degree that one step stands for.

    Raises
    ------
    ValueError
        If the text ends within a number or a point, or holds a letter that no such text has.

    Notes
    -----
    "Encoded Polyline Algorithm Format" (the example below is from there, from memory),
    https://developers.google.com/maps/documentation/utilities/polylinealgorithm

    Examples
    --------
    >>> points_of_text("_p~iF~ps|U_ulLnnqC_mqNvxq`@", digits=5).tolist()
    [[38.5, -120.2], [40.7, -120.95], [43.252, -126.453]]
    """
    if not text:
        return np.empty((0, 2))
    letters = np.array([ord(letter) - 63 for letter in text], dtype=np.int64)
    if letters.min() < 0 or letters.max() > 63:
        raise ValueError("the line of the road holds a letter that no such line has")
    ends = np.flatnonzero(letters < 0x20)
    if len(ends) == 0 or ends[-1] != len(letters) - 1 or len(ends) % 2:
        raise ValueError("the line of the road ends within a number or a point")
    starts = np.concatenate(([0], ends[:-1] + 1))
    shift = 5 * (np.arange(len(letters)) - np.repeat(starts, ends - starts + 1))
    values = np.add.reduceat((letters & 0x1F) << shift, starts)
    steps = np.where(values & 1, ~(values >> 1), values >> 1)
    return np.asarray(np.cumsum(steps.reshape(-1, 2), axis=0) / 10.0**digits)


def text_of_line(line: Sequence[tuple[float, float]], *, digits: int = 6) -> str:
    """Return the encoded text of a line; ``points_of_text`` reads it back."""
    scale, before, letters = 10.0**digits, (0, 0), []
    for latitude_deg, longitude_deg in line:
        here = (round(latitude_deg * scale), round(longitude_deg * scale))
        letters += [_letters(here[0] - before[0]), _letters(here[1] - before[1])]
        before = here
    return "".join(letters)


def _letters(step: int) -> str:
    value, found = (~(step << 1) if step < 0 else step << 1), []
    while value >= 0x20:
        found.append(chr((0x20 | (value & 0x1F)) + 63))
        value >>= 5
    return "".join((*found, chr(value + 63)))

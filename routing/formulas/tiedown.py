"""Tie-downs: how many, how strong together, and what an unmarked one counts for.

Law of this file, 49 CFR part 393 subpart I: two rules hold at once, a number of tie-downs by length and
weight of the article, and an aggregate working load limit by its weight. Damaged or knotted gear counts for
nothing, and the weakest part of a tie-down, its anchor point included, sets its limit: a person must look.
"""

import math
import re
from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from typing import Literal, NamedTuple

from routing.limits import Limit, limit, rows

Kind = Literal["webbing strap", "chain", "rope", "wire rope"]

_SLIVER_FT = 1e-6
"""Less than any tape shows: keeps a length added up from inches from starting another ten feet."""
_CHAIN_MARKS = {"30": ("3", "30", "300"), "43": ("4", "43", "430"), "70": ("7", "70", "700"),
                "80": ("8", "80", "800"), "100": ("10", "100", "1000")}
_CHAIN_GRADES = {mark: grade for grade, marks in _CHAIN_MARKS.items() for mark in marks}
_FIBRES = {"manila": "manila", "polyprop": "polypropylene", "polyester": "polyester", "nylon": "nylon",
           "synthetic": "polypropylene"}
_NOT_A_SIZE = re.compile(r"[\d.,]+\s*(?:ft\b|feet\b|foot\b|'(?!')|lbs?\b|pounds?\b)")
_GRADE = re.compile(r"\b(?:grade|gr|g)\.?\s*(\d+)\b")
_SIZE = re.compile(r"(?:(\d+)[ -])?(\d+)/(\d+)|(\d+(?:\.\d+)?)")


class TieDownSet(NamedTuple):
    """Tie-downs that are alike and lie alike."""

    number: int
    wll_lb: float
    """Working load limit of one."""
    over_to_other_side: bool
    """From one side of the vehicle over the cargo to the other side."""


def least_tie_downs(length_ft: float, weight_lb: float, *, blocked: bool) -> int:
    """Return the least number of tie-downs for an article, by its length and weight.

    Parameters
    ----------
    length_ft
        Length of the article, or of a row of articles held as one, along the vehicle. > 0. [ft]
    weight_lb
        Its weight. >= 0. [lb]
    blocked
        Whether a headboard, bulkhead or other cargo well secured keeps it from moving forward.

    Returns
    -------
    int
        Tie-downs, one or more; the rule of `least_aggregate_wll_lb` may ask for more.

    Raises
    ------
    ValueError
        If the length is not more than 0 or the weight less than 0.

    Notes
    -----
    Blocked: one for every 10 ft or part of it. Not blocked: one to 5 ft and 1,100 lb; two to 10 ft; beyond,
    two for the first 10 ft and one more for every 10 ft or part of it [1]_.

    References
    ----------
    .. [1] 49 CFR 393.110, quoted from fmcsa.dot.gov/regulations/cargo-securement/cargo-securement-rules.

    Examples
    --------
    >>> least_tie_downs(20.0, 9000.0, blocked=False), least_tie_downs(20.0, 9000.0, blocked=True)
    (3, 2)
    """
    if not (0.0 < length_ft < math.inf and 0.0 <= weight_lb < math.inf):
        raise ValueError(f"An article of {length_ft} ft and {weight_lb} lb: more than 0 ft and 0 lb or more.")
    every_ft = limit("tie_down_every_ft").value
    if blocked:
        return max(1, math.ceil((length_ft - _SLIVER_FT) / every_ft))
    short = length_ft <= limit("tie_down_short_ft").value + _SLIVER_FT
    if short and weight_lb <= limit("tie_down_light_lb").value:
        return 1
    return 2 + max(0, math.ceil((length_ft - every_ft - _SLIVER_FT) / every_ft))


def least_aggregate_wll_lb(weight_lb: float) -> float:
    """Return the least aggregate working load limit for cargo of ``weight_lb``: half of it. [lb]

    References: 49 CFR 393.106(d).

    >>> least_aggregate_wll_lb(30_000.0)
    15000.0
    """
    return limit("tie_down_share_of_weight").value * weight_lb


def counted_wll_lb(wll_lb: float, *, over_to_other_side: bool) -> float:
    """Return what one tie-down adds to the aggregate: all of its limit, or half. [lb]

    Half when it goes to the cargo itself or back to the same side of the vehicle, 49 CFR 393.106(d).

    >>> counted_wll_lb(4000.0, over_to_other_side=True), counted_wll_lb(4000.0, over_to_other_side=False)
    (4000.0, 2000.0)
    """
    name = "tie_down_other_side_counts" if over_to_other_side else "tie_down_same_side_counts"
    return limit(name).value * wll_lb


def aggregate_wll_lb(sets: Sequence[TieDownSet]) -> float:
    """Return the aggregate working load limit of all tie-downs in use. [lb]

    >>> aggregate_wll_lb([TieDownSet(4, 4000.0, True), TieDownSet(2, 1000.0, False)])
    17000.0
    """
    return sum(
        one.number * counted_wll_lb(one.wll_lb, over_to_other_side=one.over_to_other_side) for one in sets
    )


def tie_downs_needed(length_ft: float, weight_lb: float, *, blocked: bool, counted_each_lb: float) -> int:
    """Return how many tie-downs that count ``counted_each_lb`` each satisfy both rules.

    Parameters
    ----------
    length_ft, weight_lb, blocked
        As in `least_tie_downs`.
    counted_each_lb
        What one tie-down counts for, from `counted_wll_lb`. > 0. [lb]

    Returns
    -------
    int
        The larger of the number by length and the number by weight.

    Raises
    ------
    ValueError
        If ``counted_each_lb`` is not more than 0, or as `least_tie_downs`.

    Examples
    --------
    24,000 lb on 24 ft with 4 in webbing over to the other side: three by weight, four by length.

    >>> tie_downs_needed(24.0, 24_000.0, blocked=False, counted_each_lb=4000.0)
    4
    """
    if not counted_each_lb > 0.0:
        raise ValueError(f"A tie-down that counts {counted_each_lb} lb holds nothing; give more than 0 lb.")
    by_weight = math.ceil(least_aggregate_wll_lb(weight_lb) / counted_each_lb)
    return max(least_tie_downs(length_ft, weight_lb, blocked=blocked), by_weight)


def default_wll(kind: Kind, size: str) -> Limit | None:
    """Return the published working load limit of a tie-down that bears no mark of it.

    Parameters
    ----------
    kind
        What it is made of.
    size
        Its size as written by the user, with grade or fibre: ``4 in``, ``3/8 grade 70``, ``1/2 in nylon``.

    Returns
    -------
    Limit or None
        The row of the table; for a size between two rows the smaller one. None when the table has no row so
        small or the size cannot be read: then the limit is not known, which is not the same as fine.

    Notes
    -----
    Chain of no or another grade counts as grade 30, rope of no named man-made fibre as polypropylene [1]_; a
    rope of which nothing is said counts as manila, the weakest row.

    References
    ----------
    .. [1] 49 CFR 393.108 and its table.

    Examples
    --------
    >>> row = default_wll("chain", "3/8 in, grade 70")
    >>> row.value, row.status
    (6600.0, 'read')
    """
    text = _NOT_A_SIZE.sub(" ", size.lower())
    inches = _inches(_GRADE.sub(" ", text))
    if inches is None:
        return None
    fitting = [row for row_in, row in _wll_rows()[_material(kind, text)] if row_in <= inches]
    return fitting[-1] if fitting else None


def _material(kind: Kind, text: str) -> str:
    if kind == "chain":
        mark = _GRADE.search(text)
        return "chain_grade_" + _CHAIN_GRADES.get(mark.group(1) if mark else "", "30")
    if kind == "rope":
        return "rope_" + next((fibre for word, fibre in _FIBRES.items() if word in text), "manila")
    return "webbing" if kind == "webbing strap" else "wire_rope"


def _inches(text: str) -> Fraction | None:
    found = list(_SIZE.finditer(text))
    if len(found) != 1 or "cm" in text:
        return None
    whole, over, under, plain = found[0].groups()
    if plain is None and int(under) == 0:
        return None
    size = Fraction(plain) if plain is not None else int(whole or 0) + Fraction(int(over), int(under))
    return size / Fraction("25.4") if "mm" in text else size


@cache
def _wll_rows() -> dict[str, list[tuple[Fraction, Limit]]]:
    """Return, by material, the rows of the table with their size in inches, smallest first."""
    table: dict[str, list[tuple[Fraction, Limit]]] = {}
    for name, row in rows().items():
        if name.startswith("wll_"):
            material, size = name.removeprefix("wll_").removesuffix("_in").rsplit("_", 1)
            inches = _inches(size)
            if inches is not None:
                table.setdefault(material, []).append((inches, row))
    return {material: sorted(found, key=lambda pair: pair[0]) for material, found in table.items()}

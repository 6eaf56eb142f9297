"""Signs that the engine misreads although their text is clear: written anew in a copy of the map before tiles are built."""

import math
from collections.abc import Collection
from pathlib import Path

from api.roads.country import UNITED_STATES
from api.roads.engine import need
from api.roads.trial import METRES, OPTIONS, Text, figure
from routing.units import KG_PER_LB


def plain_text(key: str, value: str, country: str) -> str:
    """Return the sign in the words that the engine reads right: metres, metric tonnes, in the United States pounds."""
    limit = figure(key, value)
    if limit is None:
        raise ValueError(f"{key}={value} cannot be read")
    if OPTIONS[key][1] == METRES or country != UNITED_STATES:
        return f"{math.floor(limit * 100.0 + 1e-6) / 100.0:g}"
    return f"{math.floor(limit * 1000.0 / KG_PER_LB + 1e-6)} lbs"


def write_mended(source: Path, target: Path, *, texts: Collection[Text], country: str) -> int:
    """Write a copy of a map in which some texts of signs are written anew; return how many signs were.

    Parameters
    ----------
    source, target
        The map and its copy.
    texts
        Tags and values to write anew.
    country
        By which weights are written.
    """
    need("osmium", "osmium")
    import osmium

    count = 0
    keys = osmium.filter.KeyFilter(*{key for key, _ in texts})
    target.unlink(missing_ok=True)
    with osmium.SimpleWriter(str(target)) as writer:
        # Whatever has none of the keys is copied without a look at it.
        for one in osmium.FileProcessor(str(source)).with_filter(keys).handler_for_filtered(writer):
            tags = {tag.k: tag.v for tag in one.tags}
            wrong = {key for key, value in tags.items() if (key, value) in texts}
            count += len(wrong)
            if wrong and isinstance(one, osmium.osm.Node | osmium.osm.Way | osmium.osm.Relation):
                told = {key: plain_text(key, value, country) if key in wrong else value for key, value in tags.items()}
                writer.add(one.replace(tags=told))
            else:
                writer.add(one)
    return count

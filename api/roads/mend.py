"""A copy of the map for the engine: signs that it misreads written anew, farm tracks and gravel roads given a speed.

Left to itself the engine drives a track without a speed at 1 mph and a gravel road at 12, so that a yard half a mile
up a track would cost an hour (valhalla issue 5905, open, https://github.com/valhalla/valhalla/issues/5905).
"""

import math
from collections.abc import Collection, Mapping
from pathlib import Path

from api.roads.country import UNITED_STATES
from api.roads.engine import need
from api.roads.scan import ROADS
from api.roads.trial import METRES, OPTIONS, Text, figure
from routing.limits import limit
from routing.units import KG_PER_LB


def plain_text(key: str, value: str, country: str) -> str:
    """Return the sign in the words that the engine reads right: metres, metric tonnes, in the United States pounds."""
    limit = figure(key, value)
    if limit is None:
        raise ValueError(f"{key}={value} cannot be read")
    if OPTIONS[key][1] == METRES or country != UNITED_STATES:
        return f"{math.floor(limit * 100.0 + 1e-6) / 100.0:g}"
    return f"{math.floor(limit * 1000.0 / KG_PER_LB + 1e-6)} lbs"


UNPAVED = ("unpaved", "gravel", "fine_gravel", "dirt", "earth", "ground", "compacted", "pebblestone", "sand", "grass", "mud")
UNDER_MPH = 4.0
"""Where a road is not paved and allows 10 mph or more, the engine takes some 4 off (measured with engine 3.9.1)."""


def speed_text(tags: Mapping[str, str]) -> str | None:
    """Return the speed to write on a road, as the map would have it; None where it has one or needs none."""
    if any(key.split(":")[0] == "maxspeed" for key in tags):
        return None
    if tags.get("highway") == "track":
        mph = limit("track_mph").value
    elif tags.get("highway") in ROADS and tags.get("surface") in UNPAVED:
        mph = limit("unpaved_mph").value
    else:
        return None
    return f"{mph + (UNDER_MPH if mph >= 10.0 else 0.0):.0f} mph"


def write_mended(source: Path, target: Path, *, texts: Collection[Text], country: str) -> tuple[int, int]:
    """Write the engine's copy of a map; return how many signs were written anew and how many roads given a speed.

    Parameters
    ----------
    source, target
        The map and its copy.
    texts
        Tags and values of signs to write anew.
    country
        By which weights are written.
    """
    need("osmium", "osmium")
    import osmium

    signs = speeds = 0
    keys = osmium.filter.KeyFilter("highway", *{key for key, _ in texts})
    target.unlink(missing_ok=True)
    with osmium.SimpleWriter(str(target)) as writer:
        # Whatever has none of the keys is copied without a look at it.
        for one in osmium.FileProcessor(str(source)).with_filter(keys).handler_for_filtered(writer):
            tags = {tag.k: tag.v for tag in one.tags}
            wrong = {key: plain_text(key, value, country) for key, value in tags.items() if (key, value) in texts}
            speed = speed_text(tags) if isinstance(one, osmium.osm.Way) else None
            signs, speeds = signs + len(wrong), speeds + (speed is not None)
            if (wrong or speed) and isinstance(one, osmium.osm.Node | osmium.osm.Way | osmium.osm.Relation):
                writer.add(one.replace(tags=tags | wrong | ({"maxspeed": speed} if speed else {})))
            else:
                writer.add(one)
    return signs, speeds

"""A real road server of our own for the tests: shortest ways on a real map, told by the OSRM interface.

It knows nothing of the road engine: its graph is read from the extract and searched by Dijkstra's method, which makes
it a second opinion on the engine too. Some of its addresses misbehave on purpose, as servers do.
"""

import heapq
import json
import threading
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from itertools import pairwise
from pathlib import Path
from typing import Any

from pyproj import Geod

from api.roads.scan import ROADS, ways_of

EARTH = Geod(ellps="WGS84")
METRES_PER_SECOND = 10.0
Node = tuple[float, float]


class Streets:
    """The roads of a map as a graph; every road both ways unless ``one_way`` is heeded."""

    def __init__(self, file: Path, *, heed_one_way: bool = True) -> None:
        import osmium

        self.under: set[int] = set()
        """Points of tunnels: a place given by its latitude and longitude cannot lie there."""
        roads = [([node.ref for node in way.nodes], way.tags.get("oneway") == "yes" and heed_one_way)
                 for way in ways_of(file, "highway") if way.tags.get("highway") in ROADS]  # fmt: skip
        self.under |= {node.ref for way in ways_of(file, "highway") if way.tags.get("tunnel") for node in way.nodes}
        wanted = {node for nodes, _ in roads for node in nodes}
        self.at: dict[int, Node] = {
            one.id: (one.location.lat, one.location.lon)
            for one in osmium.FileProcessor(str(file), osmium.osm.NODE).with_filter(osmium.filter.IdFilter(wanted))
        }
        self.next: dict[int, dict[int, float]] = defaultdict(dict)
        for nodes, one_way in roads:
            known = [node for node in nodes if node in self.at]
            for a, b in pairwise(known):
                metres = EARTH.inv(self.at[a][1], self.at[a][0], self.at[b][1], self.at[b][0])[2]
                self.next[a][b] = min(metres, self.next[a].get(b, metres))
                if not one_way:
                    self.next[b][a] = min(metres, self.next[b].get(a, metres))

    def nearest(self, latitude: float, longitude: float) -> int:
        """Return the point of a road nearest to a place."""
        return min(self.at, key=lambda node: (self.at[node][0] - latitude) ** 2 + ((self.at[node][1] - longitude) * 0.6) ** 2)

    def metres_from(self, start: int) -> dict[int, float]:
        """Return the length of the shortest way to every point that can be got to. [m]"""
        found: dict[int, float] = {}
        heap = [(0.0, start)]
        while heap:
            metres, node = heapq.heappop(heap)
            if node not in found:
                found[node] = metres
                for other, more in self.next[node].items():
                    if other not in found:
                        heapq.heappush(heap, (metres + more, other))
        return found


def _nearest(streets: Streets, points: str, query: dict[str, str]) -> Any:
    longitude, latitude = (float(one) for one in points.split(","))
    return {"code": "Ok", "waypoints": [_waypoint(streets, streets.nearest(latitude, longitude))]}


def _waypoint(streets: Streets, node: int) -> dict[str, Any]:
    latitude, longitude = streets.at[node]
    return {"name": "", "location": [longitude, latitude]}


def _table(streets: Streets, points: str, query: dict[str, str]) -> Any:
    nodes = [streets.nearest(*reversed([float(one) for one in point.split(",")])) for point in points.split(";")]
    sources, targets = ([int(one) for one in query[name].split(";")] for name in ("sources", "destinations"))
    rows = []
    for source in sources:
        metres = streets.metres_from(nodes[source])
        rows.append([metres.get(nodes[target]) for target in targets])
    return {
        "code": "Ok", "distances": rows,
        "durations": [[None if one is None else one / METRES_PER_SECOND for one in row] for row in rows],
        "sources": [_waypoint(streets, nodes[one]) for one in sources],
        "destinations": [_waypoint(streets, nodes[one]) for one in targets],
    }  # fmt: skip


def osrm_answers(streets: Streets) -> Callable[[str], Any]:
    """Return the function that answers a path of the OSRM interface."""

    def answer(path: str) -> Any:
        plain, _, asked = path.partition("?")
        _, service, _, _, points = plain.split("/")
        query = dict(part.split("=") for part in asked.split("&"))
        return {"nearest": _nearest, "table": _table}[service](streets, points, query)

    return answer


KINDS = ("refused", "to-file", "to-other", "html", "slow", "partial", "negative", "quick", "short", "other")


def faulty(kind: str, whole: Any) -> Any:
    """Return an answer as a server gives it that is not well."""
    if kind == "partial" and "distances" in whole:
        whole["distances"].pop()
    if kind == "negative" and "distances" in whole:
        whole["distances"][0][-1] = -5.0
    if kind == "quick" and "durations" in whole:
        whole["durations"] = [[None if one is None else one / 100.0 for one in row] for row in whole["durations"]]
    if kind == "short" and "distances" in whole:
        whole["distances"] = [[None if one is None else one * 0.01 for one in row] for row in whole["distances"]]
    return {"nothing": "of use"} if kind == "other" else whole


@contextmanager
def serving(get: Callable[[str], Any], post: "Callable[[str, Any], Any] | None" = None) -> Iterator[str]:
    """Serve on this machine and yield the address. Addresses below /html, /slow and so on misbehave."""

    class Handler(BaseHTTPRequestHandler):
        def log_message(self, format: str, *args: object) -> None:
            return

        def do_GET(self) -> None:
            kind, path = self._kind()
            if kind == "refused":
                return self._send(400, {"code": "TooBig", "message": "Too many table coordinates"})
            if kind in ("to-file", "to-other"):
                self.send_response(302)
                self.send_header("Location", "file:///etc/hostname" if kind == "to-file" else "ftp://127.0.0.1/x")
                self.end_headers()
                return None
            if kind == "html":
                return self._send(200, None, b"<html>Welcome</html>")
            if kind == "slow":
                time.sleep(2.0)
            return self._send(200, faulty(kind, get(path)))

        def do_POST(self) -> None:
            _, path = self._kind()
            asked = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
            assert post is not None
            try:
                self._send(200, post(path.strip("/"), asked))
            except Exception as error:
                self._send(400, {"error_code": 171, "error": str(error)})

        def _kind(self) -> tuple[str, str]:
            kind, _, rest = self.path.lstrip("/").partition("/")
            return (kind, f"/{rest}") if kind in KINDS else ("", self.path)

        def _send(self, status: int, answer: Any, content: "bytes | None" = None) -> None:
            body = json.dumps(answer).encode() if content is None else content
            self.send_response(status)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            with suppress(BrokenPipeError):  # whoever asked may have stopped waiting
                self.wfile.write(body)

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}"
    finally:
        server.shutdown()
        server.server_close()

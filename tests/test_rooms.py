"""The arrows of the house: a room imports only rooms above it, and does only what its kind may do."""

import ast
from collections.abc import Iterator
from fnmatch import fnmatch
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
ROOMS = (
    ("units", "errors", "record", "finding"), ("limits",), ("formulas", "solver"), ("inputs",), ("roads",),
    ("strength",), ("bloom",), ("season",), ("nights",), ("keepable",), ("loads",), ("drops",), ("readiness",),
    ("plan_record",), ("feedback",), ("plan",), ("changes",), ("quote", "risk", "year"), ("sheets",),
)
RANK = {room: rank for rank, level in enumerate(ROOMS) for room in level}
# Records only: what passes between rooms may be named by every room below the inputs.
RECORDS = ("routing.nights.tour", "routing.loads.load", "routing.plan_record")
CAPACITY_MAY = {"units", "errors", "record", "finding", "limits", "formulas", "inputs"}
API_MAY = ("routing.inputs", "routing.plan", "routing.plan_record", "routing.sheets", "routing.errors",
           "routing.finding", "routing.record", "routing.limits", "routing.loads.typed",
           "routing.loads.document", "routing.loads.load", "routing.nights.tour", "routing.drops", "routing.changes",
           "routing.strength", "routing.bloom", "routing.quote", "routing.risk", "routing.season",
           "routing.year", "routing.units", "routing.roads")
SOLVER_FILES = {"solve", "master", "bound", "search", "solver"}
GEOPANDAS_FOLDERS = ("routing/inputs/", "routing/drops/", "api/files/")
FILE_WORDS = {"read_text", "write_text", "read_bytes", "write_bytes", "open", "unlink", "mkdir"}
CLOCK_WORDS = {"now", "today", "utcnow"}
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "routing", "api", "fixtures", "tests"}


def _imports(tree: ast.AST) -> Iterator[str]:
    """Yield every module imported, with its names: a name may be a module of its own."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def _within(name: str, modules: tuple[str, ...]) -> bool:
    return any(name == module or name.startswith(f"{module}.") for module in modules)


def _arrow_faults(path: str, tree: ast.AST) -> Iterator[str]:
    for name in _imports(tree):
        if path.startswith("routing/"):
            if _within(name, ("api", "fixtures", "tests")):
                yield f"{path} imports {name}: the planner knows no face"
            elif name.startswith("routing.") and not _may_import(path, name):
                yield f"{path} imports {name}, which is below it"
        elif path.startswith("api/") and name.startswith("routing") and not _within(name, API_MAY):
            yield f"{path} imports {name}: a face sees {', '.join(API_MAY)} only"
        if _within(name, ("ortools",)) and Path(path).stem not in SOLVER_FILES:
            yield f"{path} imports {name}: solvers live in {', '.join(sorted(SOLVER_FILES))} only"
        planner_or_face = path.startswith(("routing/", "api/"))
        if _within(name, ("geopandas",)) and planner_or_face and not path.startswith(GEOPANDAS_FOLDERS):
            yield f"{path} imports {name}: tables of shapes stay in {', '.join(GEOPANDAS_FOLDERS)}"


def _may_import(path: str, name: str) -> bool:
    here, there = (path.removesuffix(".py").split("/")[1], name.split(".")[1])
    if path == "routing/loads/capacity.py":
        return there in CAPACITY_MAY
    if path == "routing/loads/mixed.py":
        return there in CAPACITY_MAY or _within(name, ("routing.loads.capacity",))
    if here == "nights" and _within(name, ("routing.loads.capacity", "routing.loads.mixed")):
        return True
    if RANK[here] > RANK["inputs"] and _within(name, RECORDS):
        return True
    return there == here or RANK[there] < RANK[here] or RANK[there] == RANK[here] == 0


def _edge_faults(path: str, tree: ast.AST) -> Iterator[str]:
    """Yield files, printing, clocks and unseeded randomness within the planner."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        called = ast.unparse(node.func)
        last = called.rsplit(".", 1)[-1]
        source = last in {"Random", "default_rng"}
        drawn = called.startswith(("random.", "np.random.", "numpy.random.")) and "(" not in called
        if called == "print" or (last in FILE_WORDS and not path.startswith("routing/limits/")):
            yield f"{path}:{node.lineno} calls {called}(): files and printing live at the edges"
        if last in CLOCK_WORDS or called == "time.time":
            yield f"{path}:{node.lineno} calls {called}(): today is an argument"
        if (source and not (node.args or node.keywords)) or (drawn and not source):
            yield f"{path}:{node.lineno} calls {called}(): the seed is an argument"


def _files(*folders: str) -> list[Path]:
    return sorted(path for folder in folders for path in (ROOT / folder).rglob("*.py"))


def _parsed(path: Path) -> tuple[str, ast.Module]:
    return path.relative_to(ROOT).as_posix(), ast.parse(path.read_text(encoding="utf-8"))


def test_every_room_has_its_place_in_the_order() -> None:
    rooms = {path.relative_to(ROOT / "routing").parts[0].removesuffix(".py") for path in _files("routing")}
    assert rooms - {"__init__"} <= set(RANK)


def test_imports_go_upward_only() -> None:
    files = _files("routing", "api", "fixtures")
    assert [fault for path in files for fault in _arrow_faults(*_parsed(path))] == []


def test_the_planner_has_no_files_no_printing_no_clock_and_no_unseeded_randomness() -> None:
    assert [fault for path in _files("routing") for fault in _edge_faults(*_parsed(path))] == []


def test_the_top_level_holds_what_the_design_lists() -> None:
    ignored = (ROOT / ".gitignore").read_text(encoding="utf-8").split()
    names = {path.name for path in ROOT.iterdir()}
    listed = {name for name in names if not any(fnmatch(name, pattern.strip("/")) for pattern in ignored)}
    assert {name for name in listed if not name.startswith(".")} <= TOP_LEVEL


@pytest.mark.parametrize(("path", "line"), [
    ("routing/inputs/a.py", "from routing.nights.tour import Lot"),
    ("routing/inputs/a.py", "from routing import plan"),
    ("routing/inputs/a.py", "from routing.loads.load import Load"),
    ("routing/nights/a.py", "from routing.loads.deck import rows"),
    ("routing/loads/capacity.py", "from routing.loads.deck import rows"),
    ("routing/loads/capacity.py", "from routing.nights.tour import Lot"),
    ("routing/nights/tour.py", "from ortools.sat.python import cp_model"),
    ("routing/nights/a.py", "import geopandas"),
    ("routing/plan.py", "from fixtures.demo import demo_operation"),
    ("api/cli.py", "from routing.nights.solve import solve"),
])
def test_an_arrow_that_points_down_is_told(path: str, line: str) -> None:
    assert len(list(_arrow_faults(path, ast.parse(line)))) == 1


@pytest.mark.parametrize(("path", "line"), [
    ("routing/nights/a.py", "from routing.loads.capacity import units_that_fit"),
    ("routing/roads/a.py", "from routing.nights.tour import Lot"),
    ("routing/nights/check.py", "from routing.plan_record import Plan"),
    ("routing/nights/master.py", "from ortools.sat.python import cp_model"),
    ("routing/loads/capacity.py", "from routing.inputs.build import measure"),
    ("api/cli.py", "from routing.plan import make_plan"),
    ("api/files/maps.py", "import geopandas"),
])
def test_an_arrow_that_points_up_is_fine(path: str, line: str) -> None:
    assert list(_arrow_faults(path, ast.parse(line))) == []


@pytest.mark.parametrize("line", [
    "open('a')", "print(1)", "dt.datetime.now()", "date.today()", "path.read_text()", "random.random()",
    "random.Random()", "np.random.default_rng()", "time.time()",
])
def test_work_of_the_edges_is_told_and_seeded_randomness_is_not(line: str) -> None:
    assert len(list(_edge_faults("routing/plan.py", ast.parse(line)))) == 1
    assert list(_edge_faults("routing/plan.py", ast.parse("random.Random(seed).shuffle(items)"))) == []

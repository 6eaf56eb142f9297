"""An operation opens from whatever file it was saved in, with every fault of every file at once."""

from pathlib import Path

import pytest

from api.files.open_operation import open_operation
from api.files.workbook import operation_workbook
from routing.errors import OperationError
from routing.inputs.example import example_operation

MAP = (
    '{"type": "FeatureCollection", "features": [{"type": "Feature", '
    '"properties": {"contract": "Lower pears", "block": "Block 1"}, "geometry": {"type": "Polygon", '
    '"coordinates": [[[-90.101,44.2],[-90.098,44.2],[-90.098,44.202],[-90.101,44.202],[-90.101,44.2]]]}}]}'
)
CSV = "origin,destination,miles,minutes\nHome yard,Lower pears,18.4,29\n"


def faults(path: Path, maps: tuple[Path, ...] = (), distances: Path | None = None) -> list[str]:
    with pytest.raises(OperationError) as refused:
        open_operation(path, maps=maps, distances=distances)
    return [str(fault) for fault in refused.value.faults]


def saved(path: Path, content: str | bytes) -> Path:
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return path


@pytest.mark.parametrize("name", ["bees.json", "bees.JSON", "bees", "bees.txt"])
def test_a_json_document_is_known_by_suffix_or_content(tmp_path: Path, name: str) -> None:
    path = saved(tmp_path / name, "\n " + example_operation().model_dump_json(indent=1))
    assert open_operation(path) == example_operation()


@pytest.mark.parametrize("name", ["bees.xlsx", "bees.XLSX", "bees"])
def test_a_workbook_is_known_by_suffix_or_content(tmp_path: Path, name: str) -> None:
    assert (
        open_operation(saved(tmp_path / name, operation_workbook(example_operation()))) == example_operation()
    )


def test_maps_and_distances_are_added(tmp_path: Path) -> None:
    bare = example_operation().model_copy(
        update={
            "distances": (),
            "blocks": (example_operation().blocks[0].model_copy(update={"outline": None}),),
        }
    )
    path = saved(tmp_path / "bees.xlsx", operation_workbook(bare))
    maps, ways = (saved(tmp_path / "b.geojson", MAP),), saved(tmp_path / "ways.csv", CSV)
    operation = open_operation(path, maps=maps, distances=ways)
    assert operation.distances == example_operation().distances
    assert str(operation.blocks[0].outline).startswith("POLYGON ((-90.1")


def test_faults_of_every_file_are_told_in_one_run(tmp_path: Path) -> None:
    wrong = example_operation().model_dump_json().replace('"hives":24', '"hives":-4')
    path, ways = (
        saved(tmp_path / "bees.json", wrong),
        saved(tmp_path / "ways.csv", CSV.replace("18.4", "far")),
    )
    told = faults(path, maps=(tmp_path / "gone.gpkg", saved(tmp_path / "b.geojson", "{}")), distances=ways)
    assert {sentence.split(",")[0].split(":")[0] for sentence in told} == {
        "bees.json", "gone.gpkg", "b.geojson", "ways.csv"
    }  # fmt: skip


def test_a_file_that_cannot_be_read_at_all_leaves_the_other_files_faults_told(tmp_path: Path) -> None:
    told = faults(saved(tmp_path / "bees.json", "{"), distances=saved(tmp_path / "ways.csv", ""))
    assert [sentence.split(",")[0].split(":")[0] for sentence in told] == ["bees.json", "ways.csv"]


REFUSED = [
    ("bees.xlsx", "name,hives\n", "a file of another kind"),
    ("bees.xlsm", "PK", "a workbook saved as .xlsm, which may hold macros"),
    ("bees.csv", "name,hives\n", "a file of another kind (.csv)"),
    ("bees", "", "a file of another kind (without a suffix)"),
    ("bees.json", "", "an empty text"),
    ("bees.xls", b"\xd0\xcf\x11\xe0" + b"\x00" * 100, "an old or password-protected workbook"),
    ("bees.dat", b"\xd0\xcf\x11\xe0" + b"\x00" * 100, "an old or password-protected workbook"),
]


@pytest.mark.parametrize(("name", "content", "found"), REFUSED)
def test_a_file_of_another_kind_is_refused_in_one_sentence(
    tmp_path: Path, name: str, content: str | bytes, found: str
) -> None:
    (sentence,) = faults(saved(tmp_path / name, content))
    assert sentence.startswith(f"{name}")
    assert found in sentence


def test_no_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    assert faults(tmp_path / "gone.json") == ["gone.json: found no such file, allowed: a file that is there."]
    (tmp_path / "folder.json").mkdir()
    assert faults(tmp_path / "folder.json") == ["folder.json: found a folder, allowed: a file."]

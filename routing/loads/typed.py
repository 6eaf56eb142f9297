"""A load typed in by hand: JSON text in, a judged load out. Nothing is half-read: all faults come at once."""


from pydantic import ValidationError

from routing.errors import OperationError
from routing.inputs.complaints import complaint_fault
from routing.inputs.faults import Fault
from routing.loads.circumstances import Circumstances, Riders, StandingStill
from routing.loads.document import LoadDocument, TypedUnit, cross_faults, size_in
from routing.loads.load import Load, Placement
from routing.loads.on_the_way import counts_on
from routing.loads.solve import judged
from routing.loads.states import Moment, deck_states
from routing.loads.vehicle import Rig, vehicle

MOST_CHARACTERS = 2_000_000
ALL_HIVES = "this load"


def load_from_json(text: str, file_name: str) -> Load:
    """Return the load that a JSON document describes, with every check made on it.

    Parameters
    ----------
    text
        The document; ``load_example`` is one.
    file_name
        What the faults call it.

    Returns
    -------
    Load
        Its findings are those of ``check_load``. The document's units are its placements.

    Raises
    ------
    OperationError
        With every fault found: where, what was found, what is allowed.
    """
    return load_of(document_from_json(text, file_name))


def document_from_json(text: str, file_name: str) -> LoadDocument:
    """Return the checked document; raise ``OperationError`` with all of its faults."""
    if len(text) > MOST_CHARACTERS:
        fault = Fault(
            file=file_name, found=f"{len(text):,} characters", allowed=f"at most {MOST_CHARACTERS:,}"
        )
        raise OperationError((fault,))
    try:
        document = LoadDocument.model_validate_json(text)
    except ValidationError as error:
        faults = tuple(complaint_fault(file_name, one) for one in error.errors(include_url=False))
        raise OperationError(faults) from None
    if faults := tuple(cross_faults(document, file_name)):
        raise OperationError(faults)
    if document.axle_groups:
        try:
            vehicle(rig_of_document(document))
        except ValueError as error:
            fault = Fault(file=file_name, path="axle_groups", found=f"a vehicle that cannot stand ({error})",
                          allowed="axle groups that carry the truck and its trailer")  # fmt: skip
            raise OperationError((fault,)) from None
    return document


def load_of(document: LoadDocument) -> Load:
    """Return the load of a checked document."""
    name = document.truck.name
    rig = rig_of_document(document)
    units = tuple(_placement(document, unit) for unit in document.units)
    load = Load(
        truck_night=f"{document.night} {name}",
        number=1,
        truck=name,
        night=document.night,
        hives=sum(unit.hives for unit in units),
        placements=units,
        states=deck_states(vehicle(rig), units, _moments(document)) if document.axle_groups else (),
        top_of_load_in=0.0,
        straps_needed=0,
        straps_available=0,
        rehandled=0,
        findings=(),
    )
    return judged(load, rig, about=_circumstances(document, load.hives))


def _circumstances(document: LoadDocument, hives: int) -> Circumstances:
    riders = Riders(group=ALL_HIVES, hives=hives, strapped=document.strapped, air=document.air, entrance=document.entrance)
    stop_min = document.longest_stop_min
    return Circumstances(
        temperature_f=document.temperature_f,
        riders=(riders,),
        net=document.net,
        stops=None if stop_min is None else (StandingStill(place="", minutes=stop_min),),
        water_gal=document.water_gal,
        papers=document.papers,
        constants=document.constants,
    )


def load_example() -> str:
    """Return a document to begin with: four pallets on a straight truck, two drops; all invented."""
    return EXAMPLE


def rig_of_document(document: LoadDocument) -> Rig:
    """Return the rig that a document describes, with the road limits that count on its night."""
    return Rig(
        truck=document.truck,
        axle_groups=document.axle_groups,
        tie_downs=document.tie_downs,
        hitch=document.hitch,
        carried=document.carried,
        road_limits=tuple(row for row in document.road_limits if counts_on(row, document.night)),
        constants=document.constants,
    )


def _moments(document: LoadDocument) -> list[Moment]:
    """Return the road after loading, and after each drop but the last."""
    drops = sorted({unit.drop_order for unit in document.units})
    found = [Moment(0, "loaded")]
    for drop in drops[:-1]:
        places = sorted({unit.destination for unit in document.units if unit.drop_order == drop} - {""})
        found.append(Moment(drop, ", ".join(places) or f"drop {drop}"))
    return found


def _placement(document: LoadDocument, unit: TypedUnit) -> Placement:
    size = size_in(document, unit)
    if size is None:
        raise ValueError(f"{unit.label}: the size is not told; check the document first.")
    return Placement(
        label=unit.label,
        lot=unit.label.rstrip("0123456789") or unit.label,
        group=ALL_HIVES,
        hives=unit.hives,
        origin="",
        destination=unit.destination,
        drop_order=unit.drop_order,
        front_in=unit.front_in,
        left_in=unit.left_in,
        tier=unit.tier,
        length_in=size[0],
        width_in=size[1],
        height_in=unit.height_in,
        weight_low_lb=unit.weight_low_lb,
        weight_high_lb=unit.weight_high_lb,
    )


EXAMPLE = """{
  "night": "2027-04-14",
  "temperature_f": 52,
  "strapped": true,
  "air": "screened",
  "entrance": "closed",
  "longest_stop_min": 20,
  "truck": {
    "name": "Old blue", "deck_length_in": 240, "deck_width_in": 96, "deck_height_in": 42, "deck_front_in": 60,
    "payload_lb": 12000, "gross_rating_lb": 25900, "headboard": true, "unloading": "side"
  },
  "axle_groups": [
    {"position": 1, "axles": 1, "centre_in": 0, "empty_lb": 5400, "rating_lb": 8500},
    {"position": 2, "axles": 1, "centre_in": 190, "empty_lb": 6400, "rating_lb": 17500}
  ],
  "tie_downs": [
    {"kind": "webbing strap", "size": "4 in", "count": 4, "wll_lb": 5400}
  ],
  "pallets": [
    {"name": "four-way", "length_in": 45, "width_in": 37, "height_in": 4.5, "hives": 4, "weight_lb": 42}
  ],
  "units": [
    {"label": "B1", "hives": 4, "pallet": "four-way", "turned": true, "height_in": 25.75, "front_in": 0,
     "left_in": 3, "weight_low_lb": 420, "weight_high_lb": 520, "drop_order": 2, "destination": "Hill"},
    {"label": "B2", "hives": 4, "pallet": "four-way", "turned": true, "height_in": 25.75, "front_in": 0,
     "left_in": 48, "weight_low_lb": 420, "weight_high_lb": 520, "drop_order": 2, "destination": "Hill"},
    {"label": "A1", "hives": 4, "pallet": "four-way", "turned": true, "height_in": 25.75, "front_in": 37,
     "left_in": 3, "weight_low_lb": 420, "weight_high_lb": 520, "drop_order": 1, "destination": "Creek"},
    {"label": "A2", "hives": 4, "pallet": "four-way", "turned": true, "height_in": 25.75, "front_in": 37,
     "left_in": 48, "weight_low_lb": 420, "weight_high_lb": 520, "drop_order": 1, "destination": "Creek"}
  ]
}
"""

"""A truck-night as plain text for a telephone: short messages, each of whole lines."""

from collections.abc import Iterator

from routing.sheets.sheet_record import DropSheet, StopSheet
from routing.sheets.words import BROKEN, printable

LONGEST = 765
"""Characters of one message: five joined text messages of 153 (3GPP TS 23.040, from memory)."""
_COUNT_ROOM = len(" (99/99)\n")


def messages(sheet: DropSheet) -> tuple[str, ...]:
    """Return the night as messages of at most ``LONGEST`` characters, in the order to send them.

    A stop is never torn in two unless it alone is too long; every message says which truck and night.
    """
    head = f"{_cut(printable(sheet.truck), 26)} {sheet.short_night}"
    room = LONGEST - len(head) - _COUNT_ROOM
    parts: list[str] = []
    for block in _blocks(sheet):
        for piece in _pieces(block, room):
            if parts and len(parts[-1]) + 1 + len(piece) <= room:
                parts[-1] += "\n" + piece
            else:
                parts.append(piece)
    many = len(parts)
    heads = (f"{head} ({index}/{many})" if many > 1 else head for index in range(1, many + 1))
    return tuple(f"{line}\n{part}" for line, part in zip(heads, parts, strict=True))


def message_text(sheet: DropSheet) -> bytes:
    """Return all messages of one truck-night as one text file, an empty line between two, UTF-8."""
    return ("\n\n".join(messages(sheet)) + "\n").encode("utf-8")


def _blocks(sheet: DropSheet) -> Iterator[str]:
    way = f"{sheet.miles_words}, {sheet.duty_words} on duty"
    yield f"{printable(sheet.crew_words)}. Leave {sheet.start_words}, {way}."
    for stop in sheet.stops[1:]:
        yield _stop(stop)
    problems = [*sheet.problems, *(line for load in sheet.loads for line in load.problems)]
    if any(line.startswith(BROKEN) for line in problems):
        yield "A LIMIT IS BROKEN: read the drop sheet before you roll."
    elif problems:
        yield "Some checks were not made: read the drop sheet."
    then = f", then {sheet.emergency_contact}" if sheet.emergency_contact else ""
    yield f"Trouble: 911{then}"


def _stop(stop: StopSheet) -> str:
    day = stop.date_words.split(",")[0]
    late = " AFTER MIDNIGHT" if stop.after_midnight else ""
    place = stop.place if stop.doing_words else f"{stop.kind_words} {stop.place}"
    lines = [f"{stop.number}) {stop.arrive_words} {stop.zone} {day}{late} {place}"]
    for word, rows in (("SET DOWN", stop.set_down), ("PICK UP", stop.picked_up)):
        if rows:
            lots = "; ".join(f"{row.lot}: {row.group}, {row.count_words}" for row in rows)
            lines.append(f"{word} {lots}")
    if stop.doing_words:
        gate = ", ".join(part for part in (stop.gate, stop.gate_note) if part)
        gate = f"{gate}; " if gate else ""
        lines.append(f"{gate}{stop.coordinates}; then {stop.on_deck_after} on deck")
        if stop.phone:
            lines.append(f"Call {stop.contact}, {stop.phone}")
    if stop.set_down and stop.pesticide_contact:
        lines.append(f"Sprays, call first: {stop.pesticide_contact}")
    if stop.clock_note:
        lines.append(stop.clock_note)
    if stop.doing_words and stop.hazards:
        lines.append(f"! {stop.hazards}")
    return "\n".join(printable(line) for line in lines)


def _pieces(block: str, longest: int) -> Iterator[str]:
    while len(block) > longest:
        end = _place_to_break(block, longest)
        yield block[:end].rstrip()
        block = block[end:].lstrip()
    yield block


def _place_to_break(block: str, longest: int) -> int:
    # Between lines, else between lots, else between words, else anywhere.
    for mark in ("\n", "; ", " "):
        end = block.rfind(mark, longest // 2, longest - 1)
        if end >= 0:
            return end + 1
    return longest


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else text[: longest - 3].rstrip() + "..."

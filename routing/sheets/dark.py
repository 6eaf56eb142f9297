"""The dark hours of a place in words: from when no bee flies, and until when every hive must stand."""

import datetime as dt

from routing.nights.tour import NightWindow
from routing.plan_record import Plan
from routing.sheets import clock


def window_of(plan: Plan, place: str, night: dt.date) -> NightWindow | None:
    """Return the dark hours of ``place`` on ``night``; None when the plan does not know them."""
    return next((one for one in plan.windows if (one.place, one.night) == (place, night)), None)


def dark_words(window: NightWindow | None, *, lift: bool, set_down: bool, time_zone: str) -> str:
    """Return from when hives may be lifted and until when they must stand, on the place's own clock.

    Parameters
    ----------
    window
        The dark hours; None says that the check was not made.
    lift, set_down
        What is done at the place; with neither there is nothing to say.
    time_zone
        Of the place.
    """
    if not (lift or set_down):
        return ""
    if window is None:
        return "NOT CHECKED: the dark hours of this place are not known."
    # The minute is rounded to the safe side: later for lifting, earlier for setting down.
    begin = clock.local(window.loading_from + dt.timedelta(seconds=59), time_zone)
    end = clock.local(window.set_down_until, time_zone)
    words = []
    if lift:
        words.append(f"Lift no hive before {clock.time_words(begin)} {clock.zone_words(begin)}")
    if set_down:
        by = f"{clock.time_words(end)} {clock.zone_words(end)}, {clock.short_day(end.date())}"
        words.append(f"Every hive on the ground by {by}")
    return ". ".join(words) + (f" ({window.note})." if window.note else ".")

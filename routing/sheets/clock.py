"""Local times in words: after midnight, another zone or a changed clock must be unmistakable."""

import datetime as dt
from zoneinfo import ZoneInfo

from routing.sheets.words import counted

# Own names, since strftime follows the machine's language.
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def local(moment: dt.datetime, time_zone: str) -> dt.datetime:
    """Return ``moment`` on the clock of ``time_zone``; a plan read from a file has lost the zone's name."""
    return moment.astimezone(ZoneInfo(time_zone))


def time_words(moment: dt.datetime) -> str:
    """Return ``9:40 pm``; noon and midnight are said so."""
    if (moment.hour, moment.minute) in ((0, 0), (12, 0)):
        return "12:00 midnight" if moment.hour == 0 else "12:00 noon"
    return f"{(moment.hour - 1) % 12 + 1}:{moment.minute:02d} {'am' if moment.hour < 12 else 'pm'}"


def zone_words(moment: dt.datetime) -> str:
    """Return the zone's letters (``CDT``), or its distance from UTC where it has none."""
    name = moment.tzname() or ""
    return name if name.isalpha() else f"UTC{moment.strftime('%z')[:3]}:{moment.strftime('%z')[3:5]}"


def short_day(day: dt.date) -> str:
    """Return ``Mon Apr 12``."""
    return f"{_DAYS[day.weekday()][:3]} {_MONTHS[day.month - 1][:3]} {day.day}"


def night_words(night: dt.date) -> str:
    """Return both days of a night: ``Monday evening April 12 to Tuesday morning April 13, 2027``."""
    morning = night + dt.timedelta(days=1)
    return (
        f"{_DAYS[night.weekday()]} evening {_MONTHS[night.month - 1]} {night.day} to "
        f"{_DAYS[morning.weekday()]} morning {_MONTHS[morning.month - 1]} {morning.day}, {morning.year}"
    )


def date_words(moment: dt.datetime, night: dt.date) -> str:
    """Return the date of one moment of the night, with ``AFTER MIDNIGHT`` once the evening's date is over."""
    if moment.date() <= night:
        return f"{short_day(moment.date())}, evening" if moment.hour >= 12 else short_day(moment.date())
    days = (moment.date() - night).days
    if days == 1 and moment.hour < 12:
        return f"{short_day(moment.date())}, AFTER MIDNIGHT"
    return (
        f"{short_day(moment.date())}, THE NEXT DAY"
        if days == 1
        else f"{short_day(moment.date())}, DAY {days + 1}"
    )


def clock_change(before: dt.datetime, after: dt.datetime) -> str:
    """Return a sentence when the clock reads otherwise than at the moment before; else an empty string.

    Parameters
    ----------
    before, after
        Two moments of the night, each on its own place's clock, with ``zoneinfo`` zones.
    """
    change = (after.utcoffset() or dt.timedelta()) - (before.utcoffset() or dt.timedelta())
    minutes = round(change.total_seconds() / 60)
    if minutes == 0:
        return ""
    span = counted(abs(minutes) // 60, "hour") if minutes % 60 == 0 else f"{abs(minutes)} minutes"
    letters = f"{zone_words(before)} before, {zone_words(after)} now"
    if str(before.tzinfo) == str(after.tzinfo):
        return (
            f"THE CLOCK CHANGES TONIGHT: it is set {'forward' if minutes > 0 else 'back'} {span} ({letters})."
        )
    return (
        f"ANOTHER TIME ZONE: clocks here are {span} {'ahead of' if minutes > 0 else 'behind'} "
        f"the stop before ({letters})."
    )

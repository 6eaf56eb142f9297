"""Local times in words, over midnight, zones and changes of the clock.

Summer time in the United States begins on the second Sunday of March and ends on the first Sunday of
November, at 2:00 am: 15 USC 260a (from memory). In 2027 these are March 14 and November 7.
"""

import datetime as dt
from zoneinfo import ZoneInfo

from routing.sheets.clock import clock_change, date_words, local, night_words, time_words, zone_words

CHICAGO, DENVER, PHOENIX = (ZoneInfo(f"America/{name}") for name in ("Chicago", "Denver", "Phoenix"))


def test_times_are_said_on_a_clock_of_twelve_hours():
    times = {(0, 0): "12:00 midnight", (0, 8): "12:08 am", (9, 5): "9:05 am", (12, 0): "12:00 noon",
             (12, 30): "12:30 pm", (21, 40): "9:40 pm"}  # fmt: skip
    for (hour, minute), words in times.items():
        assert time_words(dt.datetime(2027, 4, 12, hour, minute)) == words


def test_a_night_names_both_its_days_over_the_turn_of_a_year():
    # 31 December 2027 is a Friday.
    assert (
        night_words(dt.date(2027, 12, 31)) == "Friday evening December 31 to Saturday morning January 1, 2028"
    )


def test_after_midnight_is_said_loudly():
    night = dt.date(2027, 4, 12)
    assert date_words(dt.datetime(2027, 4, 12, 23, 59), night) == "Mon Apr 12, evening"
    assert date_words(dt.datetime(2027, 4, 13, 0, 0), night) == "Tue Apr 13, AFTER MIDNIGHT"
    assert date_words(dt.datetime(2027, 4, 13, 13, 0), night) == "Tue Apr 13, THE NEXT DAY"


def test_a_moment_from_a_file_gets_its_zone_letters_back():
    moment = dt.datetime.fromisoformat("2027-04-12T21:40:00-05:00")
    assert zone_words(local(moment, "America/Chicago")) == "CDT"


def test_a_zone_without_letters_says_its_distance_from_utc():
    moment = local(dt.datetime(2027, 4, 12, tzinfo=dt.UTC), "America/Sao_Paulo")
    assert zone_words(moment) == "UTC-03:00"


def test_crossing_to_mountain_time_is_said_in_words():
    before = dt.datetime(2027, 4, 12, 23, 0, tzinfo=CHICAGO)
    after = dt.datetime(2027, 4, 12, 23, 30, tzinfo=DENVER)
    assert clock_change(before, after) == (
        "ANOTHER TIME ZONE: clocks here are 1 hour behind the stop before (CDT before, MDT now)."
    )


def test_the_night_on_which_summer_time_begins_is_said_in_words():
    before = dt.datetime(2027, 3, 14, 1, 50, tzinfo=CHICAGO)
    after = dt.datetime(2027, 3, 14, 3, 10, tzinfo=CHICAGO)
    assert clock_change(before, after) == (
        "THE CLOCK CHANGES TONIGHT: it is set forward 1 hour (CST before, CDT now)."
    )


def test_the_night_on_which_summer_time_ends_is_said_in_words():
    before = dt.datetime(2027, 11, 7, 1, 50, tzinfo=CHICAGO)
    after = dt.datetime(2027, 11, 7, 1, 10, fold=1, tzinfo=CHICAGO)
    assert "set back 1 hour (CDT before, CST now)" in clock_change(before, after)


def test_another_zone_with_the_same_clock_is_not_mentioned():
    # Arizona keeps standard time, Denver's clock in winter.
    before, after = (dt.datetime(2027, 2, 1, 22, tzinfo=zone) for zone in (DENVER, PHOENIX))
    assert clock_change(before, after) == ""

"""What we have and what we owe: hives, yards, contracts, fleet, places, calendar; read and checked here."""

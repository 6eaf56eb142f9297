"""The planner: an operation (what is had and owed) becomes a plan (who hauls what, when, how, where)."""

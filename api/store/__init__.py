"""Where the server keeps its plans: one SQLite file that survives a restart."""

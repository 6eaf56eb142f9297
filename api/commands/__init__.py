"""What the commands of the command line do. ``api.cli`` words them; the work is here."""

"""Plan -> rows and figures that every face shows: drop sheets, yard sheets, moves, summary. No bytes here."""

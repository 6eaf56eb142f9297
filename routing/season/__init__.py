"""Season: which hives serve which chain of blooms, which offers to take, and what the year is worth."""

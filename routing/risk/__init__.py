"""Risk: the plan run through many seasons, each with its own bloom, nights, breakdowns and strengths."""

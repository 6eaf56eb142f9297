"""The pages: what a browser shows of an operation and its plans. Templates, style, words; no reckoning of its own."""

"""Published limits and cited defaults, as data rows. A row without a source does not load."""

from routing.limits.rows import Limit, limit, rows

__all__ = ["Limit", "limit", "rows"]

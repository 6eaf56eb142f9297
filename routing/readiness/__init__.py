"""What must be done to hives before they may travel, by which night, and with what gear."""

from routing.readiness.make_ready import Readiness, readiness
from routing.readiness.travel import travel_build, travel_faults

__all__ = ["Readiness", "readiness", "travel_build", "travel_faults"]

"""What breaks a plan, the operation as it is then, and what the new plan does otherwise."""

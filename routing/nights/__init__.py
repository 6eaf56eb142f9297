"""Which truck, which night, which stops."""

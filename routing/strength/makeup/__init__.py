"""Which grades of colonies together meet contracts with the least strength given away."""

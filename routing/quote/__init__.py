"""Quote: the least fee at which one more contract leaves the beekeeper no worse off."""

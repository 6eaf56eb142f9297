"""Where each drop stands in an orchard, how many hives at each, and in which order the driver comes to them."""

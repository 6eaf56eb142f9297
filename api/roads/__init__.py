"""Roads from a map on disk or from a server: files, the engine and the network, for ``routing.roads``."""

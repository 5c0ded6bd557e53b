"""From a design to its measurements: the only place where a figure of an episode is computed."""

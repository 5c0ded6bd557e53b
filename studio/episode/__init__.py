"""A design's week: its texts filled in, its steps timed, its chapters and on-screen cards."""

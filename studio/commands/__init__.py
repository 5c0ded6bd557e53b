"""One function for each command: plain arguments in, an exit code out."""

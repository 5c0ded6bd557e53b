"""The recorded voice: what was said when, found from the script without any service or network."""

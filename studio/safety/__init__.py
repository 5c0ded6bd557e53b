"""Cautions: what a step does decides them, and nothing in a design can switch them off."""

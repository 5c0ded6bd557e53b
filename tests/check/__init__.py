"""The check's tests."""

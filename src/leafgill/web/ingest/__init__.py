"""Readings that come in by themselves: over HTTP, from a broker, from a watched folder."""

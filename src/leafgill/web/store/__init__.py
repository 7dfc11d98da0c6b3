"""Rows to plain data and back: what the pages keep and find again."""

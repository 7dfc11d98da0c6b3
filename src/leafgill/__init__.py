"""Leaf & Gill."""

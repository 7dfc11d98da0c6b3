"""Invented planted aquaria, to judge the product's belief by a model that is not its own.

Nothing here imports `leafgill`: the chemistry is a table of PHREEQC runs, nature has two zones,
drifting equipment and crude instruments, and a keeper of ordinary habits writes the diary.
"""

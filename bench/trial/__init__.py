"""Invented planted aquaria, to judge the product's belief by a model that is not its own.

Nothing here imports `leafgill`: the chemistry is a table of PHREEQC runs, nature has two zones,
drifting equipment and crude instruments, and a keeper of ordinary habits writes the diary.

    chemistry    the table of PHREEQC runs and how it is read
    world        what one tank is (drawn from its seed); weather: what drifts in it by itself
    nature       the minute loop; schedule: windows and daylight; play: one run, and the actions
    faults       what may go wrong unseen: one fault of a run
    instruments  what each shows for a truth; readings: taking them
    actions      what a keeper can do; senses: what a keeper can see; habit: an ordinary keeper
    simulate     the whole, and the command

A program plays keeper by having `next_look(now)` and `look(now, senses)` (actions.Keeper):
`senses.read(kind)` and `senses.do(action)` also write the diary, `senses.rows`,
`senses.tank_toml` and `senses.probe()` are what it may know.
"""

"""`leafgill care`: the work on a tank, how often by its own record, and what is due."""

from __future__ import annotations

from leafgill.cli.options import AsJson, DiaryFile, Explain, Now, ProbeFile, TankFile


def care(
    tank: TankFile,
    diary: DiaryFile,
    probe: ProbeFile = None,
    now: Now = None,
    explain: Explain = False,
    json_: AsJson = False,
) -> None:
    """The work on a tank: how often by its own record, and what is due.

    Cleaning the diffuser by the gas it has lost, calibrating by the drift that was seen, and so
    on; where the record is silent the habits of the trade, named as that.
    """
    from leafgill.cli.believing import believed
    from leafgill.cli.console import print_json, waiting
    from leafgill.cli.moment import parse_now
    from leafgill.tank.spec import Tank

    described = Tank.load(tank)
    moment = parse_now(now, described.timezone)
    with waiting() as bar:
        kept, belief = believed(described, diary, probe, moment, bar)
        from leafgill.advise.care import care_of

        bar("looking at the work", 0.95)
        plan = care_of(described, kept, belief, moment)
    if json_:
        from leafgill.answer.care_json import as_json

        print_json({"tank": described.name, **as_json(plan)})
        return
    from leafgill.cli.care_screen import show

    show(described.name, plan, explain)

"""`leafgill watch`: what a tank shows that is not as believed."""

from __future__ import annotations

from leafgill.cli.options import AsJson, DiaryFile, Now, ProbeFile, TankFile


def watch(
    tank: TankFile,
    diary: DiaryFile,
    probe: ProbeFile = None,
    now: Now = None,
    json_: AsJson = False,
) -> None:
    """What is not as believed: a fault of the gas, the water or the electrode.

    Holds the newest readings against what was believed on earlier mornings, so it takes about
    three times as long as `leafgill next`. Ends with 0 whether there is an alert or none.
    """
    from leafgill.cli.console import print_json, waiting
    from leafgill.cli.moment import parse_now
    from leafgill.diary import Diary
    from leafgill.tank.spec import Tank

    described = Tank.load(tank)
    moment = parse_now(now, described.timezone)
    with waiting() as bar:
        bar("reading the diary", 0.0)
        kept = Diary.load(diary, probe).localised(described.timezone)
        from leafgill.cli.next import refusing
        from leafgill.estimate import believe
        from leafgill.estimate.watch import watch as watched

        with refusing():
            belief = believe(
                described, kept, moment, progress=lambda what, part: bar(what, part / 3)
            )
        bar("holding the newest against earlier mornings", 0.4)
        alerts = watched(described, kept, belief, moment)
    if json_:
        from leafgill.answer.alerts import as_json, summary

        told = {"tank": described.name, "now": moment, "said": summary(alerts)}
        print_json({**told, "alerts": as_json(alerts)})
        return
    from leafgill.cli.watch_screen import show

    show(described.name, alerts, moment)

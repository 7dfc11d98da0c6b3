"""`leafgill trouble`: from what is seen to its causes, ranked by this tank's own record."""

from __future__ import annotations

from typing import Annotated

import typer

from leafgill.cli.options import AsJson, DiaryFile, Explain, Now, ProbeFile, TankFile


def trouble(
    tank: TankFile,
    diary: DiaryFile,
    seen: Annotated[
        str | None,
        typer.Argument(
            metavar="SEEN",
            help='What is seen: "gasping-at-dawn", "black brush", "pale new leaves" ... Without '
            "it all that can be named.",
        ),
    ] = None,
    probe: ProbeFile = None,
    now: Now = None,
    explain: Explain = False,
    json_: AsJson = False,
) -> None:
    """What is behind gasping fish, algae, poor plants, CO2 that stays low.

    Ranks the causes of what is seen by the tank's own record, with the check that separates them;
    says so where the record does not tell. Gasping also gives the minutes of each way out.
    """
    from leafgill.advise.trouble.symptoms import symptom_of
    from leafgill.cli.believing import believed
    from leafgill.cli.console import print_json, waiting
    from leafgill.cli.moment import parse_now
    from leafgill.tank.spec import Tank

    described = Tank.load(tank)
    moment = parse_now(now, described.timezone)
    if seen is None:
        _list(json_)
        return
    symptom = symptom_of(seen)
    with waiting() as bar:
        kept, belief = believed(described, diary, probe, moment, bar)
        from leafgill.advise.balance.balance import balance_of
        from leafgill.advise.emergency import rescue_of
        from leafgill.advise.trouble import trouble_of
        from leafgill.answer import emergency_said
        from leafgill.tank.limits import limits_of

        bar("weighing the causes", 0.95)
        fed = symptom.group in ("plants", "algae")
        balance = balance_of(described, kept, belief, moment) if fed else None
        found = trouble_of(described, kept, belief, moment, symptom, balance)
        rescue = rescue_of(belief, moment, limits_of(described)) if symptom.urgent else None
    if json_:
        from leafgill.answer.trouble_json import as_json

        minutes = None if rescue is None else emergency_said.as_json(rescue)
        print_json({"tank": described.name, "now": moment, **as_json(found), "minutes": minutes})
        return
    from leafgill.cli.trouble_screen import show

    show(described.name, moment, found, rescue, explain)


def _list(json_: bool) -> None:
    """Print what can be named."""
    from leafgill.answer.trouble_said import symptoms_by_group
    from leafgill.cli.console import print_json, screen
    from leafgill.cli.lists import columns, heading

    groups = symptoms_by_group()
    if json_:
        print_json(
            {
                "symptoms": [
                    {"key": key, "name": name, "looks": looks, "group": title}
                    for title, rows in groups
                    for key, name, looks in rows
                ]
            }
        )
        return
    console = screen()
    console.print("Name what you see: leafgill trouble TANK DIARY SEEN")
    for title, rows in groups:
        heading(console, title)
        columns(console, ("SEEN", "what it looks like"), [(key, looks) for key, _, looks in rows])

"""`leafgill doctor`: is everything well with the app?"""

from __future__ import annotations

from datetime import UTC, datetime

from leafgill.cli.backup import DataFolder
from leafgill.cli.options import AsJson

# other than what a wrong word or the unforeseen give, so that a script can tell
_BAD = 3


def doctor(data: DataFolder = None, as_json: AsJson = False) -> int:
    """Look the app over: clock, disk, database, broker, probes, backups, and whether it runs.

    Looking changes nothing, and the app may run meanwhile. The exit code is 3 when something is
    bad, and 0 otherwise.
    """
    from leafgill.cli.console import print_json, screen
    from leafgill.web.doctor.examination import examine
    from leafgill.web.doctor.finding import BAD

    found = examine(datetime.now(UTC), data)
    bad = any(finding.state == BAD for finding in found)
    if as_json:
        rows = [{"what": at.what, "state": at.state, "says": at.says} for at in found]
        print_json({"well": not bad, "findings": rows})
        return _BAD if bad else 0
    from rich.table import Table
    from rich.text import Text

    table = Table.grid(padding=(0, 2))
    for finding in found:
        style = {"bad": "bold red", "look": "yellow"}.get(finding.state, "")
        table.add_row(Text(finding.state, style), Text(finding.what), Text(finding.says))
    screen().print(table)
    return _BAD if bad else 0

"""Tanks out of one app and into another by the commands, also between kinds of databases."""

import zipfile

TABLES = ("web_entryrow", "web_readingrow")


def counts(app):
    return [len(app.rows(table)) for table in TABLES]


def test_every_tank_goes_from_one_app_to_another(filled, empty, tmp_path):
    (told,) = filled.said("export", tmp_path / "tanks.zip")
    assert told == "2 tanks taken out and read back."
    with zipfile.ZipFile(tmp_path / "tanks.zip") as opened:
        assert {"manifest.json", "tanks/1/entries.csv", "tanks/2/spec-1.toml"} <= set(
            opened.namelist()
        )
    empty.python(
        "from leafgill.web.set_up import set_up; set_up()\n"
        "from leafgill.web.store import logins; logins.make('berta', 'a long password')"
    )
    told = empty.said("restore", tmp_path / "tanks.zip", "--keeper", "berta")
    names = sorted(row[2] for row in filled.rows("web_tankrow"))
    assert sorted(told) == [f"{name} is back." for name in names]
    assert counts(empty) == counts(filled)
    assert empty.said("keeper", "list")[0].startswith("berta")
    # once more adds them once more, and takes nothing away
    empty.said("restore", tmp_path / "tanks.zip", "--keeper", "BERTA")
    assert counts(empty) == [2 * count for count in counts(filled)]


def test_one_tank_alone_and_into_postgresql(filled, on_postgresql, tmp_path):
    name = filled.rows("web_tankrow")[0][2]
    (told,) = filled.said("export", tmp_path, "--tank", name)
    assert told == "1 tank taken out and read back."
    (path,) = tmp_path.glob("leafgill-tanks-*.zip")
    other = on_postgresql("other", fill=True)
    assert other.said("restore", path, "--keeper", "anna") == [f"{name} is back."]
    assert other.said("keeper", "list")[0].startswith("anna: 1 tank,")


def test_what_cannot_be_done_is_told(filled, tmp_path):
    path = tmp_path / "tanks.zip"
    assert 'there is no tank "Nowhere"' in filled.refused("export", path, "--tank", "Nowhere")
    assert not path.exists()
    filled.said("export", path)
    assert "is there already" in filled.refused("export", path)
    assert "say whose they are to be by --keeper" in filled.refused("restore", path)
    assert "nobody" in filled.refused("restore", path, "--keeper", "nobody")
    assert "No such file" in filled.refused("export", tmp_path / "no" / "where.zip")
    assert sorted(at.name for at in tmp_path.iterdir() if at.name not in ("home", "log")) == [
        "tanks.zip"
    ]


def test_a_backup_has_keepers_of_its_own(filled, a_backup):
    line = filled.refused("restore", a_backup, "--keeper", "anna")
    assert "a backup knows its keepers" in line

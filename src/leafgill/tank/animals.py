"""Groups of animals with the CO2 they are kept below and the oxygen they are kept above.

No published limit exists for most kept species. Each group's reason says where its figures come
from, and how far they can be trusted.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Group:
    """One group: CO2 limit [mg/L], oxygen minimum [mg/L], who belongs to it, and why these figures.

    `basis` and `o2_basis` say what the two figures lean on: a publication, or "common practice,
    no source". `words` are other names a tank file may use.
    """

    co2_limit_mg_l: float
    o2_min_mg_l: float
    meaning: str
    reason: str
    basis: str
    o2_basis: str
    words: tuple[str, ...] = ()


PRACTICE = "common practice, no source"
_HANDBOOK = "Clinical Guide to Fish Medicine (Wiley), chapter on water quality"
_EPA = (
    "above the one-day minimum of the US EPA's warm-water criteria of 1986, 3.0 mg/L and 5.0 in "
    "early life (cited from memory, not checked against the paper), by a margin of our own"
)

_SMALL_FISH = (
    *("tetra", "rasbora", "danio", "barb", "livebearer", "guppy", "platy", "molly", "swordtail"),
    *("rainbowfish", "killifish"),
)

GROUPS: dict[str, Group] = {
    "fish": Group(
        30.0,
        5.0,
        "fish of a mixed community tank; also what is assumed when nothing is said",
        "planted tanks are commonly run up to 30 mg/L with community fish; a clinical handbook "
        "asks for less than 20, so this is already a concession to the plants",
        PRACTICE,
        _EPA,
        (*_SMALL_FISH, "loach", "catfish", "corydoras", "cichlid", "angelfish"),
    ),
    "hardy-fish": Group(
        35.0,
        5.0,
        "large or hardy fish: goldfish and other carp, sunfish",
        "largemouth bass swam hardly less well at up to 40 mg/L at 25 °C; kept 5 below that, since "
        "a tank's fish cannot swim away",
        "Dahlberg 1963, thesis, Oregon State University, abstract",
        _EPA,
        ("goldfish", "carp", "koi", "sunfish"),
    ),
    "sensitive-fish": Group(
        20.0,
        5.5,
        "fish known as delicate, wild-caught or newly bought fish",
        "a handbook of fish medicine gives less than 20 mg/L as the aim for kept fish",
        _HANDBOOK,
        _EPA,
        ("discus", "otocinclus", "pencilfish", "wild-fish"),
    ),
    "labyrinth-fish": Group(
        30.0,
        4.0,
        "fish that also breathe air: gouramis, bettas",
        "they fetch oxygen at the surface, but must still give their CO2 to the water: the same "
        "CO2 limit, less oxygen",
        PRACTICE,
        PRACTICE,
        ("gourami", "betta", "paradise-fish"),
    ),
    "stream-fish": Group(
        20.0,
        6.0,
        "fish of fast, oxygen-rich water: hillstream loaches, suckermouth catfish",
        "animals of fast water know neither much CO2 nor little oxygen",
        PRACTICE,
        PRACTICE,
        ("hillstream-loach", "pleco", "suckermouth-catfish"),
    ),
    "fry": Group(
        20.0,
        5.5,
        "eggs and young fish",
        "young fish have less to spare: the handbook's 20 mg/L for kept fish",
        _HANDBOOK,
        _EPA,
        ("young-fish", "eggs"),
    ),
    "shrimp": Group(
        25.0,
        5.0,
        "dwarf shrimp and fan shrimp",
        "no published limit was found; keepers stay below 20 to 30 mg/L, the middle is taken",
        PRACTICE,
        PRACTICE,
        ("neocaridina", "caridina", "cherry-shrimp", "amano-shrimp", "fan-shrimp"),
    ),
    "crayfish": Group(
        25.0,
        5.0,
        "crayfish and crabs",
        "no published limit was found; taken as shrimp",
        PRACTICE,
        PRACTICE,
        ("crab",),
    ),
    "snails": Group(
        25.0,
        4.0,
        "snails",
        "no published limit was found; taken as shrimp, with less need of oxygen. Their shells "
        "also dissolve in soft, acid water, which this limit does not prevent",
        PRACTICE,
        PRACTICE,
        ("nerite",),
    ),
    "mussels": Group(
        20.0,
        5.0,
        "mussels and clams",
        "no published limit was found; they cannot come up for air nor leave: the lower end of "
        "what keepers hold for invertebrates",
        PRACTICE,
        PRACTICE,
        ("clam",),
    ),
    "frogs": Group(
        30.0,
        4.0,
        "water frogs and newts, which breathe air",
        "no published limit was found; taken as fish that breathe air",
        PRACTICE,
        PRACTICE,
        ("newt",),
    ),
    "none": Group(
        60.0,
        2.0,
        "no animals at all, plants alone",
        "nothing to protect but what lives in filter and substrate, nothing to gain by more",
        PRACTICE,
        PRACTICE,
        ("no-animals", "plants-only"),
    ),
}
DEFAULT_GROUP = "fish"


def group_words() -> dict[str, str]:
    """Return every word a tank file may use for a group, with the group; plurals included."""
    found: dict[str, str] = {}
    for name, group in GROUPS.items():
        for word in (name, *group.words):
            found[word] = found[_plural(word)] = name
    return found


def _plural(word: str) -> str:
    if word.endswith("y"):
        return f"{word[:-1]}ies"
    return f"{word}es" if word.endswith(("s", "sh", "ch")) else f"{word}s"

"""The wiring of Sallowmere, an invented boat: what is bolted to what, where, and how it was made."""

from dataclasses import dataclass

BUILD = "Sallowmere"
DESCRIPTION = "An invented sailing vessel of 13 m, made up to show Lugbook; there is no such boat"
ZONE = "Atlantic/Azores"


@dataclass(frozen=True, slots=True)
class Make:
    """One way of making a terminal: a recipe with its conductor, its lug and what such a terminal is like."""

    recipe: str
    conductor: str
    size: str
    area_mm2: float
    strands: int
    lug: str
    stud_millimetre: int
    die: str
    presses: int
    strip_millimetre: int
    crimp_microohm: float
    """What lug and crimp add, at 20 degC; the 50 mm of conductor inside the probes come on top."""
    landing_microohm: float
    crimp_limit_microohm: int
    """The owner's own limit, about three times what such a crimp reads as made."""
    landing_limit_microohm: int


LARGE = Make("R1", "4/0 tinned", "4/0 AWG", 107.2, 2109, "L40-10", 10, "die 16 hex", 3, 32, 6.0, 8.5, 45, 28)
HEAVY = Make("R2", "2/0 tinned", "2/0 AWG", 67.4, 1330, "L20-10", 10, "die 13 hex", 2, 26, 8.0, 9.0, 65, 28)
MIDDLE = Make("R3", "35 mm2 tinned", "35 mm2", 34.7, 276, "L35-8", 8, "die 9 hex", 2, 20, 14.0, 14.0, 120, 42)
SMALL = Make("R4", "6 AWG tinned", "6 AWG", 13.3, 266, "L06-8", 8, "die 6 hex", 1, 13, 28.0, 15.0, 290, 45)
MAKES = (LARGE, HEAVY, MIDDLE, SMALL)

# Where terminals are bolted: name, kind, stud in millimetres.
LANDINGS = (
    *((f"house {number} {sign}", "post", 10) for number in (1, 2, 3, 4) for sign in ("positive", "negative")),
    ("start positive", "post", 10),
    ("start negative", "post", 10),
    ("start switch in", "stud", 10),
    ("start switch out", "stud", 10),
    ("starter", "stud", 10),
    ("engine block", "stud", 10),
    ("engine block side", "stud", 8),
    ("alternator positive", "stud", 8),
    ("alternator negative", "stud", 8),
    ("alternator fuse in", "stud", 8),
    ("alternator fuse out", "stud", 8),
    ("house fuse in", "stud", 10),
    ("house fuse out", "stud", 10),
    ("house switch in", "stud", 10),
    ("house switch out", "stud", 10),
    ("link switch start side", "stud", 10),
    ("link switch house side", "stud", 10),
    ("positive bus", "bus bar", 10),
    ("positive side bus", "bus bar", 8),
    ("negative bus", "bus bar", 10),
    ("negative side bus", "bus bar", 8),
    ("inverter fuse in", "stud", 10),
    ("inverter fuse out", "stud", 10),
    ("inverter positive", "stud", 10),
    ("inverter negative", "stud", 10),
    ("windlass fuse in", "stud", 10),
    ("windlass fuse out", "stud", 10),
    ("windlass box in", "stud", 10),
    ("windlass box out", "stud", 10),
    ("windlass motor positive", "stud", 10),
    ("windlass motor negative", "stud", 10),
    ("thruster fuse in", "stud", 10),
    ("thruster fuse out", "stud", 10),
    ("thruster positive", "stud", 10),
    ("thruster negative", "stud", 10),
    ("shore charger positive", "stud", 8),
    ("shore charger negative", "stud", 8),
    ("fuse block feed", "stud", 8),
    ("fuse block return", "stud", 8),
    ("pump block positive", "bus bar", 8),
    ("pump block negative", "bus bar", 8),
    ("bilge pump 1 positive", "stud", 8),
    ("bilge pump 1 negative", "stud", 8),
    ("bilge pump 2 positive", "stud", 8),
    ("bilge pump 2 negative", "stud", 8),
    ("winch positive", "stud", 8),
    ("winch negative", "stud", 8),
    ("bonding bus", "bus bar", 8),
    ("keel stud", "stud", 8),
    ("mast step", "stud", 8),
    ("solar charger positive", "stud", 8),
    ("solar charger negative", "stud", 8),
)
HARDWARE = {10: "M10 nut, flat washer, spring washer", 8: "M8 nut, flat washer, spring washer"}
TORQUE_NEWTON_METRE = {10: "27", 8: "14"}


@dataclass(frozen=True, slots=True)
class Cable:
    """One cable: its make, its length, and where each end is bolted."""

    tag: str
    make: Make
    length_metre: str
    landings: tuple[str, str]
    places: tuple[str, str]


CABLES = (
    Cable("C01", HEAVY, "0.90", ("start positive", "start switch in"), ("engine", "engine")),
    Cable("C02", HEAVY, "1.60", ("start switch out", "starter"), ("engine", "engine")),
    Cable("C03", HEAVY, "1.40", ("engine block", "start negative"), ("engine", "engine")),
    Cable("C04", HEAVY, "2.80", ("start negative", "negative bus"), ("engine", "dry")),
    Cable("C05", MIDDLE, "1.20", ("alternator positive", "alternator fuse in"), ("engine", "engine")),
    Cable("C06", MIDDLE, "3.10", ("alternator fuse out", "positive side bus"), ("engine", "dry")),
    Cable("C07", MIDDLE, "0.70", ("alternator negative", "engine block side"), ("engine", "engine")),
    Cable("C08", LARGE, "0.45", ("house 1 positive", "house 2 positive"), ("dry", "dry")),
    Cable("C09", LARGE, "0.45", ("house 2 positive", "house 3 positive"), ("dry", "dry")),
    Cable("C10", LARGE, "0.45", ("house 3 positive", "house 4 positive"), ("dry", "dry")),
    Cable("C11", LARGE, "0.45", ("house 1 negative", "house 2 negative"), ("dry", "dry")),
    Cable("C12", LARGE, "0.45", ("house 2 negative", "house 3 negative"), ("dry", "dry")),
    Cable("C13", LARGE, "0.45", ("house 3 negative", "house 4 negative"), ("dry", "dry")),
    Cable("C14", LARGE, "0.40", ("house 1 positive", "house fuse in"), ("dry", "dry")),
    Cable("C15", LARGE, "0.80", ("house fuse out", "house switch in"), ("dry", "dry")),
    Cable("C16", LARGE, "0.60", ("house switch out", "positive bus"), ("dry", "dry")),
    Cable("C17", LARGE, "1.10", ("house 4 negative", "negative bus"), ("dry", "dry")),
    Cable("C18", LARGE, "0.50", ("positive bus", "inverter fuse in"), ("dry", "dry")),
    Cable("C19", LARGE, "1.30", ("inverter fuse out", "inverter positive"), ("dry", "dry")),
    Cable("C20", LARGE, "1.50", ("inverter negative", "negative bus"), ("dry", "dry")),
    Cable("C21", HEAVY, "1.90", ("start switch out", "link switch start side"), ("engine", "dry")),
    Cable("C22", HEAVY, "0.70", ("link switch house side", "positive bus"), ("dry", "dry")),
    Cable("C23", HEAVY, "0.60", ("positive bus", "windlass fuse in"), ("dry", "dry")),
    Cable("C24", HEAVY, "9.60", ("windlass fuse out", "windlass box in"), ("dry", "exposed")),
    Cable("C25", HEAVY, "1.10", ("windlass box out", "windlass motor positive"), ("exposed", "exposed")),
    Cable("C26", HEAVY, "10.80", ("windlass motor negative", "negative bus"), ("exposed", "dry")),
    Cable("C27", LARGE, "0.70", ("positive bus", "thruster fuse in"), ("dry", "dry")),
    Cable("C28", LARGE, "8.90", ("thruster fuse out", "thruster positive"), ("dry", "bilge")),
    Cable("C29", LARGE, "9.20", ("thruster negative", "negative bus"), ("bilge", "dry")),
    Cable("C30", MIDDLE, "1.70", ("shore charger positive", "positive side bus"), ("dry", "dry")),
    Cable("C31", MIDDLE, "1.80", ("shore charger negative", "negative side bus"), ("dry", "dry")),
    Cable("C32", MIDDLE, "1.00", ("positive side bus", "fuse block feed"), ("dry", "dry")),
    Cable("C33", MIDDLE, "1.10", ("fuse block return", "negative side bus"), ("dry", "dry")),
    Cable("C34", SMALL, "4.20", ("positive side bus", "pump block positive"), ("dry", "bilge")),
    Cable("C35", SMALL, "4.40", ("pump block negative", "negative side bus"), ("bilge", "dry")),
    Cable("C36", SMALL, "2.30", ("pump block positive", "bilge pump 1 positive"), ("bilge", "bilge")),
    Cable("C37", SMALL, "2.30", ("bilge pump 1 negative", "pump block negative"), ("bilge", "bilge")),
    Cable("C38", SMALL, "3.00", ("pump block positive", "bilge pump 2 positive"), ("bilge", "bilge")),
    Cable("C39", SMALL, "3.00", ("bilge pump 2 negative", "pump block negative"), ("bilge", "bilge")),
    Cable("C40", MIDDLE, "2.20", ("engine block side", "bonding bus"), ("engine", "bilge")),
    Cable("C41", MIDDLE, "1.30", ("bonding bus", "keel stud"), ("bilge", "bilge")),
    Cable("C42", MIDDLE, "6.50", ("positive side bus", "winch positive"), ("dry", "exposed")),
    Cable("C43", MIDDLE, "6.70", ("winch negative", "negative side bus"), ("exposed", "dry")),
    Cable("C44", MIDDLE, "3.60", ("mast step", "bonding bus"), ("bilge", "bilge")),
    Cable("C45", SMALL, "1.90", ("solar charger positive", "positive side bus"), ("dry", "dry")),
    Cable("C46", SMALL, "2.00", ("solar charger negative", "negative side bus"), ("dry", "dry")),
)
# The circuit that the owner set a budget for: its name, current, volts, percent that may be lost.
WINDLASS, WINDLASS_CABLES = ("windlass", 90, 12, 10), ("C23", "C24", "C25", "C26")
PROBE_MILLIMETRE = 50
"""From the barrel to the ink mark on the cable."""
ADDED_IN_2025 = ("C45", "C46")

# Ends whose bolted joint is watched as well as the crimp.
WATCHED_LANDINGS = (
    *("C01A", "C02B", "C03A", "C03B", "C05A", "C07B", "C08A", "C10B", "C17A", "C19B"),
    *("C20A", "C24B", "C25B", "C26A", "C28B", "C29A", "C36A", "C37B", "C41B", "C43A"),
)
# Cables watched from lug to lug.
WATCHED_CABLES = ("C02", "C03", "C06", "C17", "C24", "C26", "C28", "C29")


@dataclass(frozen=True, slots=True)
class Watched:
    """A span and its true resistance as made."""

    tag: str
    kind: str
    place: str
    cable_end: str
    landing: str
    limit_microohm: str
    microohm_20c: float
    note: str = ""


# Joints that belong to no cable.
JOINTS = tuple(
    Watched(tag, "joint", place, "", "", limit, microohm, note)
    for tag, place, limit, microohm, note in (
        ("BB1/joint", "dry", "20", 6.5, "positive bus, overlap of the two bars"),
        ("BB2/joint", "dry", "20", 7.0, "negative bus, overlap of the two bars"),
        ("FH1/joint", "dry", "450", 210.0, "house fuse holder, stud to stud with its fuse"),
        ("FH2/joint", "dry", "450", 235.0, "inverter fuse holder, stud to stud with its fuse"),
        ("SW1/joint", "dry", "", 95.0, "house switch, stud to stud, closed"),
        ("SP1/joint", "exposed", "", 420.0, "shore plug, one pin in its socket, read at 30 A"),
    )
)

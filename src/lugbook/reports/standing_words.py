"""The words every report carries: how to read it, what it cannot show, and how its record is checked."""

CAUTION = (
    "A heavy cable shorted by a spanner is an arc, a burn, and sometimes a fire. Before touching any of "
    "this: rings and watch off, insulated tools, loads off, negative off first and on last. Batteries give "
    "off gas that burns. Follow the local code, and have a licensed person do what it reserves for one."
)

LIMITS = (
    "A drop in millivolts at a known current tells the resistance of a joint on that day. It does not show "
    "strands broken inside a barrel that still touch, a crimp that would pull out, or "
    "a nut that will work loose tomorrow.",
    "All readings here were typed in or read from a meter's file by the people named. The record shows that "
    "they were not changed since; it cannot show that they were true when they were entered.",
    "A creep shared by all joints looks the same as a meter that drifts. Only a check standard read in every "
    "round tells the two apart; where there was none, this report says so.",
    "With fewer than three readings since a terminal was made or last serviced, no trend is judged. "
    "Where no lawful criterion applies, nothing is passed: it says “not judged”.",
    "Probabilities come from a statistical model of the readings and the meters' stated accuracy. They are "
    "as good as that model, and are no guarantee.",
    "This is a record of resistance and workmanship. It is no survey of the whole electrical system: "
    "insulation, fuses, cable ratings and routing are not judged in it.",
)

HOW_TO_READ = (
    "Resistances are in microohm (µΩ), as read, worked out for copper at 20 °C; ± is one standard "
    "uncertainty. “First” is the value of the first round a span was read in, “now” of the latest; what was "
    "read several times in one round is averaged.",
    "The small picture shows the readings since the beginning, what the meters did to a whole round taken "
    "out. All pictures share one time axis. The grey band is 10 % either side of the first value; the ring "
    "is the newest value, a square after a service; a dotted upright line is a service, a broken red line "
    "the limit where it is near.",
    "Verdicts: “steady”: no creep or jump is sure enough to be called; where one may be, it says so. “Creeping”: "
    "rising from some season on. “Stepped”: it jumped and stayed. “Over limit”: over the limit stated for it. “Too "
    "few readings”: no trend can be told. “Not judged”: nothing was read; never a pass.",
)

HOW_TO_CHECK = (
    "Each fact in the book is one line of a chain; each line is sealed with SHA-256 over its text and the "
    "seal of the line before. The last seal therefore fixes every line before it.",
    "Ask the owner for the book, one SQLite file. “lugbook book verify” reads all of it, and prints how many "
    "lines hold and the last seal. Where the book has grown since, the line of the number printed here must "
    "still carry this seal: SELECT hex(hash) FROM ledger WHERE seq = that number.",
    "Keep this paper. A book rewritten later cannot give the seal printed here.",
    "The seal shows that the record was not changed since it was printed. It does not show that a reading was true.",
)

RECORDED = (
    "This issue is recorded in the book with the SHA-256 of both its files: “lugbook issue check FILE” says whether "
    "a file is this issue, byte for byte, and whether a later one replaces it."
)
NOT_RECORDED = (
    "This report is not recorded in the book. Ask for a recorded issue (“lugbook report --record”): the book then "
    "holds the SHA-256 of both files, and tells whether a file is that issue and whether a later one replaces it."
)

PRIVATE = (
    "Private issue: names of people, free notes, reasons in free text and the build's description are left out. Names "
    "given to the build, its cables, rounds, meters and recipes stay. Pictures carry no metadata in any issue."
)

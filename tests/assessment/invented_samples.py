"""Samples of an invented trial on 2/0 AWG, held against ABYC E-11 unless said otherwise."""

from collections.abc import Sequence

from lugbook.assessment.pull_minima import ABYC, PullMinimum, minimum_for
from lugbook.assessment.qualification import RecipeEvidence, SampleLook, SamplePull, SampleResistance
from lugbook.units.sizes import read_size

SIZE = read_size("2/0 AWG")
GOOD_PULLS = (3800.0, 3900.0, 4000.0, 4100.0, 4200.0)  # mean 4000 N, sd 158.11 N
GOOD_MICROOHM = (6.0, 6.1, 5.9, 6.05, 5.95)  # over 30 mm, whose 2/0 conductor is 7.82 microohm


def pulls(newtons: Sequence[float], failure: str = "pulled out") -> tuple[SamplePull, ...]:
    """Samples 1, 2, ... that failed alike."""
    return tuple(SamplePull(str(number), newton, failure) for number, newton in enumerate(newtons, 1))


def resistances(microohms: Sequence[float], length_metre: float = 0.030) -> tuple[SampleResistance, ...]:
    """Samples 1, 2, ... measured over one length."""
    return tuple(SampleResistance(str(n), microohm, length_metre) for n, microohm in enumerate(microohms, 1))


def looks(count: int, *faults: str, on: Sequence[int] = ()) -> tuple[SampleLook, ...]:
    """So many samples looked at, with these faults on the samples `on`."""
    return tuple(SampleLook(str(n), faults if n in on else ()) for n in range(1, count + 1))


def evidence(
    newtons: Sequence[float] = GOOD_PULLS, *, standard: str | None = ABYC, **changed: object
) -> RecipeEvidence:
    """A recipe with all that it needs, but for what is changed."""
    minimum: PullMinimum | None = minimum_for(standard, SIZE) if standard else None
    whole: dict[str, object] = {
        "pulls": pulls(newtons),
        "resistances": resistances(GOOD_MICROOHM),
        "looks": looks(5),
        "minimum": minimum,
        **changed,
    }
    return RecipeEvidence(SIZE, SIZE.area_mm2, **whole)  # type: ignore[arg-type]

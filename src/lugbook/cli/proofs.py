"""How the proof of a recipe and a comparison of recipes look as JSON, as tables and in words."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lugbook.assessment.pull_minima import PullMinimum
    from lugbook.jobs.trialling import Compared, Proof

Pairs = list[tuple[str, str]]
Table = tuple[tuple[str, ...], list[list[str]]]


def facts_of_proof(proof: "Proof") -> dict[str, Any]:
    """The facts of one recipe, for JSON."""
    from lugbook.assessment.qualification_words import word_proof

    found, minimum = proof.qualification, proof.qualification.minimum
    pull, ratio = found.pull, found.length_ratio
    return {
        "recipe": proof.name,
        "die": proof.die,
        "joining": proof.evidence.joining,
        "verdict": found.verdict,
        "reasons": [word_proof(reason) for reason in found.reasons],
        "doubts": list(proof.doubts),
        "photos": list(proof.photos),
        "pull": {
            "count": pull.count,
            "mean_newton": _rounded(pull.mean, 1),
            "sd_newton": _rounded(pull.sd, 2),
            "lower_bound_newton": _rounded(pull.lower_bound, 1),
            "share": pull.share,
            "confidence": pull.confidence,
            "minimum_newton": _rounded(minimum.newton if minimum else None, 1),
            "minimum_source": minimum.cited if minimum else None,
            "minimum_provenance": minimum.provenance if minimum else None,
            "standard": proof.standard,
        },
        "length_ratio": {
            "count": ratio.count,
            "mean": _rounded(ratio.mean, 4),
            "sd": _rounded(ratio.sd, 4),
            "limit": proof.evidence.equal_length.limit,
            "source": proof.evidence.equal_length.cited,
            "provenance": proof.evidence.equal_length.provenance,
        },
        "minima": [
            {
                "standard": one.standard, "newton": round(one.newton, 1), "stated": one.stated,
                "percent_of_conductor": round(100 * one.newton / proof.strength_newton, 1),
                "source": one.cited, "provenance": one.provenance, "note": one.note or None,
                "chosen": one.standard == proof.standard,
            }
            for one in proof.minima
        ],
    }  # fmt: skip


def pairs_of_proof(proof: "Proof") -> Pairs:
    """Name and value of what is concluded of one recipe, for reading."""
    from lugbook.assessment.qualification_words import word_proof
    from lugbook.units.wording import word_number, word_with_uncertainty

    found = proof.qualification
    pull, minimum = found.pull, found.minimum
    mean = "" if pull.mean is None else word_with_uncertainty(pull.mean, pull.sd or 0.0, "N")
    mean += " (± standard deviation)" if pull.sd else ""
    of_whom = f"for {100 * pull.share:g} % of such crimps, {100 * pull.confidence:g} % sure"
    if pull.lower_bound is None:
        bound = ""
    elif pull.lower_bound > 0:
        bound = f"{word_number(pull.lower_bound)} N {of_whom}"
    else:
        bound = f"none {of_whom}: the samples scatter too much, or are too few"
    samples = "sample" if pull.count == 1 else "samples"
    said = [*(word_proof(reason) for reason in found.reasons), *proof.doubts]
    return [
        ("joined", "" if proof.evidence.joining == "crimped" else f"{proof.evidence.joining}, not crimped"),
        ("photos", ", ".join(proof.photos)),
        ("verdict", found.verdict),
        ("pull", f"{mean}, {pull.count} {samples}" if mean else ""),
        ("lower bound", bound),
        ("held against", minimum_line(minimum) if minimum else "no pull minimum chosen"),
        *(("because" if place == 0 else "", sentence) for place, sentence in enumerate(said)),
    ]


def minimum_line(minimum: "PullMinimum") -> str:
    """One minimum with its source and how it is known."""
    from lugbook.assessment.pull_minima import word_minimum

    return f"{word_minimum(minimum)} ({minimum.cited}; {minimum.provenance})"


def minima_table(proof: "Proof") -> Table:
    """What each standard asks, and what a pass of it is worth."""
    from lugbook.assessment.pull_minima import force_stated
    from lugbook.units.wording import word_number

    rows = []
    for one in proof.minima:
        part = 100 * one.newton / proof.strength_newton
        bound = proof.qualification.pull.lower_bound
        held = "" if bound is None else ("yes" if bound >= one.newton else "no")
        chosen = "yes" if one.standard == proof.standard else ""
        stated = force_stated(one)
        rows.append(
            [
                one.standard, word_number(one.newton),
                f"{part:.0f} %", "" if stated.endswith(" N") else stated, held, chosen, one.provenance,
                "; ".join(filter(None, (one.cited, one.note))),
            ]
        )  # fmt: skip
    headings = ("standard", "asks N", "of the conductor", "stated", "bound reaches it", "chosen")
    return (*headings, "how we know it", "source; note"), rows


def facts_of_comparison(compared: "Compared") -> dict[str, Any]:
    """The facts of a comparison, for JSON."""
    from lugbook.assessment.qualification_words import word_proof

    found = compared.comparison
    proofs = {proof.name: proof for proof in compared.proofs}
    return {
        "chosen": found.chosen,
        "decided_by": found.decided_by or None,
        "contenders": list(found.contenders),
        "more_samples_each": found.more_each,
        "reasons": [word_proof(reason) for reason in found.reasons],
        "recipes": [
            {
                **facts_of_proof(proofs[one.name]),
                "lower_bound_newton": _rounded(one.pull.lower_bound if one.pull else None, 1),
                "samples_with_faults": one.faulty_samples,
                "samples_looked_at": one.looked_at,
                "left_out": word_proof(one.left_out) if one.left_out else None,
            }
            for one in found.recipes
        ],
    }


def comparison_table(compared: "Compared") -> Table:
    """The recipes in order, the best lower bound first."""
    from lugbook.units.wording import word_number, word_with_uncertainty

    dies = {proof.name: proof.die for proof in compared.proofs}
    rows = []
    for one in compared.comparison.recipes:
        pull = one.qualification.pull
        bound = one.pull.lower_bound if one.pull else pull.lower_bound
        minimum = one.qualification.minimum
        rows.append(
            [
                one.name, dies[one.name], one.qualification.verdict,
                "" if pull.mean is None else word_with_uncertainty(pull.mean, pull.sd or 0.0, ""),
                "" if bound is None else word_number(bound) if bound > 0 else "none",
                word_number(minimum.newton) if minimum else "none chosen",
                "" if one.length_ratio is None else f"{one.length_ratio:.2f}",
                f"{one.faulty_samples} of {one.looked_at}" if one.looked_at else "",
            ]
        )  # fmt: skip
    headings = ("recipe", "die", "verdict", "pull N", "bound N", "minimum N", "equal length", "with faults")
    return headings, rows


def sentences_of_comparison(compared: "Compared") -> list[str]:
    """What is concluded, what the numbers lean on, and each recipe's own doubts."""
    from lugbook.assessment.pull_minima import force_stated, word_worth
    from lugbook.assessment.qualification_words import word_proof

    said = [word_proof(reason) for reason in compared.comparison.reasons]
    for proof in compared.proofs:
        if proof.name == compared.comparison.chosen and proof.qualification.verdict != "qualified":
            verdict = proof.qualification.verdict
            said.append(f"{proof.name} itself is {verdict}; `lugbook recipe show {proof.name}` says why.")
        if proof.evidence.joining != "crimped":
            said.append(f"{proof.name} is {proof.evidence.joining}, not crimped.")
        said += [f"{proof.name}: {doubt}" for doubt in proof.doubts]
    told = set()
    for proof in compared.proofs:
        minimum = proof.qualification.minimum
        if minimum is not None and minimum.standard not in told:
            told.add(minimum.standard)
            said.append(f"Minimum: {minimum_line(minimum)}.")
            said.append(f"{word_worth(minimum.newton, proof.evidence.area_mm2, force_stated(minimum))}.")
    said.append(
        "Bounds are compared with the scatter of all settings taken together; `lugbook recipe show` gives each its own."
    )
    return said


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(float(value), digits)

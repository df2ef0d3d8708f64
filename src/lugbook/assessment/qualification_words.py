"""The sentences of what speaks for or against a recipe, or of a choice between recipes."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from lugbook.assessment.reasons import Numbers, Reason
from lugbook.units.wording import word_number


def word_proof(reason: Reason) -> str:
    """One plain sentence of a fact from `qualification` or `comparing`."""
    return PROOF_WORDINGS[reason.code](reason.numbers)


def _below_minimum(n: Numbers) -> str:
    held, least = _newton(n, "newton"), _newton(n, "minimum_newton")
    how_many = "" if n["count"] == 1 else f"; {_whole(n, 'count')} samples are below it"
    return f"Sample {n['sample']} held {held}, less than the {least} of {n['standard']}{how_many}."


def _lug_cracked(n: Numbers) -> str:
    if n["count"] == 1:
        return f"The lug of sample {n['sample']} cracked: the crimp is too tight, or the lug too hard."
    return (
        f"The lugs of {_whole(n, 'count')} samples cracked, {n['sample']} first: "
        "the crimp is too tight, or the lug too hard."
    )


def _fault(n: Numbers) -> str:
    looked_at = "1 sample" if n["looked_at"] == 1 else f"{_whole(n, 'looked_at')} samples"
    return (
        f"Seen in {_whole(n, 'count')} of {looked_at} looked at "
        f"({n['sample']}{' first' if float(n['count']) > 1 else ''}): {n['fault']}."
    )


def _resistance_high(n: Numbers) -> str:
    return f"{_ratio(n)} of its conductor, surely over the limit of {float(n['limit']):g} times."


def _resistance_good(n: Numbers) -> str:
    return f"{_ratio(n)} of its conductor, within the limit of {float(n['limit']):g} times."


def _resistance_in_doubt(n: Numbers) -> str:
    return (
        f"{_ratio(n)} of its conductor, over the limit of {float(n['limit']):g} times, "
        "but the samples are too few or scatter too much to be sure."
    )


def _not_crimped(n: Numbers) -> str:
    return f"The joint is {n['joining']}, not crimped: sample pulls of crimps do not judge it."


def _no_minimum(n: Numbers) -> str:
    return (
        f"No pull minimum was chosen that covers {str(n['size']).replace('mm2', 'mm²')}: choose a standard; "
        "without one no pull is a pass or a fail."
    )


def _no_samples(n: Numbers) -> str:
    return "No sample was pulled to failure, so nothing is known of the crimp; pull five."


def _one_sample(n: Numbers) -> str:
    return "One sample says nothing of the scatter: the next may hold half; pull four more."


def _all_equal(n: Numbers) -> str:
    return (
        f"All {_whole(n, 'count')} samples read {_newton(n, 'newton')}: no crimps are so alike. "
        "Look whether the tester stopped there, or one number was copied."
    )


def _pull_proved(n: Numbers) -> str:
    return f"{_bound(n)}, at or above the {_newton(n, 'minimum_newton')} of {n['standard']}."


def _pull_not_proved(n: Numbers) -> str:
    if float(n["bound_newton"]) <= 0:
        return (
            f"{_whole(n, 'count')} samples with this scatter prove nothing of {_percent(n, 'share_percent')} "
            f"of such crimps, although each held the {_newton(n, 'minimum_newton')} of {n['standard']}."
        )
    return (
        f"{_bound(n)}, below the {_newton(n, 'minimum_newton')} of {n['standard']}, "
        "although each sample held it: pull more, or find what scatters."
    )


def _few_samples(n: Numbers) -> str:
    return (
        f"{_whole(n, 'count')} samples prove little: as mere passes they show, with "
        f"{_percent(n, 'confidence_percent')} confidence, no more than that "
        f"{_f(n, 'proved_percent'):.0f} % of such crimps pass; pull at least {_whole(n, 'fewest')}."
    )


def _outlier(n: Numbers) -> str:
    return (
        f"Sample {n['sample']} ({_newton(n, 'newton')}) stands apart from the others "
        f"(mean {_newton(n, 'others_newton')}); it is counted. Look for what was different."
    )


def _normality_doubted(n: Numbers) -> str:
    return (
        f"The {_whole(n, 'count')} pulls do not look normally scattered ({n['how']}), and the bound leans on that: "
        f"it may be too high. Without it, {_percent(n, 'share_percent')} at {_percent(n, 'confidence_percent')} "
        f"confidence takes {_whole(n, 'passes')} samples that all hold the minimum."
    )


def _failures_mixed(n: Numbers) -> str:
    counted = ", ".join(f"{mode} {_whole(n, mode)}" for mode in n)
    return f"The samples failed in different ways ({counted}): two causes in one sample, each with its own scatter."


def _only_held(n: Numbers) -> str:
    count = _whole(n, "count")
    what = "1 sample was" if count == "1" else f"{count} samples were"
    return f"{what} held ({_newton(n, 'newton')} or more) and not pulled to failure: not in mean and bound."


def _held(n: Numbers) -> str:
    return (
        f"The mean of {_newton(n, 'newton')} is {_f(n, 'percent'):.0f} % of what the conductor can hold "
        "(annealed copper)."
    )


def _worth(n: Numbers) -> str:
    return (
        f"{n['standard']} asks for {n['stated']}: that is {_newton(n, 'newton')}, "
        f"{_f(n, 'percent'):.0f} % of what this conductor can hold."
    )


def _minimum_from_memory(n: Numbers) -> str:
    return f"The minimum of {n['standard']} for this size is from memory, to be checked."


def _no_resistance(n: Numbers) -> str:
    return "No resistance of a sample was measured: a crimp may hold well and conduct badly."


def _not_looked_at(n: Numbers) -> str:
    return "No sample was looked at by the checklist."


def _barrel(n: Numbers) -> str:
    filled = f"the conductor ({n['conductor']}) fills {_f(n, 'filled_percent'):.0f} % of it"
    advice = "too loose to crimp well" if _f(n, "filled_percent") < 100 else "strands must not be cut to fit"
    return f"The lug's barrel is made for {n['barrel']}, and {filled}: {advice}."


def _chosen_by_pull(n: Numbers) -> str:
    return (
        f"Use {n['chosen']}: with {_percent(n, 'confidence_percent')} confidence no other holds more than "
        f"{_f(n, 'as_good_percent'):g} % more. Next is {n['second']}, whose mean is {_less(n)}."
    )


def _chosen_by_resistance(n: Numbers) -> str:
    return f"{_alike(n, 'By pull')}; {n['chosen']} surely conducts best of them: use it."


def _chosen_by_faults(n: Numbers) -> str:
    return f"{_alike(n, 'By pull and resistance')}; {n['chosen']} alone showed no fault: use it."


def _alike(n: Numbers, by: str) -> str:
    if "as_good_percent" not in n:
        return f"{by} {n['others']} cannot be told apart"
    return (
        f"{n['others']} hold alike (with {_percent(n, 'confidence_percent')} confidence no other holds more than "
        f"{_f(n, 'as_good_percent'):g} % more)"
    )


def _cannot_tell(n: Numbers) -> str:
    said = (
        f"These samples cannot tell {n['first']} from {n['second']}: the means differ by "
        f"{word_number(_f(n, 'behind_percent'), 2)} %"
    )
    if "scatter_percent" in n:
        said += f", single samples scatter by {word_number(_f(n, 'scatter_percent'), 2)} %"
    if "more_each" not in n:
        return (
            f"{said}. It would take over {_whole(n, 'most_more')} more of each: for holding, either will do."
        )
    return f"{said}. Pull {_whole(n, 'more_each')} more samples of each."


def _too_few_to_choose(n: Numbers) -> str:
    return (
        f"Nothing is chosen while one that could be the best has fewer than {_whole(n, 'fewest')} samples pulled to "
        f"failure ({n['held']}): pull {n['more']}, so that each has {_whole(n, 'each')}."
    )


def _none_left(n: Numbers) -> str:
    return "No recipe can be chosen: each was refused, or has no usable sample."


def _one_left(n: Numbers) -> str:
    return f"Only {n['first']} can be chosen, and there is nothing to compare it with."


def _left_out(n: Numbers) -> str:
    return f"{n['recipe']} is left out: {n['why']}"


def _conducts_worse(n: Numbers) -> str:
    return (
        f"{n['other']} surely conducts better: {n['chosen']} has {word_number(_f(n, 'more_percent'), 2)} % more "
        "resistance per equal length."
    )


def _different_minima(n: Numbers) -> str:
    return f"The recipes are held against different minima ({n['minima']}): choose one standard for all."


PROOF_WORDINGS: Mapping[str, Callable[[Numbers], str]] = {
    "below minimum": _below_minimum,
    "lug cracked": _lug_cracked,
    "serious fault": _fault,
    "minor fault": _fault,
    "frequent fault": _fault,
    "resistance high": _resistance_high,
    "resistance good": _resistance_good,
    "resistance in doubt": _resistance_in_doubt,
    "not crimped": _not_crimped,
    "no minimum": _no_minimum,
    "no samples": _no_samples,
    "one sample": _one_sample,
    "all equal": _all_equal,
    "pull proved": _pull_proved,
    "pull not proved": _pull_not_proved,
    "few samples": _few_samples,
    "outlier": _outlier,
    "normality doubted": _normality_doubted,
    "failures mixed": _failures_mixed,
    "only held": _only_held,
    "held": _held,
    "worth": _worth,
    "minimum from memory": _minimum_from_memory,
    "no resistance": _no_resistance,
    "not looked at": _not_looked_at,
    "barrel loose": _barrel,
    "barrel tight": _barrel,
    "chosen by pull": _chosen_by_pull,
    "chosen by resistance": _chosen_by_resistance,
    "chosen by faults": _chosen_by_faults,
    "cannot tell": _cannot_tell,
    "too few to choose": _too_few_to_choose,
    "none left": _none_left,
    "one left": _one_left,
    "left out": _left_out,
    "conducts worse": _conducts_worse,
    "different minima": _different_minima,
}


def _f(n: Numbers, key: str) -> float:
    return float(n[key])


def _percent(n: Numbers, key: str) -> str:
    return f"{_f(n, key):g} %"


def _newton(n: Numbers, key: str) -> str:
    return f"{word_number(_f(n, key))} N"


def _whole(n: Numbers, key: str) -> str:
    return f"{_f(n, key):.0f}"


def _ratio(n: Numbers) -> str:
    samples = "1 sample reads" if n["count"] == 1 else f"{_whole(n, 'count')} samples read on average"
    return f"{samples} {_f(n, 'ratio'):.2f} times an equal length"


def _bound(n: Numbers) -> str:
    return (
        f"From {_whole(n, 'count')} samples, {_percent(n, 'share_percent')} of such crimps hold at least "
        f"{_newton(n, 'bound_newton')} ({_percent(n, 'confidence_percent')} confidence)"
    )


def _less(n: Numbers) -> str:
    behind = _f(n, "behind_percent")
    return f"{word_number(behind, 2)} % less" if behind > 0 else "as great"

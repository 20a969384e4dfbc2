"""Published trials, foretold from the library alone: how many had rooted when they were scored.

Each source stands beside its numbers. Several of the records rest on these very trials, so this
shows that a published day and share lead to an honest forecast, not that it knows more than
they say. Where an abstract gives shares alone, 40 cuttings are taken.
"""

import pytest
from scipy import stats

from propagate.actions.desk import library_only
from propagate.planning.groups import lingering_of, prior_of
from propagate.science.counts import interval, mean
from propagate.science.learning import learn
from propagate.science.sightings import BatchData

HARD, SOFT, SEMI, ROOT = "hardwood-cutting", "softwood-cutting", "semi-ripe-cutting", "root-cutting"

TRIALS = [
    # Piskornik & Piskornik, Folia Horticulturae II/1:103-113, 1990: week 6, with and without IBA.
    ("Corylus avellana", SOFT, 40, 42, 0.915),
    ("Corylus avellana", SOFT, 40, 42, 0.405),
    # Braha et al., Journal of Agricultural Studies, 2020: week 8, 'Bluecrop' by month and medium.
    ("Vaccinium corymbosum", HARD, 40, 56, 0.725),
    ("Vaccinium corymbosum", HARD, 40, 56, 0.675),
    ("Vaccinium corymbosum", HARD, 40, 56, 0.52),
    ("Vaccinium corymbosum", HARD, 40, 56, 0.575),
    # Abstract on highbush blueberry and IBA: day 90, two cultivars.
    ("Vaccinium corymbosum", HARD, 40, 90, 0.6855),
    ("Vaccinium corymbosum", HARD, 40, 90, 0.6801),
    # Agroproductividad 2017: 'Victoria', day 40.
    ("Vaccinium corymbosum", SOFT, 40, 40, 0.61),
    # Celik & Cetin, Yuzuncu Yil University Journal 31(2):294-304, 2021: 66 of 75 in month 2.
    ("Lycium barbarum", SEMI, 75, 61, 66 / 75),
    # Massachusetts Agricultural Experiment Station, Bulletin 382: untreated and treated.
    ("Celastrus scandens", SOFT, 40, 70, 0.90),
    ("Celastrus scandens", SOFT, 40, 35, 0.90),
    ("Celastrus scandens", SOFT, 40, 50, 1.00),
    ("Ilex crenata", SEMI, 40, 105, 0.89),
    ("Ilex crenata", SEMI, 40, 42, 1.00),
    ("Ilex cornuta", SEMI, 40, 35, 1.00),
    # Kalyoncu et al., African Journal of Biotechnology: day 48, the best type and the worst.
    ("Morus nigra", SOFT, 40, 48, 1.00),
    ("Morus nigra", SOFT, 40, 48, 0.00),
    # Journal of Crops Improvement (Iran), 2016: month 3, two kinds of blackberry.
    ("Rubus fruticosus", ROOT, 40, 91, 0.7733),
    ("Rubus fruticosus", ROOT, 40, 91, 0.6458),
    # Horticulturae 11(6):645, 2025: month 5, two years.
    ("Camellia sinensis", SEMI, 40, 152, 0.97),
    ("Camellia sinensis", SEMI, 40, 152, 0.86),
]


@pytest.fixture(scope="module")
def ranges():
    """Of each trial, how many rooted, and the ends of the forecast at 80 and 95 %."""
    library, found = library_only(), []
    for latin, method_id, count, day, share in TRIALS:
        record = library.record(method_id, library.resolve(latin)).record
        lingering = lingering_of(library.method(method_id))
        batch = learn(prior_of(record), [BatchData(count)], lingering).batch(0)
        pmf = batch.rooted_by(day)
        ends = [interval(pmf, chance) for chance in (0.8, 0.95)]
        found.append((round(count * share), *((each.low, each.high) for each in ends)))
    return found


@pytest.mark.parametrize(("at", "chance"), [(1, 0.8), (2, 0.95)])
def test_as_many_trials_lie_within_as_the_intervals_say(ranges, at, chance):
    """No fewer than come of 22 honest ones in 99 of a hundred runs (binomial)."""
    held = sum(trial[at][0] <= trial[0] <= trial[at][1] for trial in ranges)
    assert held >= stats.binom.ppf(0.01, len(TRIALS), chance)


def test_the_intervals_are_no_shrug(ranges):
    """They leave out a third of what could be, on average."""
    sizes = [count for _, _, count, _, _ in TRIALS]
    widths = [(high - low) / size for (_, (low, high), _), size in zip(ranges, sizes, strict=True)]
    assert sum(widths) / len(widths) < 0.67


@pytest.mark.parametrize("trial", [TRIALS[8], TRIALS[9]])
def test_by_the_day_of_scoring_most_are_foretold_to_have_rooted_not_half(trial):
    """Where a record's only time is the day on which its trial was scored, with its own take."""
    latin, method_id, count, day, share = trial
    library = library_only()
    record = library.record(method_id, library.resolve(latin)).record
    assert record.taking.weeks.scored
    foretold = mean(learn(prior_of(record), [BatchData(count)]).batch(0).rooted_by(day))
    assert 0.7 * count * share < foretold < count * share

"""Stages for tests: a tune on an occasion, ready to be marked."""

from planner.analysis.analyse import analyse
from planner.event.event import SORTS_BY_OCCASION, Control, Drums, Occasion, Setting
from planner.licence.grant import grant_licence
from planner.marks.anchors import Anchors
from planner.marks.stage import Stage
from planner.music.drums import DrumScore
from planner.music.tune import Tune
from planner.rules.load import load_rulebook
from planner.rules.rulebook import RuleBook
from tests.builders import tune

BOOK = load_rulebook()


def stage(
    music: str | Tune,
    occasion: str = "competition",
    *,
    idiom: str = "march",
    tempo: float = 76,
    drums: str = "full",
    score: DrumScore | None = None,
    sigma_ms: float | None = None,
    rules: RuleBook = BOOK,
    sort: str = "",
) -> Stage:
    """A stage; ``music`` in semiquavers."""
    built = tune(music, tempo=tempo, length="1/16") if isinstance(music, str) else music
    where = Occasion(occasion)
    sorts = SORTS_BY_OCCASION[where]
    chosen = next((one for one in sorts if one == sort), sorts[0])
    setting = Setting(where, chosen, Drums(drums), Control(4, sigma_ms))
    assert built.tempo is not None
    analysis = analyse(built, idiom, built.tempo, rules)
    licence = grant_licence(setting, idiom, rules)
    return Stage(analysis, licence, Anchors(setting.drums, score), rules)

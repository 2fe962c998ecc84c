"""Every demo tune on every occasion, as short text that a person has read and approved.

``pytest tests/golden --approve`` writes what the engine says now; read the difference before it is
kept.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest

from planner.event.event import Control, Drums, Occasion, Setting, Sort
from planner.marks.marks import Mark, Verdict
from planner.plan import TunePlan, plan_tune
from planner.rules.load import load_rulebook
from tests.seed_data.played import FILES, read

PLANS = Path(__file__).parent / "plans"
SETTINGS = (
    (Occasion.PARADE, Sort.OWN_BAND, Drums.FULL),
    (Occasion.DANCE, Sort.FLOOR, Drums.FULL),
    (Occasion.DANCE, Sort.FLOOR, Drums.NONE),
    (Occasion.COMPETITION, Sort.MEDLEY, Drums.FULL),
    (Occasion.EXHIBITION, Sort.STANDING, Drums.FULL),
)


def plans_in_words(file: Path) -> str:
    """The plans of one tune, an occasion after the other."""
    tune = read(file)
    lines = [f"{tune.title}"]
    for occasion, sort, drums in SETTINGS:
        setting = Setting(occasion, sort, drums, Control(4))
        lines += ["", *_plan_in_words(plan_tune(tune, setting, load_rulebook()))]
    return "\n".join(lines) + "\n"


def _plan_in_words(plan: TunePlan) -> Iterator[str]:
    layers, setting = plan.licence.layers, plan.licence.setting
    yield f"{setting.occasion.words}, {setting.sort}, drums {setting.drums}"
    yield f"  {layers.within_beat} / {layers.across_bar} / {layers.across_phrase}"
    yield from (f"  {_mark_in_words(mark)}" for mark in plan.marks)
    followed = [bar for bar in plan.drums.bars if bar.verdict is not Verdict.STRICT]
    words = [f"{bar.part}.{bar.bar} {bar.verdict}" for bar in followed]
    yield f"  drums {plan.drums.tempo}: {', '.join(words) or 'strict in every bar'}"
    codes = dict.fromkeys(finding.code for finding in plan.warnings)
    yield f"  warns of: {', '.join(codes) or 'nothing'}"


def _mark_in_words(mark: Mark) -> str:
    return f"{mark.place.address}: {mark.why} ({mark.ms:+.0f} ms, {mark.audibility.word})"


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_demo_tune_is_planned_as_somebody_approved_it(file: Path, approve: bool) -> None:
    kept = PLANS / f"{file.stem}.txt"
    if approve:
        PLANS.mkdir(exist_ok=True)
        kept.write_text(plans_in_words(file), encoding="utf-8")
    assert plans_in_words(file) == kept.read_text(encoding="utf-8")


def test_no_plan_is_kept_of_a_tune_that_is_gone() -> None:
    assert {kept.stem for kept in PLANS.glob("*.txt")} == {file.stem for file in FILES}

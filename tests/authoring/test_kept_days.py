"""For how long a browser keeps what people wrote or answered: the limits, at and beyond each."""

import pytest
from forty_paces.authoring.models.fleet import Fleet
from pydantic import ValidationError


@pytest.mark.parametrize(
    ("setting", "least"),
    [("records_kept_days", 14), ("scores_kept_days", 35)],
)
def test_days_are_kept_from_two_weeks_or_from_a_lessons_return_and_its_warning_to_ten_years(setting, least):
    assert getattr(Fleet(carrier="A carrier"), setting) is None
    for days in (least, 3650):
        assert days == getattr(Fleet(carrier="A carrier", **{setting: days}), setting)
    for days in (least - 1, 3651):
        with pytest.raises(ValidationError, match=setting):
            Fleet(carrier="A carrier", **{setting: days})

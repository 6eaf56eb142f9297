"""What a reader of documents complains of is told in one sentence, whatever it was that it read."""

import pytest

from routing.changes.replan import replan_from_json
from routing.errors import OperationError


@pytest.mark.parametrize(("text", "sentence"), [
    ("not json", "x.json: found text that is not JSON: expected ident at line 1 column 2, allowed: one JSON object."),
    ("{}", "x.json, next_night: found nothing, allowed: a value."),
    ('{"next_night": 5}', "x.json, next_night: found 5, allowed: a date such as 2027-04-14."),
    ('{"next_night": "2027-04-14", "changes": [{"kind": "locusts"}]}', "a 'kind' among 'bloom', 'truck away'"),
    ('{"next_night": "2027-04-14", "changes": [{}]}', "allowed: a field 'kind', which says what it is."),
    ('{"next_night": "2027-04-14", "change": []}', "x.json, change: found a list, allowed: no such field."),
])  # fmt: skip
def test_a_complaint_is_one_sentence(text: str, sentence: str) -> None:
    with pytest.raises(OperationError) as caught:
        replan_from_json(text, "x.json")
    (fault,) = caught.value.faults
    assert sentence in str(fault)

"""The pages of dances for the demo band."""

from fastapi.testclient import TestClient


def test_an_event_leads_to_the_dance_and_says_to_confirm(demo: TestClient) -> None:
    page = demo.get("/events/4").text
    assert '/rules/dances/strathspey-and-half-tulloch?steps=4%2B8"' in page
    assert "Confirm with the dancers or their teacher" in page
    assert (
        "The Heronry at Oxenwath"
        in demo.get("/rules/dances/strathspey-and-half-tulloch?steps=4%2B8").text
    )

"""A phone loses its network for a while, and comes back where it was."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.driving import numbers, open_address, settle
from tests.browser.relay import relay

pytestmark = pytest.mark.browser
CONNECTED = '[data-testid="stApp"][data-test-connection-state="CONNECTED"]'


def test_a_lesson_goes_on_where_it_was_when_the_network_comes_back(server: str, phone: Page):
    with relay(server) as (network, address):
        open_address(phone, f"{address}/lesson?lesson=01-arm-height&predicted=1")
        lever = phone.get_by_role("slider").first
        for _ in range(6):
            lever.press("ArrowRight")
        settle(phone)
        where, seen, at = phone.url, numbers(phone), lever.get_attribute("aria-valuenow")
        assert seen[0] != seen[1]
        network.cut()
        expect(phone.locator(CONNECTED)).to_have_count(0)
        network.mend()
        expect(phone.locator(CONNECTED)).to_have_count(1, timeout=60_000)
        settle(phone)
        assert (phone.url, numbers(phone), lever.get_attribute("aria-valuenow")) == (where, seen, at)
        for _ in range(3):
            lever.press("ArrowRight")
        settle(phone)
        assert numbers(phone) != seen
        assert phone.url != where

"""A patient and cuffs of one's own: set in a panel, kept in the link, in lessons, practice and the player."""

from __future__ import annotations

from tests.screens.opening import address, html, links, open_page, texts

MINE = {"my.sbp": "150", "my.dbp": "86", "my.arm_circumference_cm": "38", "my.cuffs": "regular,large"}
SIZE = "02-cuff-size"


def values(page, **numbers):
    for name, value in numbers.items():
        next(each for each in page.number_input if each.key.endswith(f"/{name}")).set_value(value)


def use(page):
    return next(b for b in page.button if b.label == "Use this patient and these cuffs").click().run()


def test_a_link_puts_the_patient_into_the_lessons_readings():
    page = open_page("lesson", lesson="01-arm-height", predicted="1", **MINE)
    assert not page.exception
    assert "150<i>/</i>86" in html(page)
    assert {name: address(page)[name] for name in MINE} == MINE
    assert "its own person: 136/84" in texts(page).replace("\\", "") or "its own person" in texts(page)

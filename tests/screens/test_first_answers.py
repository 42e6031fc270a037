"""Choices are shown in the order of the address's seed, and the first answer counts."""

from sim.explain.same_arm import FIRST_SEED
from sim.screens.lesson import address as addresses
from sim.teach.choice_order import shown_order
from sim.teach.lesson import load_all
from tests.screens.opening import address, links, open_page, texts

LESSONS, _ = load_all()
ARM = LESSONS[0]
CASE_CHOICES = ARM.case.choices if ARM.case else ()
ASKED = 1 + len(ARM.checks) + 1


def right_of(choices):
    return [choice.right for choice in choices].index(True)


def wrong_of(choices):
    return [choice.right for choice in choices].index(False)


def options(page, name):
    return list(page.radio(key=f"{ARM.name}/{name}").options)


def in_order(choices, name, seed):
    return [choices[number].text for number in shown_order(ARM.name, name, len(choices), seed)]


def test_choices_stand_in_the_order_of_the_seed():
    for seed in (FIRST_SEED, 4, 5, 6):
        given = {} if seed == FIRST_SEED else {"seed": str(seed)}
        before = open_page("lesson", lesson=ARM.name, **given)
        assert options(before, "choice") == in_order(ARM.predict.choices, "prediction", seed)
        assert address(before) == {"lesson": ARM.name, **given}
        page = open_page("lesson", lesson=ARM.name, predicted="none", step="check", seed=str(seed))
        for number, check in enumerate(ARM.checks):
            assert options(page, f"check-{number}") == in_order(check.choices, f"check-{number}", seed)
        assert options(page, "case") == in_order(CASE_CHOICES, "case", seed)
    assert len({tuple(in_order(CASE_CHOICES, "case", seed)) for seed in (FIRST_SEED, 4, 5, 6)}) > 1


def test_the_address_keeps_the_authors_number_of_a_choice():
    for seed in ("3", "4", "5"):
        for number in range(len(ARM.predict.choices)):
            page = open_page("lesson", lesson=ARM.name, seed=seed)
            page.radio(key=f"{ARM.name}/choice").set_value(number).run()
            page.button(key=f"{ARM.name}/commit").click().run()
            assert address(page)["predicted"] == str(number + 1)


def test_new_readings_leave_the_order_as_it_was():
    page = open_page("lesson", lesson=ARM.name, predicted="1", seed="7", reading="20")
    page.button(key=f"{ARM.name}/again").click().run()
    assert (address(page)["seed"], address(page)["order"]) == ("8", "7")
    page.button_group(key=f"{ARM.name}/step").set_value("check").run()
    assert options(page, "case") == in_order(CASE_CHOICES, "case", 7)
    again = open_page("lesson", **address(page))
    assert options(again, "case") == in_order(CASE_CHOICES, "case", 7)


def test_a_link_for_a_class_and_another_start_keep_the_order():
    page = open_page("lesson", lesson=ARM.name, predicted="1", step="check", seed="7")
    for label in ("Link for your class", "Link for presenting"):
        (link,) = [link for link in links(page) if link.label.startswith(label)]
        assert "seed=7" in link.query_string
    page.button(key=f"{ARM.name}/restart").click().run()
    assert address(page) == {"lesson": ARM.name, "seed": "7"}
    assert options(page, "choice") == in_order(ARM.predict.choices, "prediction", 7)


def test_a_bad_order_is_named_and_falls_back_to_the_seed_that_all_have():
    state, problems = addresses.read({"predicted": "1", "order": "0"}, ARM)
    assert state.order == FIRST_SEED
    assert "order = 0: must be a whole number from 1 to 9999" in problems[0]


def test_the_first_answers_count_and_later_ones_teach():
    page = open_page("lesson", lesson=ARM.name, predicted="none", step="check")
    assert "Your first answers" not in texts(page)
    first, second = ARM.checks[0].choices, ARM.checks[1].choices
    page.radio(key=f"{ARM.name}/check-0").set_value(wrong_of(first)).run()
    assert "Your first answers: 0 of 1 right" in texts(page)
    page.radio(key=f"{ARM.name}/check-0").set_value(right_of(first)).run()
    assert first[right_of(first)].reason in texts(page)
    assert "Your first answers: 0 of 1 right" in texts(page)
    assert "Your first answer counts" in texts(page)
    page.radio(key=f"{ARM.name}/check-1").set_value(right_of(second)).run()
    assert "Your first answers: 1 of 2 right" in texts(page)
    page.radio(key=f"{ARM.name}/case").set_value(right_of(CASE_CHOICES)).run()
    assert f"Your first answers: 2 of 3 right. This lesson asks {ASKED} questions" in texts(page)


def test_first_answers_include_the_prediction_and_outlast_a_new_start():
    page = open_page("lesson", lesson=ARM.name)
    page.radio(key=f"{ARM.name}/choice").set_value(wrong_of(ARM.predict.choices)).run()
    page.button(key=f"{ARM.name}/commit").click().run()
    page.button_group(key=f"{ARM.name}/step").set_value("do").run()
    assert "Your first answers: 0 of 1 right" in texts(page)
    page.button(key=f"{ARM.name}/restart").click().run()
    page.radio(key=f"{ARM.name}/choice").set_value(right_of(ARM.predict.choices)).run()
    page.button(key=f"{ARM.name}/commit").click().run()
    page.button_group(key=f"{ARM.name}/step").set_value("check").run()
    assert "Your first answers: 0 of 1 right" in texts(page)


def test_a_prediction_left_out_is_no_answer():
    page = open_page("lesson", lesson=ARM.name, predicted="none", step="do")
    assert "Your first answers" not in texts(page)

"""The pages behind links in Chromium, without scripts and by keyboard: `forms.py URL MY DOOR CONFIRM`.

With LUSTRUM_TEST_SCREENSHOTS=DIR each page is left there as a picture, as by `browser.py`.
"""

import sys

from browser import FLAGS, Looker, chromium
from playwright.sync_api import sync_playwright


def opened(looker, page, text, where):
    """Opens a part of the page by keyboard alone."""
    summary = page.locator("summary", has_text=text).first
    summary.focus()
    page.keyboard.press("Enter")
    form = page.locator("details[open] form").first
    if not form.is_visible():
        looker.find(where, f"{text!r} does not open by keyboard")
    return form


def targets(looker, page, where):
    """What is touched has room for a finger: 44 px (WCAG 2.5.5), boxes with their labels."""
    for one in page.locator("summary, button, input:not([type=hidden]):not([type=checkbox]), select, textarea").filter(visible=True).all():
        box = one.bounding_box()
        if box["height"] < 44:
            looker.find(where, f"{one.evaluate('e => e.outerHTML.slice(0, 80)')} is {box['height']} px high")


def said(page):
    return page.locator("[role=status]").text_content() if page.locator("[role=status]").count() else page.locator("main").text_content()


def owner(looker, my):
    context, page, where = looker.open(my, 360, script=True)
    for text in ("Ask for an appointment", "I washed it myself", "Report a problem", "I sold it"):
        opened(looker, page, text, where)
    targets(looker, page, where)
    looker.seen(page, "my-open", where)
    context.close()

    # Without scripts: a slip, then as it is right.
    context, page, where = looker.open(my, 360, script=False)
    form = opened(looker, page, "I washed it myself", where)
    form.get_by_label("Odometer").fill("3")
    form.get_by_label("Odometer").press("Enter")
    page.locator("[aria-invalid]").wait_for()
    if page.get_by_label("Odometer").input_value() != "3":
        looker.find(where, "what was entered is gone after a slip")
    context.close()

    context, page, where = looker.open(my, 360)
    form = opened(looker, page, "I washed it myself", where)
    form.get_by_label("Odometer").fill("3")
    form.get_by_role("button").press("Enter")
    page.locator("[aria-invalid]").wait_for()
    looker.seen(page, "my-slip", where)
    form = page.locator("details[open] form").first
    form.get_by_label("Odometer").fill("1 311")
    form.get_by_role("button").press("Enter")
    page.locator("[role=status]").wait_for()
    looker.seen(page, "my-said", where)
    context.close()

    context, page, where = looker.open(my, 360, script=False)
    form = opened(looker, page, "Report a problem", where)
    form.get_by_label("What is wrong").fill("A dull spot on the roof.")
    # The field for photos is a button, too.
    form.get_by_role("button").last.press("Enter")
    page.get_by_text("has your report").wait_for()
    for tag in ("de", "es", "fr", "pt", "en"):
        page.locator("select[name=language]").select_option(tag)
        page.locator("form[action$=choices] button").press("Enter")
        page.locator(f"html[lang={tag}]").wait_for(state="attached")
        looker.picture(page, f"my-{tag}", "360-light")
    context.close()


def door(looker, path):
    context, page, where = looker.open(path, 360)
    opened(looker, page, "It was washed", where)
    opened(looker, page, "A panel was repaired", where)
    targets(looker, page, where)
    looker.seen(page, "door-open", where)
    context.close()
    context, page, where = looker.open(path, 360, script=False)
    form = opened(looker, page, "A panel was repaired", where)
    form.get_by_label("Which panel").select_option("boot")
    form.get_by_role("button").press("Enter")
    page.get_by_text("will look at your note").wait_for()
    context.close()


def confirm(looker, path):
    context, page, where = looker.open(path, 360, script=False)
    page.get_by_role("button").press("Enter")
    page.get_by_text("The shop has been told").wait_for()
    looker.picture(page, "confirm-done", "360-light")
    context.close()
    looker.look(path, status=410, name="confirm-used")


def main(url, my, door_path, confirm_path):
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), headless=True, args=FLAGS)
        looker = Looker(browser, url)
        for path, name in ((my, "my"), (door_path, "door"), (confirm_path, "confirm")):
            looker.look(path, name=name)
        looker.look("/my/nothing", status=404, name="not-found")
        owner(looker, my)
        door(looker, door_path)
        confirm(looker, confirm_path)
        browser.close()
    print("\n".join(looker.faults))
    sys.exit(1 if looker.faults else 0)


main(*sys.argv[1:])

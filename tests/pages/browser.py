"""Opens pages in Chromium and says what is wrong with them: `browser.py URL PATH...`.

With LUSTRUM_TEST_SCREENSHOTS=DIR each page is left there as a picture, in three widths, light and dark.
"""

import os
import shutil
import sys
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

WIDTHS = (320, 360, 768, 1280)
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]


def chromium():
    found = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    if found is None:
        sys.exit("no Chromium is installed: run tests/run")
    return found


class Looker:
    """One browser, and what was found wrong."""

    def __init__(self, browser, url):
        self.browser, self.url, self.faults = browser, url, []
        self.pictures = os.environ.get("LUSTRUM_TEST_SCREENSHOTS")

    def find(self, where, what):
        self.faults.append(f"{where}: {what}")

    def open(self, path, width, script=True, status=200):
        context = self.browser.new_context(viewport={"width": width, "height": 900}, java_script_enabled=script)
        page = context.new_page()
        where = path
        # Chromium says on the console what is no answer of 200; whether one was wanted is looked at below.
        loud = lambda said: said.type in ("error", "warning") and "the server responded with a status" not in said.text
        page.on("console", lambda said: loud(said) and self.find(where, said.text))
        page.on("pageerror", lambda error: self.find(where, error))
        page.on("request", lambda asked: asked.url.startswith(self.url) or self.find(where, f"asks for {asked.url}"))
        wrong = lambda got: got.status >= 400 and got.status not in (status, 422)
        page.on("response", lambda got: wrong(got) and self.find(where, f"{got.status} for {got.url}"))
        page.goto(self.url + path, wait_until="load")
        return context, page, where

    def look(self, path, status=200, name=None):
        """In each width, light; then once more, dark."""
        context, page, where = self.open(path, WIDTHS[0], status=status)
        self.seen(page, name or path, where)
        context.close()

    def seen(self, page, path, where):
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
            if wide > 0:
                self.find(where, f"is {wide} px wider than a window of {width}")
            self.picture(page, path, f"{width}-light")
        self.axe(page, where)
        page.emulate_media(color_scheme="dark")
        self.picture(page, path, f"{WIDTHS[-1]}-dark")
        self.axe(page, f"{where}, dark", runOnly=["color-contrast"])
        page.emulate_media(media="print")
        if page.locator("button").filter(visible=True).count():
            self.find(where, "prints buttons")
        page.emulate_media(media="screen", color_scheme="light")

    def axe(self, page, where, **options):
        for violation in Axe().run(page, options={"resultTypes": ["violations"], **options}).response["violations"]:
            for node in violation["nodes"][:3]:
                self.find(where, f"{violation['id']}: {violation['help']}: {node['html'][:200]}")

    def picture(self, page, path, how):
        if self.pictures:
            name = f"{path.strip('/').replace('/', '-') or 'home'}-{how}.png"
            page.screenshot(path=str(Path(self.pictures, name)), full_page=True)

    def copies(self, path):
        context, page, where = self.open(path, 1280)
        context.grant_permissions(["clipboard-read", "clipboard-write"], origin=self.url)
        for example in page.locator("figure.example").all()[:3]:
            # By keyboard: whoever copies need not have a mouse.
            example.locator("button").focus()
            page.keyboard.press("Enter")
            # A locator, no script: the page lets none be evaluated while it is waited for.
            example.get_by_text("Copied", exact=True).wait_for()
            page.locator(".said").filter(has_text="Copied.").wait_for(state="attached")
            copied = page.evaluate("navigator.clipboard.readText()")
            if copied != example.locator("code").text_content():
                self.find(where, f"copied {copied[:60]!r}")
        context.close()

    def reads_without_script(self, path):
        context, page, where = self.open(path, 820, script=False)
        if page.locator("button").count():
            self.find(where, "has buttons that do nothing without a script")
        if not page.locator("main h1").is_visible():
            self.find(where, "shows nothing without a script")
        context.close()

    def skips(self, path):
        context, page, where = self.open(path, 1280)
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.className") != "skip":
            self.find(where, "the first stop of the keyboard is not the way past the navigation")
        context.close()


def main(url, *paths):
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), headless=True, args=FLAGS)
        looker = Looker(browser, url)
        for path in paths:
            looker.look(path)
        looker.reads_without_script("/docs/ten-calls")
        looker.copies("/docs/ten-calls")
        looker.skips("/docs")
        browser.close()
    print("\n".join(looker.faults))
    sys.exit(1 if looker.faults else 0)


if __name__ == "__main__":
    main(*sys.argv[1:])

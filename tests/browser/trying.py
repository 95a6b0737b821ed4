"""Using "Your numbers" the way a reader does."""

import json

ANSWER_MS = 30_000  # a slow test machine, not a promise: the promises are in test_speed.py


class Form:
    """The fields of one block of a page, opened; a table of decisions is asked for by its name."""

    def __init__(self, seen, formula="", place=0, table=""):
        self.seen = seen
        page = seen.page
        offers = page.locator(f'.try[data-try*=\'"{table}"\']' if table else ".try")
        blocks = page.locator(f'section[data-formula="{formula}"]' if formula else "section.decision").filter(has=offers)
        self.block = blocks.nth(place)
        self.offer = json.loads(self.block.locator(".try").get_attribute("data-try"))
        self.output = self.block.locator(".try__output")

    def open(self):
        """Unfold what the block stands in, press the button and wait for the engine."""
        self.block.evaluate("(one) => { for (let at = one.closest('details'); at; at = at.parentElement.closest('details')) at.open = true; }")
        self.block.get_by_role("button", name="Your numbers").click()
        self.settled()
        return self

    def field(self, name):
        """The control of one input."""
        return self.block.locator(f'.try__fields [id$="-{name}"]:not([id*="-hint"], [type=range])').first

    def give(self, **values):
        """Type or choose, then wait for what it brings."""
        for name, value in values.items():
            control = self.field(name)
            if control.evaluate("(element) => element.tagName") == "SELECT":
                control.select_option(value)
            else:
                control.fill(value)
        return self.settled()

    def press(self, name):
        """Press one of the form's buttons."""
        self.block.get_by_role("button", name=name).click()
        return self.settled()

    def settled(self):
        """Wait until something stands where the answer belongs and nothing is on its way."""
        self.block.locator(".try__output > *").first.wait_for(timeout=ANSWER_MS)
        self.block.locator(".try__note", has_text="Loading").wait_for(state="detached", timeout=ANSWER_MS)
        self.seen.page.wait_for_function("(form) => !form.querySelector('.try__shown').style.minHeight",
                                         arg=self.block.locator("form").element_handle(), timeout=ANSWER_MS)
        return self

    def text(self):
        """What stands where the answer belongs, blanks made plain."""
        return " ".join(self.output.inner_text().split())

    def fault(self, name):
        """The sentence at a field."""
        return self.field(name).locator("xpath=..").locator(".try__fault").inner_text()

    def echo(self, name):
        """How a field was understood, when not as typed."""
        return " ".join(self.field(name).locator("xpath=..").locator(".try__echo").inner_text().split())

    def values(self):
        """What stands in the fields."""
        return [self.field(field["name"]).input_value() for field in self.offer["fields"]]

    def spoken(self, words):
        """Wait until a screen reader has been told `words`."""
        self.block.locator(".try__voice", has_text=words).wait_for(state="attached", timeout=ANSWER_MS)
        return True

"""The way of the Tab key through a page."""

from playwright.sync_api import Page

# Where Tab stands: its words, whether a ring is drawn round it, and whether something lies over what the window shows
# of it, or the window shows less than half of it, of a tall field less than 24 px (WCAG 2.2, 2.4.11 and 2.5.8).
STOP = """() => {
  const at = document.activeElement;
  if (!at || at === document.body) return null;
  const box = at.getBoundingClientRect();
  const [top, bottom] = [Math.max(box.top, 0), Math.min(box.bottom, innerHeight)];
  const cut = bottom - top < Math.min(box.height / 2, 24);
  const seen = document.elementFromPoint(box.left + box.width / 2, (top + bottom) / 2);
  const label = at.id ? document.querySelector(`label[for="${CSS.escape(at.id)}"]`) : at.closest("label");
  return {
    key: `${at.tagName} ${at.name || at.innerText || at.id}`.slice(0, 60),
    ringed: getComputedStyle(at).outlineStyle === "solid" && parseFloat(getComputedStyle(at).outlineWidth) >= 2,
    covered: cut || !(seen && (at.contains(seen) || seen.contains(at) || label?.contains(seen))),
  };
}"""
# Of radio buttons that belong together Tab stops at one, that which is chosen, else the first; arrows move among them.
STOPS = """() => [...document.querySelectorAll(
  "a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex='0']")]
  .filter(one => !one.disabled && one.tabIndex >= 0 && one.checkVisibility({visibilityProperty: true}))
  .filter((one, _, all) => {
    if (one.type !== "radio") return true;
    const group = all.filter(r => r.type === "radio" && r.name === one.name && r.form === one.form);
    return one === (group.find(r => r.checked) || group[0]);
  })
  .map(one => `${one.tagName} ${one.name || one.innerText || one.id}`.slice(0, 60))"""

# A field that took the focus by itself would be where Tab goes on from, even after it lost it.
FROM_THE_TOP = """() => {
  scrollTo(0, 0);
  document.body.tabIndex = -1;
  document.body.focus();
  document.body.removeAttribute("tabindex");
}"""


def unreached(page: Page) -> list[str]:
    """What is wrong on the way of Tab through a page: stops without a ring, under something, or never met."""
    left: list[str] = page.evaluate(STOPS)
    faults = []
    page.evaluate(FROM_THE_TOP)
    for _ in range(4 * len(left) + 20):  # a date is four stops: day, month, year, calendar
        page.keyboard.press("Tab")
        stop = page.evaluate(STOP)
        if stop is None:
            break
        if stop["key"] in left:
            left.remove(stop["key"])
        faults += [f"{stop['key']}: covered"] if stop["covered"] else []
        faults += [] if stop["ringed"] else [f"{stop['key']}: no ring"]
    return faults + [f"{one}: not met" for one in left]

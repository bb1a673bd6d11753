"""What can be pressed, its box against the least that a hand hits; what is cut on a small screen, or printed.

WCAG 2.2, success criteria 2.5.8 (24 px) and 2.5.5 (44 px), both of which leave out a link within a sentence; the 32 px
of a desk are ours. 1.4.10: at 400 % a page of 1280 px is 320 px wide, and only tables of data may be pushed sideways.
"""

from playwright.sync_api import Page

COARSE, FINE = 44, 32

# A box to tick is as large as its words, a row that leads as a whole to its thing as large as the row.
SMALL = r"""least => {
  const boxes = one => {
    const whole = getComputedStyle(one, "::after");
    const row = whole.content !== "none" && whole.position === "absolute" && one.closest("li, tr, p");
    const label = one.matches("[type=checkbox], [type=radio]") && one.labels[0];
    return [one, label, row].filter(Boolean).map(each => each.getBoundingClientRect());
  };
  const inSentence = one => {
    if (one.tagName !== "A" || getComputedStyle(one).display !== "inline") return false;
    let block = one.parentElement;
    while (getComputedStyle(block).display === "inline") block = block.parentElement;
    const rest = block.cloneNode(true);
    rest.querySelectorAll("a, button, summary, form, ul, ol, table, .hidden-words").forEach(each => each.remove());
    return /\w/.test(rest.textContent);
  };
  const large = box => box.width > least - 0.6 && box.height > least - 0.6;
  return [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary")]
    .filter(one => one.checkVisibility({visibilityProperty: true}) && !inSentence(one))
    .filter(one => !one.matches(".hidden-words, .skip, [aria-hidden=true]") && !boxes(one).some(large))
    .map(one => {
      const box = one.getBoundingClientRect();
      const name = (one.innerText || one.name || one.tagName).slice(0, 40);
      return `"${name}" is ${Math.round(box.width)} × ${Math.round(box.height)}, not ${least} px`;
    });
}"""
CUT = r"""() => [...document.querySelectorAll("main *")]
  .filter(one => one.checkVisibility({visibilityProperty: true}) && one.innerText?.trim())
  .filter(one => !one.closest(".hidden-words, .scroll, .skip, svg, pre, thead, [aria-hidden=true]"))
  .filter(one => {
    const box = one.getBoundingClientRect();
    const hidden = getComputedStyle(one).overflowX === "hidden" && one.scrollWidth > one.clientWidth + 1;
    return hidden || box.right > innerWidth + 1 || box.left < -1;
  })
  .map(one => `cut at 400 %: ${one.innerText.trim().slice(0, 40)}`)"""
ON_PAPER = r"""() => [...document.querySelectorAll(
  "button, .button, .head, .dock, .seek, input:not([type=hidden]), select, textarea, .list .act > *, .bulk")]
  .filter(one => one.checkVisibility({visibilityProperty: true}))
  .map(one => `on paper: ${one.innerText?.slice(0, 40) || one.name || one.className}`)"""


def too_small(page: Page, least: int) -> list[str]:
    """What is smaller than `least` px in width or height and stands by itself, a line each."""
    found: list[str] = page.evaluate(SMALL, least)
    return sorted(set(found))


def cut_at_400_per_cent(page: Page) -> list[str]:
    """What a page at four times its size, 320 px of 1280, pushes sideways or cuts."""
    before = page.viewport_size
    page.set_viewport_size({"width": 320, "height": 256})
    wide = page.evaluate("document.documentElement.scrollWidth")
    found = [f"{wide} px wide at 400 %"] if wide > 320 else []
    found += sorted(set(page.evaluate(CUT)))
    page.set_viewport_size(before)
    return found


def left_on_paper(page: Page) -> list[str]:
    """What could only be pressed, and yet is printed."""
    page.emulate_media(media="print")
    found: list[str] = page.evaluate(ON_PAPER)
    page.emulate_media(media="screen")
    return sorted(set(found))

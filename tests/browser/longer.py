"""What of an open page gives way where its text grows: what is cut, leaves the page or lies on something else."""

from playwright.sync_api import Page

_FAULTS = """() => {
  const wide = document.documentElement.clientWidth, faults = [];
  const name = element => {
    const words = (element.innerText || element.value || "").trim().replace(/\\s+/g, " ").slice(0, 60);
    return `${element.tagName.toLowerCase()}.${element.className.baseVal ?? element.className} “${words}”`;
  };
  const shown = element => element.checkVisibility({opacityProperty: true, visibilityProperty: true})
    && element.getClientRects().length > 0;
  const style = element => getComputedStyle(element);
  // What only a screen reader says is one pixel in size.
  const told = element => { const box = element.getBoundingClientRect(); return box.width <= 2 || box.height <= 2; };
  const within = (element, holds) => { for (let at = element; at; at = at.parentElement) if (holds(at)) return at; };
  const scrolls = element => within(element, at => ["auto", "scroll"].includes(style(at).overflowX));
  const whole = document.documentElement.scrollWidth;
  if (whole > wide) faults.push(`the page is ${whole} px wide`);

  const all = [...document.body.querySelectorAll("*")].filter(element => !element.closest("svg") && shown(element));
  for (const element of all) {
    const hides = ["hidden", "clip"].includes(style(element).overflowX);
    const held = element.matches("button, .button, h1, h2, h3, th, td, summary, legend, label, dt, dd, nav a, select");
    if (!(hides || held) || told(element) || scrolls(element)) continue;
    const over = element.scrollWidth - element.clientWidth;
    if (over > 1 && style(element).display !== "inline" && element.innerText?.trim())
      faults.push(`cut by ${over} px: ${name(element)}`);
  }
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const node = texts.currentNode, holder = node.parentElement;
    if (!node.data.trim() || holder.closest("svg, script, style, option") || !shown(holder)) continue;
    if (within(holder, told) || scrolls(holder)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const out = Math.max(...[...range.getClientRects()].map(box => Math.max(box.right - wide, -box.left)));
    if (out > 1) faults.push(`leaves the page by ${Math.round(out)} px: ${name(holder)}`);
  }
  const floats = element => within(element, at => ["fixed", "sticky"].includes(style(at).position));
  const pressed = all.filter(element => element.matches("a, button, input, select, textarea, summary") && !told(element)
    && !within(element, told));
  // Of what is scrolled in a box of its own only what that box shows.
  const seen = (element, box) => {
    for (let at = element.parentElement; at && at !== document.body; at = at.parentElement)
      if (style(at).overflowY !== "visible") {
        const hold = at.getBoundingClientRect();
        box = {left: Math.max(box.left, hold.left), right: Math.min(box.right, hold.right),
          top: Math.max(box.top, hold.top), bottom: Math.min(box.bottom, hold.bottom)};
      }
    return box;
  };
  // Of a link its words that are seen: what a thumb may hit of it besides reaches into its neighbours on purpose.
  const written = element => {
    if (!element.matches("a:not(.button)")) return [...element.getClientRects()];
    const words = document.createTreeWalker(element, NodeFilter.SHOW_TEXT), found = [];
    while (words.nextNode()) {
      if (within(words.currentNode.parentElement, told)) continue;
      const range = document.createRange();
      range.selectNodeContents(words.currentNode);
      found.push(...range.getClientRects());
    }
    return found;
  };
  const boxes = pressed.map(element => ({
    element, over: floats(element), rects: written(element).map(box => seen(element, box))
      .filter(box => box.right - box.left > 2 && box.bottom - box.top > 2),
  }));
  for (const [at, one] of boxes.entries()) for (const other of boxes.slice(at + 1)) {
    if (one.over !== other.over || one.element.contains(other.element) || other.element.contains(one.element)) continue;
    const lie = one.rects.some(a => other.rects.some(b => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 3
      && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 3));
    if (lie) faults.push(`${name(one.element)} lies on ${name(other.element)}`);
  }
  return faults;
}"""


def given_way(page: Page) -> list[str]:
    """Return what is cut, too wide or laid over on an open page, a line each."""
    found: list[str] = page.evaluate(_FAULTS)
    return found

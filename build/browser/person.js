// What a person can see and touch on a page. Each function answers null while the thing is not there.
(() => {
  const norm = (s) => (s ?? "").replace(/\s+/g, " ").trim();
  const seen = (e) => e.checkVisibility({ visibilityProperty: true, opacityProperty: true }) && e.getClientRects().length > 0;
  const things = () => [...document.querySelectorAll(
    "button, a[href], summary, label, select, input, textarea, [role=button], [role=link], [role=tab], [role=option], [role=radio], " +
    "[role=checkbox], [role=switch], [role=menuitem]")].filter((e) => seen(e) && !e.disabled && e.getAttribute("aria-disabled") !== "true");
  const nameOf = (e) => norm(e.getAttribute("aria-label") || e.labels?.[0]?.innerText || e.innerText || e.placeholder || e.value);
  // The first of that name; else the only one whose name begins with it.
  const pick = (list, name) => {
    const whole = list.find((e) => nameOf(e) === name);
    if (whole) return whole;
    const begin = list.filter((e) => nameOf(e).startsWith(name));
    return begin.length === 1 ? begin[0] : null;
  };
  const touch = (e) => {
    const r = e.getBoundingClientRect();
    const x = r.left + r.width / 2, y = r.top + r.height / 2;
    const top = document.elementFromPoint(x, y);
    return top && (e.contains(top) || top.contains(e) && e.matches("label *, svg *")) ? { x, y } : null;
  };
  // Where to touch it: its middle, if nothing lies on top.
  const middle = (e) => {
    if (!e) return null;
    const show = () => e.scrollIntoView({ block: "center", inline: "center", behavior: "instant" });
    const r = e.getBoundingClientRect();
    if (r.top < 0 || r.bottom > innerHeight || r.left < 0 || r.right > innerWidth) show();
    return touch(e) ?? (show(), touch(e)); // something may lie over the edge of what scrolls
  };
  // A person does not hit what still moves: where it is when it has stood still for a few frames.
  const still = async (find) => {
    let at = find();
    for (let frame = 0; at && frame < 6; frame++) {
      await new Promise(requestAnimationFrame);
      const now = find();
      if (!now || now.x !== at.x || now.y !== at.y) return null;
    }
    return at;
  };
  return {
    tappable: (name) => still(() => middle(pick(things(), name))),
    selector: (css) => still(() => middle([...document.querySelectorAll(css)].find(seen))),
    field: (name) => still(() => middle(pick(things().filter((e) => e.matches("input, textarea, select")), name))),
    text: (text) => (norm(document.body?.innerText).includes(text) ? true : null),
    without: (text) => (norm(document.body?.innerText).includes(text) ? null : true),
    page: () => norm(document.body?.innerText) + "\n[can be tapped: " + things().map(nameOf).join(" | ") + "]",
  };
})()

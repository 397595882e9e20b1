// What makes the page wider than its window or is cut off. A table may scroll in a box of its own.
(() => {
  const root = document.documentElement, found = [];
  if (root.scrollWidth > root.clientWidth)
    found.push(`page ${root.scrollWidth} px wide in a window of ${root.clientWidth}`);
  const scrolls = element => {
    for (let e = element; e && e !== document.body; e = e.parentElement)
      if (['auto', 'scroll'].includes(getComputedStyle(e).overflowX)) return true;
    return false;
  };
  for (const element of document.body.querySelectorAll('*')) {
    if (element.closest('svg title, svg desc, defs') || !element.checkVisibility()) continue;
    const box = element.getBoundingClientRect(), words = element.textContent.slice(0, 60);
    if (box.width <= 1) continue;
    if (box.right > root.clientWidth + 1 && !scrolls(element))
      found.push(`${element.tagName} ends at ${Math.round(box.right)} px: ${words}`);
    if (element instanceof HTMLElement && element.scrollWidth > element.clientWidth + 1 &&
        ['hidden', 'clip'].includes(getComputedStyle(element).overflowX))
      found.push(`${element.tagName} cuts its text off: ${words}`);
  }
  return found;
})()

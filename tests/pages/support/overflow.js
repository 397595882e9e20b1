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
  const beyond = [];
  for (const element of document.body.querySelectorAll('*')) {
    if (element.closest('svg title, svg desc, defs') || !element.checkVisibility()) continue;
    const box = element.getBoundingClientRect(), words = element.textContent.slice(0, 60);
    if (box.width <= 1) continue;
    if (box.right > root.clientWidth + 1 && !scrolls(element)) beyond.push(element);
    if (element instanceof HTMLElement && element.scrollWidth > element.clientWidth + 1 &&
        ['hidden', 'clip'].includes(getComputedStyle(element).overflowX))
      found.push(`${element.tagName} cuts its text off: ${words}`);
  }
  // The innermost alone: what holds them is as wide because of them.
  for (const element of beyond.filter(one => !beyond.some(other => other.parentElement === one)))
    found.push(`${element.tagName} ends at ${Math.round(element.getBoundingClientRect().right)} px: ` +
               element.textContent.slice(0, 60));
  return found;
})()

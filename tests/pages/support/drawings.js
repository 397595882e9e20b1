// Words of a drawing that leave it, cover one another or stand on a limit's line.
(() => {
  const found = [];
  for (const svg of document.querySelectorAll('svg')) {
    if (!svg.checkVisibility()) continue;
    const frame = svg.getBoundingClientRect();
    const name = svg.querySelector('title')?.textContent ?? 'svg without title';
    const words = [...svg.querySelectorAll('text')].filter(text => text.textContent.trim());
    const boxes = words.map(text => text.getBoundingClientRect());
    words.forEach((text, i) => {
      const box = boxes[i], at = `${name}: "${text.textContent.slice(0, 40)}"`;
      if (box.left < frame.left - 1 || box.right > frame.right + 1 ||
          box.top < frame.top - 1 || box.bottom > frame.bottom + 1)
        found.push(`${at} leaves the drawing`);
      for (const line of svg.querySelectorAll('line.limit')) {
        const limit = line.getBoundingClientRect(), third = 0.3 * box.height;
        if (box.left + 1 < limit.right && box.right - 1 > limit.left &&
            box.top + third < limit.bottom && box.bottom - third > limit.top)
          found.push(`${at} stands on the limit's line`);
      }
      for (let j = 0; j < i; ++j) {
        const other = boxes[j];
        const wide = Math.min(box.right, other.right) - Math.max(box.left, other.left);
        const high = Math.min(box.bottom, other.bottom) - Math.max(box.top, other.top);
        // A line's box is higher than its letters: only a third of it counts as touching.
        if (wide > 1 && high > 0.35 * Math.min(box.height, other.height))
          found.push(`${at} covers "${words[j].textContent.slice(0, 40)}"`);
      }
    });
  }
  return found;
})()

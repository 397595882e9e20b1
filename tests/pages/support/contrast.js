// Text on drawings, which axe-core leaves out, and on paper, where backgrounds are not printed,
// against what is below it: WCAG 2.2, 1.4.3 (4.5 to 1; 3 to 1 from 24 px, or 18.66 px bold).
(() => {
  const paper = matchMedia('print').matches, found = [];
  const luminance = ([r, g, b]) => [r, g, b].map(c => c / 255)
    .map(c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4)
    .reduce((sum, c, i) => sum + c * [0.2126, 0.7152, 0.0722][i], 0);
  const colour = words => {
    const parts = words.match(/[\d.]+/g)?.map(Number);
    return words.startsWith('rgb') && (parts[3] ?? 1) > 0 ? parts.slice(0, 3) : null;
  };
  const below = (element, x, y) => {
    const stack = document.elementsFromPoint(x, y);
    for (const under of stack.slice(stack.indexOf(element) + 1)) {
      const style = getComputedStyle(under), drawn = under instanceof SVGElement;
      if (['text', 'line', 'polyline'].includes(under.tagName)) continue;
      if (drawn && style.fill.startsWith('url')) return 'hatching';
      if (paper && !drawn) continue;
      const fill = colour(drawn && under.tagName !== 'svg' ? style.fill : style.backgroundColor);
      if (fill) return fill;
    }
    return [255, 255, 255];
  };
  for (const element of document.querySelectorAll(paper ? 'body *' : 'svg text')) {
    const own = [...element.childNodes].some(node => node.nodeType === 3 && node.data.trim());
    if (!own || !element.checkVisibility() || element.closest('title, desc, style')) continue;
    const box = element.getBoundingClientRect(), style = getComputedStyle(element);
    if (box.width <= 1) continue;
    scrollTo(0, box.top + scrollY - 200);
    const now = element.getBoundingClientRect();
    const drawn = element instanceof SVGElement;
    const ground = drawn ? below(element, now.left + now.width / 2, now.top + now.height / 2)
                         : [255, 255, 255];
    const ink = colour(drawn ? style.fill : style.color);
    const at = element.textContent.trim().slice(0, 40);
    if (ground === 'hatching') { found.push(`"${at}" stands on hatching`); continue; }
    const [dark, light] = [luminance(ink), luminance(ground)].sort((a, b) => a - b);
    const size = parseFloat(style.fontSize), bold = Number(style.fontWeight) >= 700;
    const ratio = (light + 0.05) / (dark + 0.05);
    if (ratio < (size >= 24 || bold && size >= 18.66 ? 3 : 4.5))
      found.push(`"${at}" has a contrast of ${ratio.toFixed(1)}`);
  }
  scrollTo(0, 0);
  return found;
})()

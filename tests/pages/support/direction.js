// Words of Latin letters that run from right to left, turned by a mark that belongs to other text.
(() => {
  const found = [], range = document.createRange();
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const box = (node, i) => {
    range.setStart(node, i);
    range.setEnd(node, i + 1);
    return range.getBoundingClientRect();
  };
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const turns = /[\u0590-\u08ff\u200e\u200f\u202a-\u202e\u2066-\u2069]/.test(node.data);
    const start = node.data.search(/[A-Za-z]{3}/);
    if (turns || start < 0 || !node.parentElement.checkVisibility()) continue;
    const first = box(node, start), second = box(node, start + 1);
    if (first.width && second.width && first.top === second.top && second.left < first.left)
      found.push(`runs from right to left: ${node.data.slice(0, 60)}`);
  }
  return found;
})()

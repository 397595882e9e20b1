// What drawings show: their words and every shape that says what it stands for, in the drawing's own
// units as an eye would find it: corners of a line, the middle of a mark, the edges of a bar.
(() => [...document.querySelectorAll('svg')].map(svg => ({
  chart: svg.getAttribute('aria-labelledby').split(' ')[0].replace(/-title$/, ''),
  section: svg.closest('section')?.id ?? '',
  title: svg.querySelector('title').textContent,
  words: [...svg.querySelectorAll('text')].filter(text => !text.hasAttribute('transform')).map(text => ({
    text: text.textContent, anchor: text.getAttribute('text-anchor'),
    x: Number(text.getAttribute('x')), y: Number(text.getAttribute('y'))})),
  shapes: [...svg.querySelectorAll('*')].filter(shape => Object.keys(shape.dataset).length).map(shape => {
    const box = shape.getBBox();
    const middle = [box.x + box.width / 2, box.y + box.height / 2];
    const points = {
      polyline: () => [...shape.points].map(point => [point.x, point.y]),
      line: () => ['1', '2'].map(end => ['x', 'y'].map(axis => Number(shape.getAttribute(axis + end)))),
      rect: () => [[box.x, middle[1]], [box.x + box.width, middle[1]]],
    }[shape.tagName] ?? (() => [middle]);
    return {tag: shape.tagName, data: {...shape.dataset}, points: points()};
  })})))()

/** Takes the server's drawing into the page: parsed as SVG, nothing in it that could run or load. */

const REFUSED = new Set(['script', 'foreignobject', 'iframe', 'image', 'style', 'a', 'animate', 'set']);

function clean(element: Element): void {
  for (const name of element.getAttributeNames()) {
    const value = element.getAttribute(name) ?? '';
    const refers = /href$/i.test(name) && !value.startsWith('#');
    if (/^on/i.test(name) || name === 'style' || refers) element.removeAttribute(name);
  }
  for (const inner of [...element.children]) {
    if (REFUSED.has(inner.localName.toLowerCase())) inner.remove();
    else clean(inner);
  }
}

/** The drawing as an element of the page, or undefined when the text is no SVG. */
export function drawingOf(svg: string, page: Document): Element | undefined {
  const parsed = new DOMParser().parseFromString(svg, 'image/svg+xml');
  const drawing = parsed.querySelector('svg');
  if (!drawing || parsed.querySelector('parsererror')) return undefined;
  clean(drawing);
  return page.importNode(drawing, true);
}

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

let drawingCount = 0;

/** Drawings bring names of their own; on a page with several each must be told from the others'. */
function renameIds(drawing: Element): void {
  const suffix = `-d${++drawingCount}`;
  const all = [drawing, ...drawing.querySelectorAll('*')];
  const ids = new Set(all.map((element) => element.id).filter((id) => id !== ''));
  const renamed = (id: string): string => (ids.has(id) ? id + suffix : id);
  for (const element of all) {
    for (const name of element.getAttributeNames()) {
      const value = element.getAttribute(name) ?? '';
      if (name === 'id') element.setAttribute(name, renamed(value));
      else if (/^aria-(labelledby|describedby)$/.test(name)) element.setAttribute(name, value.split(/\s+/).map(renamed).join(' '));
      else if (/href$/i.test(name)) element.setAttribute(name, `#${renamed(value.slice(1))}`);
      else if (value.includes('url(#')) element.setAttribute(name, value.replace(/url\(#([^)]+)\)/g, (_, id: string) => `url(#${renamed(id)})`));
    }
  }
}

const TABLE_PARTS = new Set(['table', 'caption', 'thead', 'tbody', 'tfoot', 'tr', 'th', 'td', 'bdi', 'strong', 'em', 'b', 'i', 'span', 'sup', 'sub', 'br']);
const WORDLESS = new Set(['script', 'style', 'template', 'iframe']);
const TABLE_ATTRIBUTES = new Set(['class', 'scope', 'colspan', 'rowspan']);

/** Puts what stands in `from` into `to`: table parts with harmless attributes, all else as its text. */
function copyTable(from: Node, to: Element, page: Document): void {
  for (const node of from.childNodes) {
    if (node.nodeType === 3) to.append(node.textContent ?? '');
    if (node.nodeType !== 1) continue;
    const element = node as Element;
    const name = element.localName;
    if (WORDLESS.has(name)) continue;
    if (!TABLE_PARTS.has(name)) {
      copyTable(element, to, page);
      continue;
    }
    const copy = page.createElement(name);
    for (const attribute of element.getAttributeNames()) if (TABLE_ATTRIBUTES.has(attribute)) copy.setAttribute(attribute, element.getAttribute(attribute) ?? '');
    copyTable(element, copy, page);
    to.append(copy);
  }
}

/** The tables of a drawing's twin, built anew from what a table may hold. */
export function tablesOf(html: string, page: Document): Element[] {
  const parsed = new DOMParser().parseFromString(html, 'text/html');
  return [...parsed.querySelectorAll('table')].map((table) => {
    const copy = page.createElement('table');
    for (const attribute of table.getAttributeNames()) if (TABLE_ATTRIBUTES.has(attribute)) copy.setAttribute(attribute, table.getAttribute(attribute) ?? '');
    copyTable(table, copy, page);
    return copy;
  });
}

/** The drawing as an element of the page, or undefined when the text is no SVG. */
export function drawingOf(svg: string, page: Document): Element | undefined {
  const parsed = new DOMParser().parseFromString(svg, 'image/svg+xml');
  const drawing = parsed.querySelector('svg');
  if (!drawing || parsed.querySelector('parsererror')) return undefined;
  clean(drawing);
  renameIds(drawing);
  return page.importNode(drawing, true);
}

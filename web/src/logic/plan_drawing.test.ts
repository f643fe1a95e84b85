// @vitest-environment happy-dom
import { describe, expect, it } from 'vitest';
import { drawingOf, tablesOf } from './plan_drawing';

describe('a drawing from the server', () => {
  it('keeps its lines, classes and title', () => {
    const drawing = drawingOf('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"><title>t</title><path class="jp-breach" d="M0 0" stroke-width="3"/></svg>', document);
    expect(drawing?.querySelector('path')?.getAttribute('stroke-width')).toBe('3');
    expect(drawing?.querySelector('title')?.textContent).toBe('t');
  });

  it('brings in nothing that runs or loads', () => {
    const drawing = drawingOf('<svg xmlns="http://www.w3.org/2000/svg" onload="x()"><script>x()</script><g style="fill:red" onclick="x()"><use href="http://e/x"/></g><style>g{}</style></svg>', document);
    const text = drawing?.outerHTML ?? '';
    for (const word of ['script', 'onload', 'onclick', 'style', 'http://e']) expect(text).not.toContain(word);
  });

  it('has names of its own, so that two drawings on a page are told apart', () => {
    const svg = '<svg xmlns="http://www.w3.org/2000/svg" aria-labelledby="t d"><title id="t">t</title><desc id="d">d</desc><clipPath id="c"/><g clip-path="url(#c)"/></svg>';
    const [one, other] = [drawingOf(svg, document), drawingOf(svg, document)];
    const idOf = (drawing: Element | undefined): string => drawing?.querySelector('title')?.id ?? '';
    expect(idOf(one)).not.toBe(idOf(other));
    expect(one?.getAttribute('aria-labelledby')?.split(' ')[0]).toBe(idOf(one));
    expect(one?.querySelector('g')?.getAttribute('clip-path')).toBe(`url(#${one?.querySelector('clipPath')?.id})`);
  });

  it('brings its table with it, and nothing else', () => {
    const html = '<div class="scroll" tabindex="0"><table class="data" onclick="x()" id="a"><caption>c</caption><tbody><tr><th scope="row">1</th><td class="n" style="x"><a href="http://e">0.5</a><script></script></td></tr></tbody></table></div>';
    const [table] = tablesOf(html, document);
    expect(table?.outerHTML).toBe('<table class="data"><caption>c</caption><tbody><tr><th scope="row">1</th><td class="n">0.5</td></tr></tbody></table>');
  });

  it('is nothing when the text is no drawing', () => {
    expect(drawingOf('<p>no</p>', document)).toBeUndefined();
  });
});

// @vitest-environment happy-dom
import { describe, expect, it } from 'vitest';
import { drawingOf } from './plan_drawing';

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

  it('is nothing when the text is no drawing', () => {
    expect(drawingOf('<p>no</p>', document)).toBeUndefined();
  });
});

// @vitest-environment happy-dom
import { describe, expect, it } from 'vitest';
import { listenForUndo, undoKeyOf } from './undo_keys';

const key = (name: string, more = {}) => ({ key: name, ctrlKey: true, metaKey: false, shiftKey: false, altKey: false, ...more });

describe('the keys of undo', () => {
  it('are Ctrl+Z, Ctrl+Shift+Z and Ctrl+Y', () => {
    expect(undoKeyOf(key('z'))).toBe('undo');
    expect(undoKeyOf(key('Z', { shiftKey: true }))).toBe('redo');
    expect(undoKeyOf(key('y'))).toBe('redo');
    expect(undoKeyOf(key('z', { ctrlKey: false }))).toBeUndefined();
    expect(undoKeyOf(key('z', { altKey: true }))).toBeUndefined();
  });

  it('are left to a field in which something is being typed', () => {
    document.body.innerHTML = '<input type="text" value="12" />';
    const field = document.querySelector('input')!;
    const heard: string[] = [];
    const stop = listenForUndo(document, (which) => heard.push(which));
    const press = () => field.dispatchEvent(new KeyboardEvent('keydown', { key: 'z', ctrlKey: true, bubbles: true, cancelable: true }));
    field.dispatchEvent(new FocusEvent('focusin', { bubbles: true }));
    press();
    field.value = '12.1';
    press();
    stop();
    press();
    expect(heard).toEqual(['undo']);
  });
});

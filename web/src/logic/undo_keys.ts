/** Ctrl+Z and Ctrl+Y on the page: a field in which something is being typed keeps its own undo. */

export type UndoKey = 'undo' | 'redo' | undefined;

export function undoKeyOf(event: Pick<KeyboardEvent, 'key' | 'ctrlKey' | 'metaKey' | 'shiftKey' | 'altKey'>): UndoKey {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return undefined;
  const key = event.key.toLowerCase();
  if (key === 'z') return event.shiftKey ? 'redo' : 'undo';
  return key === 'y' && !event.shiftKey ? 'redo' : undefined;
}

const isTextField = (target: EventTarget | null): target is HTMLInputElement | HTMLTextAreaElement =>
  target instanceof HTMLTextAreaElement || (target instanceof HTMLInputElement && /^(text|search)$/.test(target.type));

/** Hears the keys on `page` until the answer is called. */
export function listenForUndo(page: Document, turn: (which: 'undo' | 'redo') => void): () => void {
  const atFocus = new WeakMap<EventTarget, string>();
  const note = (event: Event): void => {
    if (isTextField(event.target)) atFocus.set(event.target, event.target.value);
  };
  const pressed = (event: KeyboardEvent): void => {
    if (event.key === 'Enter') return note(event);
    const which = undoKeyOf(event);
    if (which === undefined) return;
    const { target } = event;
    if (isTextField(target) && target.value !== (atFocus.get(target) ?? '')) return;
    event.preventDefault();
    turn(which);
  };
  page.addEventListener('focusin', note);
  page.addEventListener('keydown', pressed);
  return () => {
    page.removeEventListener('focusin', note);
    page.removeEventListener('keydown', pressed);
  };
}

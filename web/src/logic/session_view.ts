/** What a screen sees of a job on the bench. */
import type { Conflict } from './conflict';
import type { Assessment, Problem, Question } from './contract';
import type { Table } from './document';

export type SaveState = 'saved' | 'saving' | 'waiting' | 'refused';

export interface SessionView {
  id: string;
  status: 'opening' | 'open' | 'missing' | 'binned' | 'away';
  document: Table;
  revision: number;
  saveState: SaveState;
  savedAt: string; /** of the day, "14:02:11"; "" before the first save */
  savedWords: string;
  isKept: boolean; /** unsaved changes are in the browser's storage */
  serverAway: boolean;
  questions: Question[];
  operations: readonly string[]; /** what this program can work out; empty until it has told */
  assessment: Assessment | undefined;
  findingAt: string;
  findingIsOld: boolean;
  problems: Problem[];
  notice: string;
  undoLabel: string; /** of the change that Undo would take back; "" when there is none */
  redoLabel: string;
  conflicts: readonly Conflict[]; /** entries that someone else changed too: the reader chooses */
}

export function emptyView(id: string): SessionView {
  return {
    id,
    status: 'opening',
    document: {},
    revision: 0,
    saveState: 'saved',
    savedAt: '',
    savedWords: '',
    isKept: true,
    serverAway: false,
    questions: [],
    operations: [],
    assessment: undefined,
    findingAt: '',
    findingIsOld: false,
    problems: [],
    notice: '',
    undoLabel: '',
    redoLabel: '',
    conflicts: [],
  };
}

export function savedWords(view: SessionView): string {
  switch (view.saveState) {
    case 'saving':
      return 'saving';
    case 'waiting':
      return 'not saved, will retry';
    case 'refused':
      return 'not saved: there is a problem';
    case 'saved':
      return `saved ${view.savedAt}`;
  }
}

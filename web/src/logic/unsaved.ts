/** Changes that the server has not confirmed yet, kept in the browser so that closing the page or losing the server loses none. */
import type { Conflict } from './conflict';
import type { Edit, Table } from './document';

export interface LabelledEdits {
  label: string;
  edits: Edit[];
}

export interface UnsavedRecord {
  revision: number;
  document: Table;
  changes: LabelledEdits[];
  undo: LabelledEdits[];
  redo?: LabelledEdits[];
  base?: Table; /** the version that the changes were made on */
  conflicts?: Conflict[]; /** still to be chosen */
}

export interface UnsavedStore {
  get(id: string): UnsavedRecord | undefined;
  keep(id: string, record: UnsavedRecord): boolean;
  drop(id: string): void;
  ids(): string[];
}

const PREFIX = 'headjoint.unsaved.';

/** Keeps records in the browser's storage; `keep` says whether it could. */
export class BrowserUnsavedStore implements UnsavedStore {
  constructor(private readonly storage: Storage) {}

  get(id: string): UnsavedRecord | undefined {
    try {
      const text = this.storage.getItem(PREFIX + id);
      return text === null ? undefined : (JSON.parse(text) as UnsavedRecord);
    } catch {
      return undefined;
    }
  }

  keep(id: string, record: UnsavedRecord): boolean {
    try {
      this.storage.setItem(PREFIX + id, JSON.stringify(record));
      return true;
    } catch {
      return false;
    }
  }

  ids(): string[] {
    try {
      return Object.keys(this.storage)
        .filter((key) => key.startsWith(PREFIX))
        .map((key) => key.slice(PREFIX.length));
    } catch {
      return [];
    }
  }

  drop(id: string): void {
    try {
      this.storage.removeItem(PREFIX + id);
    } catch {
      // Storage that cannot be written holds nothing of ours.
    }
  }
}

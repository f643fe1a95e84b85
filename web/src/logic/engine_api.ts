/** Engines of the library over HTTP: kept documents, their photographs, and the operations that look at them. */
import { type Api, ApiFailure } from './api';
import type { Json, Table } from './document';
import type { TapsAnswer } from './gasket_taps';

export interface EngineSummary {
  id: string;
  revision: number;
  changed_at: string;
  name: string;
  cylinders: number;
  layout: string;
  fuel: string;
}

export interface TurnBack {
  note: string;
  who: string;
  changed_at: string;
}

export interface EngineStamp {
  id: string;
  revision: number;
  changed_at: string;
  undo?: TurnBack | null;
  redo?: TurnBack | null;
}

export interface StoredEngine extends EngineStamp {
  document: Table;
}

export interface EnginePhoto {
  id: string;
  caption: string;
  width: number;
  height: number;
  added_at: string;
}

export interface NeededKey {
  key: string;
  example: string;
}

export interface CalculationNeeds {
  calculation: string;
  what: string;
  can_run: boolean;
  missing: NeededKey[];
  better_with: NeededKey[];
}

export interface Completeness {
  sentence: string;
  calculations: CalculationNeeds[];
}

const path = (id: string, rest = ''): string => `/engines/${encodeURIComponent(id)}${rest}`;

export class EngineApi {
  constructor(private readonly api: Api) {}

  async list(words = ''): Promise<EngineSummary[]> {
    const asked = new URLSearchParams({ limit: '200', ...(words === '' ? {} : { find: words }) });
    return (await this.api.ask<{ engines: EngineSummary[] }>(`/engines?${asked.toString()}`)).engines;
  }

  engine(id: string): Promise<StoredEngine> {
    return this.api.ask<StoredEngine>(path(id));
  }

  /** A new engine with nothing but its first facts. */
  async make(facts: { name: string; cylinders: number; layout: string; fuel: string }): Promise<EngineStamp> {
    const words = new URLSearchParams({ name: facts.name, cylinders: String(facts.cylinders), layout: facts.layout, fuel: facts.fuel });
    const fresh = await this.api.ask<{ document: Table }>(`/new-engine?${words.toString()}`);
    return this.api.sendBody<EngineStamp>('POST', '/engines', { document: fresh.document });
  }

  copy(id: string, name: string): Promise<EngineStamp> {
    return this.api.sendBody<EngineStamp>('POST', path(id, '/copy'), { name });
  }

  importFile(text: string, source: string): Promise<EngineStamp> {
    return this.api.sendBody<EngineStamp>('POST', '/engines/import', { text, source });
  }

  save(id: string, revision: number, document: Table, note: string): Promise<EngineStamp> {
    return this.api.sendBody<EngineStamp>('PUT', path(id), { document, note }, { 'If-Match': `"${revision}"` });
  }

  turnBack(id: string, revision: number, which: 'undo' | 'redo'): Promise<StoredEngine> {
    return this.api.ask<StoredEngine>(path(id, `/${which}`), { method: 'POST', headers: { 'If-Match': `"${revision}"` } });
  }

  exportAddress(id: string, format: 'toml' | 'json'): string {
    return `/api/v1${path(id, `/export?format=${format}`)}`;
  }

  async fileText(id: string): Promise<string> {
    const response = await fetch(this.exportAddress(id, 'toml'), { cache: 'no-store' }).catch(() => undefined);
    if (!response) throw new ApiFailure('away', 'The server does not answer');
    if (!response.ok) throw new ApiFailure('refused', `The server answered ${response.status}`);
    return response.text();
  }

  async photos(id: string): Promise<EnginePhoto[]> {
    return (await this.api.ask<{ photos: EnginePhoto[] }>(path(id, '/photos'))).photos;
  }

  addPhoto(id: string, file: File): Promise<EnginePhoto> {
    const caption = encodeURIComponent(file.name.slice(0, 100));
    const type = file.type === 'image/png' || /\.png$/i.test(file.name) ? 'image/png' : 'image/jpeg';
    return this.api.ask<EnginePhoto>(path(id, `/photos?caption=${caption}`), { method: 'POST', headers: { 'Content-Type': type }, body: file }, 120_000);
  }

  photoAddress(id: string, photo: string): string {
    return `/api/v1${path(id, `/photos/${encodeURIComponent(photo)}`)}`;
  }

  completeness(document: Table): Promise<Completeness> {
    return this.api.sendBody<Completeness>('POST', '/completeness', { input: document });
  }

  /** What the taps give on that kept photograph. */
  measure(taps: Table, photo: string): Promise<TapsAnswer> {
    const options: Json = { picture: { photo } };
    return this.api.ask<TapsAnswer>('/gasket-photo', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify({ input: taps, options }) }, 60_000);
  }
}

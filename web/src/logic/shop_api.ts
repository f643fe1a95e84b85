/** The routes of the shop as a whole: its documents, files in and out, backup. */
import { type Api } from './api';
import type { EngineSummary, Problem, RestoreOutcome, Saved, ShopDocument, ShopSummary, StoredJob } from './contract';

const RESTORE_WITHIN_MS = 600_000;
const at = (name: string): string => `/shop/${encodeURIComponent(name)}`;

export async function shopDocuments(api: Api): Promise<ShopSummary[]> {
  return (await api.ask<{ documents: ShopSummary[] }>('/shop')).documents;
}

export function shopDocument(api: Api, name: string): Promise<ShopDocument> {
  return api.ask<ShopDocument>(at(name));
}

export function saveShopDocument(api: Api, name: string, revision: number, text: string): Promise<Saved> {
  return api.sendBody<Saved>('PUT', at(name), { text }, { 'If-Match': `"${revision}"` });
}

export function undoShopDocument(api: Api, name: string, revision: number): Promise<ShopDocument> {
  return api.ask<ShopDocument>(`${at(name)}/undo`, { method: 'POST', headers: { 'If-Match': `"${revision}"` } });
}

/** A TOML or JSON file as a new job, with the doubts that did not keep it out. */
export function importJob(api: Api, text: string, source: string): Promise<Saved & { problems?: Problem[] }> {
  return api.sendBody('POST', '/jobs/import', { text, source });
}

export async function engines(api: Api): Promise<EngineSummary[]> {
  return (await api.ask<{ engines: EngineSummary[] }>('/engines?limit=200')).engines;
}

export function engine(api: Api, id: string): Promise<StoredJob> {
  return api.ask<StoredJob>(`/engines/${encodeURIComponent(id)}`);
}

export function restore(api: Api, file: Blob): Promise<RestoreOutcome> {
  return api.ask<RestoreOutcome>('/restore', { method: 'POST', headers: { 'Content-Type': 'application/octet-stream' }, body: file }, RESTORE_WITHIN_MS);
}

export const BACKUP_ADDRESS = '/api/v1/backup';
export const exportAddress = (job: string, format: 'toml' | 'json'): string => `/api/v1/jobs/${encodeURIComponent(job)}/export?format=${format}`;

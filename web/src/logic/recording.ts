/**
 * A recording sent to the program and asked about: a trace of the starter, of the coolant's pressure, a log of its temperature.
 *
 * The file is sent once; another question about it, or a closer look, asks by the name it was kept under. When the program does not keep
 * it any more it is sent again. Sending and reading tell how far they are and can be stopped.
 */
import { type Api, ApiFailure, type Options } from './api';
import type { Caution, Problem } from './contract';
import { isTable, type Table, valueAt } from './document';
import type { Picture } from './operation_answers';
import { clientName } from './what_if';

export interface RecordingKind {
  id: string;
  text: string;
  operation: 'trace' | 'coolant-log';
  fields: readonly string[]; /** what may be asked besides, by the names of the options */
  howTo: string;
}

const READING = ['column', 'unit', 'rate', 'time-unit', 'separator'] as const;
const SYNC = ['sync', 'sync-cylinder', 'sync-angle'] as const;
const CRANKING = [...SYNC, 'scale', 'full-scale', ...READING] as const;

export const RECORDING_KINDS: readonly RecordingKind[] = [
  { id: 'starter-current', text: 'Starter current', operation: 'trace', fields: CRANKING, howTo: 'Clamp on the battery cable, five seconds of cranking, fuel and ignition off. A second channel with one pulse a cycle names the cylinders.' },
  { id: 'battery-voltage', text: 'Battery voltage while cranking', operation: 'trace', fields: CRANKING, howTo: 'Leads on the battery posts, five seconds of cranking, fuel and ignition off. A second channel with one pulse a cycle names the cylinders.' },
  { id: 'crank-speed', text: 'Crank speed while cranking', operation: 'trace', fields: ['teeth', ...SYNC, ...READING], howTo: 'The crank sensor’s own signal, or a speed in rpm; five seconds of cranking, fuel and ignition off.' },
  { id: 'coolant-pressure', text: 'Coolant pressure, engine running', operation: 'trace', fields: CRANKING, howTo: 'Sensor in the filler neck, half a minute each at idle, 1500 and 2500 rpm. A second channel with one pulse a cycle is needed: ignition, injector or cam of a known cylinder.' },
  { id: 'coolant-log', text: 'Log of the coolant temperature', operation: 'coolant-log', fields: ['limit', 'thermostat', ...READING], howTo: 'A table of time and temperature from the diagnostic plug; speed, load and cooling pressure are used when they are there.' },
];

/** What a field is called and what belongs into it. */
export const RECORDING_FIELDS: Readonly<Record<string, { label: string; hint: string; isNumber?: boolean }>> = {
  column: { label: 'Column or channel', hint: 'its name or number; found by name and unit when blank' },
  unit: { label: 'Unit of that column', hint: 'when its header does not say' },
  scale: { label: 'The probe gives', hint: 'such as 10 mV/A or 1 V/bar' },
  'full-scale': { label: 'Greatest sample of a sound file', hint: 'such as 5 V' },
  teeth: { label: 'Teeth of the crank’s wheel', hint: '60-2 for sixty with two missing; blank for a speed in rpm' },
  sync: { label: 'Column with one pulse a cycle', hint: 'ignition, injector or cam; its name or number' },
  'sync-cylinder': { label: 'Cylinder it belongs to', hint: '1 when blank', isNumber: true },
  'sync-angle': { label: 'It comes after dead centre by', hint: 'such as 20 deg; before counts negative' },
  rate: { label: 'Samples a second', hint: 'of a table without times: 1000 Hz' },
  'time-unit': { label: 'Unit of the times', hint: 's, ms, us or min, when the header does not say' },
  separator: { label: 'Mark between columns', hint: ', ; tab | or space, when it is not found out' },
  limit: { label: 'Damage counts above', hint: '115 degC when blank' },
  thermostat: { label: 'Thermostat opens at', hint: '82 degC when blank' },
};

export interface LeakProposal {
  area: string;
  low: string;
  high: string;
}

/** A sign or reading that the recording speaks for; nothing enters the job before somebody says so. */
export interface Proposal {
  sign: string;
  where: string;
  state: string;
  text: string;
  why: string;
  value?: string;
  leak?: LeakProposal;
}

/** Least and greatest of equal parts of a stretch of time. */
export interface PlotWindow {
  from_s: number;
  to_s: number;
  least: (number | null)[];
  most: (number | null)[];
}

export interface RecordedFile {
  name: string;
  format: string;
  sha256: string;
  bytes: number;
  samples: number;
  rate_Hz: number;
  duration_s: number;
  channel: string;
  unit: string;
  truncated: boolean;
}

export interface RecordingAnswer {
  upload: string;
  sentence: string;
  file: RecordedFile;
  pictures?: Picture[];
  proposals: Proposal[];
  notes: string[];
  cautions: Caution[];
  plot: PlotWindow | { time_s: number[] };
  events?: { time_s: number; place: number; cylinder: number | null }[];
  relative?: { place: number; cylinder: number | null; weak: boolean }[];
  episodes?: { from_s: number; to_s: number }[];
  limit_degC?: number;
  boiling_degC?: number;
  boiling_no_cap_degC?: number;
}

export interface RecordingView {
  state: 'idle' | 'sending' | 'reading' | 'answered' | 'refused';
  share: number | undefined; /** done of what is under way */
  fileName: string;
  answer: RecordingAnswer | undefined;
  message: string; /** why there is no answer, when the problems do not say */
  problems: Problem[];
}

const EMPTY: RecordingView = { state: 'idle', share: undefined, fileName: '', answer: undefined, message: '', problems: [] };
const WATCH_EVERY_MS = 250;

/** The job as far as a recording needs it: other entries that do not read must not stand in its way. */
export function engineOf(document: Table): Table {
  const history = document['history'];
  return { format: 1, title: 'recording', engine: document['engine'] ?? {}, ...(isTable(history) ? { history } : {}) };
}

interface Asked {
  kind: RecordingKind;
  options: Options;
  engine: Table;
}

export class Recording {
  private view: RecordingView = EMPTY;
  private readonly listeners = new Set<(view: RecordingView) => void>();
  private file: File | undefined;
  private upload = '';
  private asked: Asked | undefined;
  private stopSending: AbortController | undefined;
  private turn = 0; /** counts questions: what belongs to an older one is left aside */
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly api: Api,
    private readonly name = clientName(), /** under which reading is watched and stopped */
  ) {}

  get current(): RecordingView {
    return this.view;
  }

  /** Calls at once, then after every change. */
  subscribe(listener: (view: RecordingView) => void): () => void {
    this.listeners.add(listener);
    listener(this.view);
    return () => this.listeners.delete(listener);
  }

  /** Takes another file; what was asked about the one before goes. */
  take(file: File | undefined): void {
    this.stop();
    if (this.upload !== '') void this.api.dropFile(this.upload).catch(() => undefined);
    this.upload = '';
    this.file = file;
    this.show({ ...EMPTY, fileName: file?.name ?? '' });
  }

  async ask(kind: RecordingKind, options: Options, engine: Table): Promise<void> {
    if (!this.file) return;
    this.stop();
    this.asked = { kind, options, engine };
    const turn = ++this.turn;
    this.show({ problems: [], message: '' });
    try {
      const answer = await this.answerTo(this.asked, turn);
      if (turn === this.turn) this.show({ state: 'answered', share: undefined, answer });
    } catch (failure) {
      if (turn === this.turn) this.refuse(failure);
    } finally {
      if (turn === this.turn) clearTimeout(this.timer);
    }
  }

  /** Stops sending or reading; the answer before stays. */
  stop(): void {
    const was = this.view.state;
    if (was !== 'sending' && was !== 'reading') return;
    ++this.turn;
    clearTimeout(this.timer);
    this.stopSending?.abort();
    if (was === 'reading') void this.api.stopRun(this.runName(this.turn - 1)).catch(() => false);
    this.show({ state: this.view.answer ? 'answered' : 'idle', share: undefined, message: 'Stopped.' });
  }

  /** Any stretch of the recording, drawn by the program. */
  async window(from_s: number, to_s: number, columns: number): Promise<PlotWindow> {
    try {
      return await this.api.windowOf(this.upload, from_s, to_s, columns);
    } catch (failure) {
      if (!(failure instanceof ApiFailure) || failure.kind !== 'missing' || !this.asked) throw failure;
    }
    // The program has drawn another recording since, or was started anew.
    const answer = await this.answerTo(this.asked, this.turn);
    this.show({ state: 'answered', share: undefined, answer });
    return this.api.windowOf(this.upload, from_s, to_s, columns);
  }

  close(): void {
    this.stop();
    this.listeners.clear();
    if (this.upload !== '') void this.api.dropFile(this.upload).catch(() => undefined);
  }

  private runName(turn: number): string {
    return `${this.name}-${turn}`;
  }

  private async answerTo(asked: Asked, turn: number): Promise<RecordingAnswer> {
    if (this.upload === '') await this.sendFile();
    try {
      return await this.read(asked, turn);
    } catch (failure) {
      if (!(failure instanceof ApiFailure) || failure.kind !== 'missing') throw failure;
    }
    await this.sendFile();
    return this.read(asked, turn);
  }

  private async sendFile(): Promise<void> {
    if (!this.file) return;
    this.stopSending = new AbortController();
    this.show({ state: 'sending', share: 0 });
    this.upload = await this.api.sendFile(this.file, (share) => this.show({ share }), this.stopSending.signal);
  }

  private read({ kind, options, engine }: Asked, turn: number): Promise<RecordingAnswer> {
    this.show({ state: 'reading', share: undefined });
    this.watch(turn);
    const words = kind.operation === 'trace' ? { ...options, kind: kind.id } : options;
    return this.api.askAboutFile<RecordingAnswer>(kind.operation, this.upload, words, engine, this.runName(turn));
  }

  private watch(turn: number): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      void this.api
        .shareOf(this.runName(turn))
        .catch(() => undefined)
        .then((share) => {
          if (turn !== this.turn || this.view.state !== 'reading') return;
          this.show({ share });
          this.watch(turn);
        });
    }, WATCH_EVERY_MS);
  }

  private refuse(failure: unknown): void {
    const { message, problems } = failure instanceof ApiFailure ? failure : { message: 'The program does not answer', problems: [] };
    this.show({ state: 'refused', share: undefined, answer: undefined, problems, message: problems.length > 0 ? '' : message });
  }

  private show(change: Partial<RecordingView>): void {
    this.view = { ...this.view, ...change };
    for (const listener of this.listeners) listener(this.view);
  }
}

/** "ten-million.wav, 20.0 MB, 500 s at 20000 samples a second". */
export function fileText(file: RecordedFile): string {
  const size = file.bytes >= 1e6 ? `${(file.bytes / 1e6).toFixed(1)} MB` : `${Math.max(1, Math.round(file.bytes / 1e3))} kB`;
  const length = file.duration_s >= 120 ? `${(file.duration_s / 60).toFixed(1)} min` : `${file.duration_s.toPrecision(3)} s`;
  return `${file.name}, ${size}, ${length} at ${Number(file.rate_Hz.toPrecision(3))} samples a second; ${file.format}`;
}

/** Whether the answer's plot is one of windows, as traces have it. */
export function isWindow(plot: RecordingAnswer['plot']): plot is PlotWindow {
  return 'least' in plot;
}

/** A document that has no number of cylinders yet cannot name any. */
export function knowsEngine(document: Table): boolean {
  return typeof valueAt(document, ['engine', 'engine', 'cylinders']) === 'number';
}

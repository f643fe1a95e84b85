/**
 * A question to an operation that changes while it is being answered: a figure dragged, a cell typed.
 *
 * One calculation is under way at a time. The newest question wins: the one before is given a moment, so that dragging shows
 * figures on the way, then it is stopped and its answer left aside. What the server refuses stays beside the last answer; a server
 * that does not answer is asked again.
 */
import { type Api, ApiFailure, type Options } from './api';
import type { Problem } from './contract';
import type { Json } from './document';

export interface WhatIfView<T> {
  answer: T | undefined; /** the newest one that came; it stays while the next is worked out */
  isOld: boolean; /** something else was asked since */
  isWorking: boolean;
  share: number | undefined; /** done of the calculation under way, when it tells */
  wasStopped: boolean; /** the answer holds what there was when it was stopped */
  isAway: boolean; /** the server does not answer */
  problems: Problem[]; /** why the newest question was refused */
}

export const GRACE_MS = 400;
/** What is not watched is quick: it is let finish unless it takes much longer than it should. */
export const QUICK_GRACE_MS = 10_000;
export const POLL_MS = 250;
export const RETRY_MS = 1500;

interface Asked {
  input: Json;
  options: Options;
}

interface Running {
  run: string;
  startedAt: number;
  isLeftAside: boolean;
  isStopped: boolean; /** by the reader */
  isToldToStop: boolean;
}

const emptyView = { answer: undefined, isOld: false, isWorking: false, share: undefined, wasStopped: false, isAway: false, problems: [] };

/** Options without those that say nothing. */
function given(options: Options): Options {
  return Object.fromEntries(Object.entries(options).filter(([, value]) => value.length > 0));
}

/** A name that no other page has, also where the page is not served safely. */
export function clientName(): string {
  const letters = new Uint32Array(2);
  crypto.getRandomValues(letters);
  return [...letters].map((word) => word.toString(36)).join('');
}

export class WhatIf<T> {
  private view: WhatIfView<T> = emptyView;
  private readonly listeners = new Set<(view: WhatIfView<T>) => void>();
  private wanted: Asked | undefined;
  private running: Running | undefined;
  private newest = '';
  private count = 0;
  private isClosed = false;
  private stopTimer: ReturnType<typeof setTimeout> | undefined;
  private pollTimer: ReturnType<typeof setTimeout> | undefined;
  private retryTimer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly api: Api,
    private readonly operation: string,
    private readonly isWatched = false, /** asks how far it is: for what takes seconds */
    private readonly client: string = clientName(),
  ) {}

  get current(): WhatIfView<T> {
    return this.view;
  }

  /** Calls at once, then after every change. */
  subscribe(listener: (view: WhatIfView<T>) => void): () => void {
    this.listeners.add(listener);
    listener(this.view);
    return () => this.listeners.delete(listener);
  }

  /** Asks; the same question again asks nothing. */
  ask(input: Json, options: Options = {}): void {
    const asked = { input, options: given(options) };
    const key = JSON.stringify(asked);
    if (key === this.newest || this.isClosed) return;
    this.newest = key;
    this.wanted = asked;
    clearTimeout(this.retryTimer);
    this.show({ isOld: this.view.answer !== undefined, isWorking: true });
    if (this.running) this.leaveAside();
    else void this.work();
  }

  /** Asks the same again, as after a stop. */
  askAgain(input: Json, options: Options = {}): void {
    this.newest = '';
    this.ask(input, options);
  }

  /** There is nothing to ask at present: the answer goes too. */
  clear(): void {
    this.newest = '';
    this.wanted = undefined;
    clearTimeout(this.retryTimer);
    this.abandon();
    this.show({ ...emptyView });
  }

  /** Stops the calculation under way; what it has so far is its answer. */
  stop(): void {
    if (!this.running) return;
    this.running.isStopped = true;
    void this.sendStop(this.running);
  }

  close(): void {
    this.isClosed = true;
    this.wanted = undefined;
    clearTimeout(this.retryTimer);
    clearTimeout(this.pollTimer);
    this.listeners.clear();
    this.abandon();
  }

  /** Nobody waits any more: what takes long is stopped, what is quick ends by itself. */
  private abandon(): void {
    if (!this.running) return;
    this.running.isLeftAside = true;
    if (this.isWatched) this.leaveAside(0);
  }

  private leaveAside(graceMs = this.isWatched ? GRACE_MS : QUICK_GRACE_MS): void {
    const running = this.running;
    if (!running) return;
    clearTimeout(this.stopTimer);
    this.stopTimer = setTimeout(
      () => {
        running.isLeftAside = true;
        void this.sendStop(running);
      },
      Math.max(0, running.startedAt + graceMs - Date.now()),
    );
  }

  /** A calculation that still waits for its turn cannot be stopped yet: it is told again until it ends. */
  private async sendStop(running: Running): Promise<void> {
    if (this.running !== running || running.isToldToStop) return;
    running.isToldToStop = true;
    const isTold = await this.api.stopRun(running.run).catch(() => false);
    if (isTold || this.running !== running) return;
    setTimeout(() => {
      running.isToldToStop = false;
      void this.sendStop(running);
    }, POLL_MS);
  }

  private async watch(running: Running): Promise<void> {
    const share = await this.api.shareOf(running.run).catch(() => undefined);
    if (this.running !== running || this.isClosed) return;
    if (share !== undefined) this.show({ share });
    this.pollTimer = setTimeout(() => void this.watch(running), POLL_MS);
  }

  private async work(): Promise<void> {
    while (this.wanted && !this.running) {
      const asked = this.wanted;
      this.wanted = undefined;
      const running = { run: `${this.client}-${++this.count}`, startedAt: Date.now(), isLeftAside: false, isStopped: false, isToldToStop: false };
      this.running = running;
      if (this.isWatched) this.pollTimer = setTimeout(() => void this.watch(running), GRACE_MS);
      const outcome = await this.api.operate<T>(this.operation, asked.input, asked.options, running.run).then(
        (answer) => ({ answer }),
        (failure: unknown) => ({ failure }),
      );
      clearTimeout(this.pollTimer);
      clearTimeout(this.stopTimer);
      this.running = undefined;
      if (this.isClosed) return;
      this.take(outcome, asked, running);
    }
  }

  private take(outcome: { answer: T } | { failure: unknown }, asked: Asked, running: Running): void {
    const isSuperseded = this.wanted !== undefined;
    const isGone = this.newest === '';
    if (isGone || running.isLeftAside) {
      this.show({ share: undefined });
    } else if ('answer' in outcome) {
      this.show({ answer: outcome.answer, isOld: isSuperseded, isWorking: isSuperseded, share: undefined, wasStopped: running.isStopped, isAway: false, problems: [] });
    } else {
      this.takeFailure(outcome.failure, asked, isSuperseded);
    }
  }

  private takeFailure(failure: unknown, asked: Asked, isSuperseded: boolean): void {
    if (!(failure instanceof ApiFailure) || failure.kind === 'away') {
      this.show({ isAway: true, share: undefined });
      this.wanted ??= asked;
      const retried = this.wanted;
      this.wanted = undefined;
      this.retryTimer = setTimeout(() => {
        this.wanted ??= retried;
        void this.work();
      }, RETRY_MS);
      return;
    }
    const problems = failure.problems.length > 0 ? failure.problems : [{ what: failure.message }];
    this.show({ problems, isOld: this.view.answer !== undefined, isWorking: isSuperseded, share: undefined, isAway: false });
  }

  private show(change: Partial<WhatIfView<T>>): void {
    this.view = { ...this.view, ...change };
    for (const listener of this.listeners) listener(this.view);
  }
}

import { describe, expect, it, vi } from 'vitest';
import { type Api, ApiFailure } from './api';
import { engineOf, fileText, Recording, RECORDING_FIELDS, RECORDING_KINDS, type RecordingAnswer } from './recording';

const kind = RECORDING_KINDS[0]!;
const log = RECORDING_KINDS.at(-1)!;
const file = new File(['1,2'], 'cranking.csv');
const answer = { sentence: 'weak' } as RecordingAnswer;

function fakeApi(more: Partial<Record<keyof Api, unknown>> = {}) {
  return {
    sendFile: vi.fn(async () => 'u1'),
    askAboutFile: vi.fn(async () => answer),
    windowOf: vi.fn(async () => ({ from_s: 0, to_s: 1, least: [1], most: [2] })),
    dropFile: vi.fn(async () => undefined),
    shareOf: vi.fn(async () => 0.5),
    stopRun: vi.fn(async () => true),
    ...more,
  };
}
const with_ = (api: ReturnType<typeof fakeApi>): Recording => new Recording(api as unknown as Api, 'page');

describe('a recording', () => {
  it('is sent once and asked about as often as one likes', async () => {
    const api = fakeApi();
    const recording = with_(api);
    recording.take(file);
    await recording.ask(kind, { sync: '3' }, {});
    expect(recording.current).toMatchObject({ state: 'answered', fileName: 'cranking.csv', answer });
    expect(api.askAboutFile).toHaveBeenLastCalledWith('trace', 'u1', { sync: '3', kind: 'starter-current' }, {}, 'page-1');
    await recording.ask(log, {}, {});
    expect(api.askAboutFile).toHaveBeenLastCalledWith('coolant-log', 'u1', {}, {}, 'page-2');
    expect(api.sendFile).toHaveBeenCalledTimes(1);
  });

  it('is sent again when the program does not keep it any more', async () => {
    const gone = new ApiFailure('missing', 'gone');
    const askAboutFile = vi.fn(async () => answer).mockRejectedValueOnce(gone);
    const windowOf = vi.fn(async () => ({ from_s: 0, to_s: 1, least: [1], most: [2] })).mockRejectedValueOnce(gone);
    const api = fakeApi({ askAboutFile, windowOf });
    const recording = with_(api);
    recording.take(file);
    await recording.ask(kind, {}, {});
    expect(recording.current.state).toBe('answered');
    expect(api.sendFile).toHaveBeenCalledTimes(2);
    expect(await recording.window(0, 1, 100)).toMatchObject({ least: [1] });
    expect(recording.current.state).toBe('answered');
    expect(windowOf).toHaveBeenCalledTimes(2);
  });

  it('says why it cannot be read, and keeps no answer of another question', async () => {
    const problems = [{ what: 'no even cranking is found in the trace' }];
    const askAboutFile = vi.fn(async () => answer);
    const recording = with_(fakeApi({ askAboutFile }));
    recording.take(file);
    await recording.ask(kind, {}, {});
    askAboutFile.mockRejectedValueOnce(new ApiFailure('refused', 'no', problems));
    await recording.ask(kind, {}, {});
    expect(recording.current).toMatchObject({ state: 'refused', problems, message: '', answer: undefined });
  });

  it('can be stopped while it is sent and while it is read', async () => {
    const sendFile = vi.fn((_: File, __: unknown, stop: AbortSignal) => new Promise<string>((_done, failed) => stop.addEventListener('abort', () => failed(new ApiFailure('away', 'stopped')))));
    const sending = fakeApi({ sendFile });
    const first = with_(sending);
    first.take(file);
    const asked = first.ask(kind, {}, {});
    expect(first.current.state).toBe('sending');
    first.stop();
    await asked;
    expect(first.current).toMatchObject({ state: 'idle', message: 'Stopped.' });
    expect(sending.askAboutFile).not.toHaveBeenCalled();

    let fail: (failure: ApiFailure) => void = () => undefined;
    const reading = fakeApi({ askAboutFile: vi.fn(() => new Promise<RecordingAnswer>((_, failed) => (fail = failed))) });
    const second = with_(reading);
    second.take(file);
    const alsoAsked = second.ask(kind, {}, {});
    await vi.waitFor(() => expect(second.current.state).toBe('reading'));
    second.stop();
    expect(reading.stopRun).toHaveBeenCalledWith('page-1');
    fail(new ApiFailure('refused', 'reading was stopped'));
    await alsoAsked;
    expect(second.current.state).toBe('idle');
  });

  it('takes from the job its engine and its day, whatever else stands in it', () => {
    const engine = { engine: { cylinders: 4 } };
    expect(engineOf({ engine, history: { outside_temperature: '5 degC' }, signs: { nonsense: 'x' } })).toEqual({ format: 1, title: 'recording', engine, history: { outside_temperature: '5 degC' } });
  });

  it('is described in words', () => {
    const facts = { name: 'a.wav', format: 'WAV, 16 bit', sha256: '', bytes: 20e6, samples: 1e7, rate_Hz: 20000, duration_s: 500, channel: '', unit: '', truncated: false };
    expect(fileText(facts)).toBe('a.wav, 20.0 MB, 8.3 min at 20000 samples a second; WAV, 16 bit');
  });

  it('has words for every field of every kind', () => {
    for (const one of RECORDING_KINDS) for (const field of one.fields) expect(RECORDING_FIELDS[field], field).toBeDefined();
  });
});

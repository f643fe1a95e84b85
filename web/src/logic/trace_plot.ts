/** What stands on a drawn recording, and which stretch of it is shown next. */

export interface PlotMark {
  time_s: number;
  text: string;
  isStrong: boolean;
}

export interface PlotRule {
  value: number;
  text: string;
  dash: readonly number[];
  isInView: boolean; /** the drawing is made high enough to show it */
}

export interface TimeSpan {
  from_s: number;
  to_s: number;
}

export type LookStep = 'all' | 'closer' | 'wider' | 'earlier' | 'later';

/** Closer and wider by a half round the middle, earlier and later by half of what is shown; never beyond the recording. */
export function stepped(shown: TimeSpan, step: LookStep, longest_s: number): TimeSpan {
  const width = shown.to_s - shown.from_s;
  const middle = (shown.from_s + shown.to_s) / 2;
  const least = longest_s * 1e-7;
  const wanted = step === 'all' ? longest_s : step === 'closer' ? Math.max(width / 2, least) : step === 'wider' ? Math.min(width * 2, longest_s) : width;
  const centre = step === 'earlier' ? middle - width / 2 : step === 'later' ? middle + width / 2 : middle;
  const from_s = Math.min(Math.max(0, centre - wanted / 2), longest_s - wanted);
  return { from_s, to_s: from_s + wanted };
}

const MOST_MARKS = 400;
const LEAST_PX_APART = 18;

/** The marks of a stretch: all without words where there is no room for them, none where they would be a carpet. */
export function marksOf(marks: readonly PlotMark[], from_s: number, to_s: number, widthPx: number): PlotMark[] {
  const inView = marks.filter((mark) => mark.time_s >= from_s && mark.time_s <= to_s);
  if (inView.length > Math.min(MOST_MARKS, widthPx / 2)) return inView.filter((mark) => mark.isStrong).slice(0, MOST_MARKS).map((mark) => ({ ...mark, text: '' }));
  return inView.length * LEAST_PX_APART > widthPx ? inView.map((mark) => ({ ...mark, text: '' })) : inView;
}

/** How figures and words are put on the screen. */

/** A probability with two decimals that never claims certainty. */
export function chanceText(probability: number): string {
  if (!Number.isFinite(probability)) return 'not known';
  if (probability < 0.005) return '<0.01';
  if (probability >= 0.995) return '>0.99';
  return probability.toFixed(2);
}

export function rangeText(low: number | undefined, high: number | undefined): string {
  return low === undefined || high === undefined ? '' : `${chanceText(low)} – ${chanceText(high)}`;
}

/** Workshop minutes, no finer than they are known: "20 min", "2 h 5 min", "37 h". */
export function minutesText(minutes: number): string {
  if (!Number.isFinite(minutes)) return 'not known';
  if (Math.abs(minutes) < 120) return `${Math.round(minutes)} min`;
  const step = Math.abs(minutes) < 600 ? 5 : 60;
  const whole = Math.round(minutes / step) * step;
  const hours = Math.trunc(whole / 60);
  const rest = Math.abs(whole % 60);
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}

/** What a check takes; asking the owner takes no time worth a figure. */
export function takesText(minutes: number): string {
  return minutes < 0.5 ? 'no time to speak of' : minutesText(minutes);
}

export function netText(minutes: number): string {
  const words = minutesText(Math.abs(minutes));
  return minutes >= 0.5 ? `saves ${words}` : minutes <= -0.5 ? `costs ${words} more than it saves` : 'saves as much as it costs';
}

const two = (number: number): string => String(number).padStart(2, '0');

export function clockText(time: Date): string {
  return `${two(time.getHours())}:${two(time.getMinutes())}:${two(time.getSeconds())}`;
}

/** When it was last saved: the time, with the day before it when that is not today. */
export function savedText(utc: string, now: Date): string {
  const time = new Date(utc);
  if (Number.isNaN(time.getTime())) return utc;
  return time.toDateString() === now.toDateString() ? clockText(time) : momentText(utc);
}

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** A time of the server, "25 Nov 2026, 14:02", in the reader's own zone. */
export function momentText(utc: string): string {
  const time = new Date(utc);
  if (Number.isNaN(time.getTime())) return utc;
  return `${time.getDate()} ${MONTHS[time.getMonth()]} ${time.getFullYear()}, ${two(time.getHours())}:${two(time.getMinutes())}`;
}

/** "2-3" is a bridge, "3" a cylinder or head. */
export function placeText(scope: string, place: string): string {
  if (place === '') return '';
  if (scope === 'head') return `head ${place}`;
  return place.includes('-') ? `between ${place.replace('-', ' and ')}` : `cylinder ${place}`;
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A text as a sentence: a capital first, a stop at the end, none twice. */
export function sentence(text: string): string {
  const words = capital(text.trim());
  return words === '' || /[.!?]$/.test(words) ? words : `${words}.`;
}

/** Hands-on time; for a check at several places, the time at one of them. */
export function checkMinutesText(minutes: number, scope: string, places: number): string {
  if (!(minutes > 0)) return '';
  return places > 1 ? `${minutesText(minutes)} a ${scope}` : minutesText(minutes);
}

/** A note of the program with the names of the engine file as words: "[block]: cast_iron" is "Block: cast iron". */
export function plainNote(note: string): string {
  return capital(note.replace(/^\[([\w.]+)\]/, (_, name: string) => name).replace(/\b[a-z]+(?:[._][a-z]+)+\b/g, (name) => name.replace(/[._]/g, ' ')));
}

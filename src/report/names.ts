/** Lists of names as people say them: neighbours joined to ranges, long lists cut. */

import { runsOf } from '../cellar/name-runs.ts';

/** `B1, B2, B3, T1` as `B1..B3, T1`: three or more neighbours in a row make a range. Order is kept. */
export function rangesOf(names: readonly string[]): string[] {
  return runsOf(names).flatMap((run) => (run.length >= 3 ? [`${run[0]}..${run.at(-1)}`] : run));
}

/** A list in a sentence, ranges joined; beyond `most` parts the rest is counted. */
export function nameList(names: readonly string[], most = 8): string {
  const ranges = rangesOf(names);
  if (ranges.length <= most) return ranges.join(', ');
  return `${ranges.slice(0, most).join(', ')} and ${ranges.length - most} more`;
}

export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** The first letter of a sentence made large, the rest left alone. */
export function capital(text: string): string {
  const [first = '', ...rest] = text;
  return first.toUpperCase() + rest.join('');
}

/** Lists of names as people say them: neighbours joined to ranges, long lists cut. */

interface Numbered {
  readonly prefix: string;
  readonly number: number;
  readonly width: number;
}

/** `FB-07` is `FB-`, 7, two digits wide. */
function numbered(name: string): Numbered | undefined {
  const match = /^(.*?)([0-9]{1,9})$/u.exec(name);
  const [, prefix, digits] = match ?? [];
  if (prefix === undefined || digits === undefined || prefix === '') return undefined;
  return { prefix, number: Number(digits), width: digits.startsWith('0') ? digits.length : 0 };
}

/** `B1, B2, B3, T1` as `B1..B3, T1`: three or more neighbours in a row make a range. Order is kept. */
export function rangesOf(names: readonly string[]): string[] {
  const ranges: string[] = [];
  let run: string[] = [];
  const close = (): void => {
    if (run.length >= 3) ranges.push(`${run[0]}..${run.at(-1)}`);
    else ranges.push(...run);
    run = [];
  };
  for (const name of names) {
    const last = run.at(-1);
    const before = last === undefined ? undefined : numbered(last);
    const here = numbered(name);
    const follows =
      before !== undefined &&
      here !== undefined &&
      before.prefix === here.prefix &&
      here.number === before.number + 1 &&
      (here.width === before.width || here.width === 0);
    if (!follows) close();
    run.push(name);
  }
  close();
  return ranges;
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
